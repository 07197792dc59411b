"""Many plans on one page: a line for each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coursecheck.language import say, say_as, say_count
from coursecheck.reports.grouping import entries_of
from coursecheck.reports.tables import plain_table
from coursecheck.reports.terms import outcome_words, severity_name
from coursecheck.reports.wording import printable, verdict_words
from coursecheck.rulebook.model import SEVERITIES
from coursecheck.units import bare_figure, format_figure
from coursecheck.verdict.model import Verdict

__all__ = ["SummaryRow", "render_summary", "summary_row"]


@dataclass(frozen=True, slots=True)
class SummaryRow:
    """A plan in short; a limit at one place counts once, whatever the number of height classes.

    Attributes:
        file: as the user named it.
        verdict: in a word or two; of a plan that could not be judged "not judged".
        broken: how many count against the plan, by severity.
        close, waived: how many.
        lengths: the course length, from the shortest height class to the longest, in words.
    """

    file: str
    verdict: str
    broken: tuple[int, ...] = ()
    close: int = 0
    waived: int = 0
    lengths: str = ""


def summary_row(file: str, verdict: Verdict) -> SummaryRow:
    """The line of a verdict."""
    worst = [entry.worst for entry in entries_of(verdict)]
    return SummaryRow(
        file=file,
        verdict=verdict_words(verdict),
        broken=tuple(sum(f.counts_against and f.severity == name for f in worst) for name in SEVERITIES),
        close=sum(f.outcome == "close" for f in worst),
        waived=sum(f.waived is not None for f in worst),
        lengths=_length_words(verdict),
    )


def _length_words(verdict: Verdict) -> str:
    known = [length.length_m for length in verdict.lengths if length.length_m is not None]
    if not known:
        return say_as("length", "none")
    units = verdict.course.units
    shortest, longest = (bare_figure(length, "m", units=units) for length in (min(known), max(known)))
    shown = format_figure(max(known), "m", units=units)
    shown = shown if shortest == longest else f"{shortest}–{shown}"
    return say("{lengths} (not every class)", lengths=shown) if len(known) < len(verdict.lengths) else shown


def render_summary(rows: Sequence[SummaryRow], *, colour: bool, width: int) -> str:
    """A table of the plans and a closing line that adds them up."""
    heads = (
        say_as("head", "plan"),
        say("verdict"),
        *map(severity_name, SEVERITIES),
        outcome_words("close"),
        say("waived"),
        say("course length"),
    )
    cells = [
        (
            printable(row.file),
            row.verdict,
            *(str(count) if row.lengths else "–" for count in row.broken or (0,) * len(SEVERITIES)),
            str(row.close) if row.lengths else "–",
            str(row.waived) if row.lengths else "–",
            printable(row.lengths) or "–",
        )
        for row in rows
    ]
    counts = {word: sum(row.verdict == word for row in rows) for word in dict.fromkeys(row.verdict for row in rows)}
    added = ", ".join(f"{count} {word}" for word, count in sorted(counts.items()))
    legend = say("must, should, note: limits of that severity that are broken, each place counted once")
    table = plain_table(heads, cells, colour=colour, width=width)
    total = say_count("{count} plan: {verdicts}", "{count} plans: {verdicts}", len(rows), verdicts=added)
    return f"{table}\n{legend}\n{total}\n"

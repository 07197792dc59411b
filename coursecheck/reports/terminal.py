"""The verdict for a terminal: text at a glance, and one line a finding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby
from typing import Any

import click

from coursecheck.reports.grouping import Entry, Line, entries_of, met_limits
from coursecheck.reports.tables import plain_table, wrapped
from coursecheck.reports.wording import (
    CAUTIONS,
    OUTCOME_WORDS,
    SEVERITY_WORDS,
    authority_words,
    count_words,
    expectation_words,
    height_words,
    length_words,
    printable,
    rulebook_words,
    time_words,
    verdict_reason,
    verdict_words,
)
from coursecheck.units import format_figure
from coursecheck.verdict.model import Finding, Verdict

__all__ = ["render_concise", "render_text"]

TIGHTEST_SHOWN = 6
_STYLES: dict[str, dict[str, Any]] = {
    "breach": {"fg": "red", "bold": True},
    "unmeasurable": {"fg": "magenta", "bold": True},
    "close": {"fg": "yellow"},
    "met": {"fg": "green"},
}


def render_text(verdict: Verdict, *, colour: bool, width: int) -> str:
    """The whole verdict as text.

    Args:
        verdict: what was found.
        colour: whether escape sequences may be used; the words say everything without them.
        width: columns to fill; at least 40 are taken.

    Returns:
        Lines that end with a line feed; the same for the same input.
    """
    page = _Page(colour, max(40, width))
    _opening(page, verdict)
    _times(page, verdict)
    _findings(page, verdict)
    _met(page, verdict)
    _closing(page, verdict)
    return "".join(f"{line.rstrip()}\n" for line in page.lines)


@dataclass(slots=True)
class _Page:
    """Lines as they come, in colour or not, none of them wider than it may be."""

    colour: bool
    width: int
    lines: list[str] = field(default_factory=list)

    def add(self, text: str, indent: str = "", **style: Any) -> None:
        """A paragraph, or an empty line."""
        lines = wrapped(text, self.width, indent, indent)
        self.lines += [self.styled(line, **style) if style else line for line in lines]

    def heading(self, text: str) -> None:
        """A heading, with a line of room above it."""
        self.lines.append("")
        self.add(text, bold=True)

    def styled(self, text: str, **style: Any) -> str:
        """The text, in that style where there is colour."""
        return click.style(text, **style) if self.colour else text


def _opening(page: _Page, verdict: Verdict) -> None:
    word = f"{verdict_words(verdict).upper()}:"
    first, *others = wrapped(f"{word} {printable(verdict.course.title)}: {verdict_reason(verdict)}", page.width)
    word_styled = page.styled(word, fg="green" if verdict.legal else "red", bold=True)
    page.lines += [word_styled + first.removeprefix(word), *others]
    course = verdict.course
    page.add(f"{printable(course.discipline)} {printable(course.grade)} by {rulebook_words(verdict)}")
    page.add(f"Single checks: {count_words(verdict)}")
    for note in verdict.notes:
        page.add(f"Note: {printable(note)}", fg="yellow")


def _times(page: _Page, verdict: Verdict) -> None:
    rows = []
    for length, times in zip(verdict.lengths, verdict.times, strict=True):
        shown = "–" if length.length_m is None else format_figure(length.length_m, "m", units=verdict.course.units)
        speed = "–" if times.speed_mps is None else f"{times.speed_mps.normalize():f} m/s"
        sct, mct = ("–" if time is None else f"{time} s" for time in (times.sct_s, times.mct_s))
        rows.append((printable(length.height), shown, speed, sct, mct))
    heads = ("class", "length", "speed", "SCT", "MCT")
    table = plain_table(heads, rows, colour=page.colour, width=page.width, right=range(1, len(heads)))
    page.lines += ["", *table.splitlines(), ""]
    for words in (*length_words(verdict), *time_words(verdict), *expectation_words(verdict)):
        page.add(words)


def _findings(page: _Page, verdict: Verdict) -> None:
    entries = entries_of(verdict)
    if not entries:
        page.add("\nNothing in breach, nothing close, nothing left unmeasured.")
    outcome_width = max((len(_outcome(line.finding)) for entry in entries for line in entry.lines), default=0)
    for severity, group in groupby(entries, key=lambda entry: entry.worst.severity):
        page.heading(f"{severity.upper()} ({SEVERITY_WORDS[severity]})")
        by_limit: dict[str, list[Entry]] = {}
        for entry in group:
            by_limit.setdefault(_limit_words(entry.worst), []).append(entry)
        for limit, same in by_limit.items():
            page.add(limit, "  ")
            for entry in same:
                _entry(page, entry, verdict, outcome_width)


def _limit_words(finding: Finding) -> str:
    return printable(f"{finding.limit}: {authority_words(finding)}")


def _entry(page: _Page, entry: Entry, verdict: Verdict, outcome_width: int) -> None:
    """The number of the entry, the outcome of each of its lines, and beside it what was found."""
    for i, line in enumerate(entry.lines):
        number = "" if i else str(entry.number)
        outcome = _outcome(line.finding)
        before = f"{number:>3} {outcome:<{outcome_width}} "
        first, *others = wrapped(_sentence(line, verdict), page.width, before, " " * len(before))
        styled = page.styled(outcome, **_STYLES[line.finding.outcome])
        page.lines += [f"{number:>3} {styled}{first[4 + len(outcome) :]}", *others]


def _outcome(finding: Finding) -> str:
    return f"{OUTCOME_WORDS[finding.outcome]}{', waived' if finding.waived else ''}"


def _sentence(line: Line, verdict: Verdict) -> str:
    waived = line.finding.waived
    accepted = f" (waived by {waived.who}: {waived.reason})" if waived else ""
    return f"{printable(line.finding.message + accepted)} [{height_words(line.heights, verdict)}]"


def _met(page: _Page, verdict: Verdict) -> None:
    met = met_limits(verdict)
    if not met:
        return
    shown = met[:TIGHTEST_SHOWN]
    more = f", {len(shown)} of {len(met)} limits" if len(met) > len(shown) else ""
    page.heading(f"MET WITH THE LEAST TO SPARE{more}")
    for limit in shown:
        page.add(_sentence(limit.tightest, verdict), "  ")


def _closing(page: _Page, verdict: Verdict) -> None:
    page.heading("NOT COVERED BY THIS RULEBOOK, so not checked")
    topics = "; ".join(printable(gap.topic) for gap in verdict.uncovered)
    page.add(topics or "nothing that this program measures", "  ")
    if verdict.left_out:
        page.heading("LEFT OUT BY SELECTION, so not checked")
        page.add(printable("; ".join(verdict.left_out)), "  ")
    page.lines.append("")
    page.add(" ".join(CAUTIONS), dim=True)


def render_concise(verdict: Verdict) -> str:
    """One line a finding, for logs and editors: `file: severity limit: message [clause, basis, outcome, classes]`.

    Findings that are met are left out; nothing to tell gives nothing.
    """
    return "".join(f"{line}\n" for line in _concise(verdict))


def _concise(verdict: Verdict) -> Iterator[str]:
    origin = verdict.course.origin
    file = printable(origin.file if origin else verdict.course.title)
    for entry in entries_of(verdict):
        for line in entry.lines:
            finding = line.finding
            facts = (authority_words(finding, source=False), _outcome(finding), height_words(line.heights, verdict))
            tail = printable(", ".join(facts))
            yield f"{file}: {finding.severity} {finding.limit}: {printable(finding.message)} [{tail}]"

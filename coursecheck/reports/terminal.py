"""The verdict for a terminal: text at a glance, and one line a finding."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby
from typing import Any

import click

from coursecheck.language import clauses, labelled, say
from coursecheck.reports.grouping import Entry, Line, entries_of, met_limits
from coursecheck.reports.tables import plain_table, wrapped
from coursecheck.reports.terms import cautions, severity_name, severity_words
from coursecheck.reports.wording import (
    authority_words,
    count_words,
    expectation_words,
    height_words,
    length_shown,
    length_words,
    printable,
    reason_words,
    rulebook_words,
    speed_words,
    state_words,
    time_shown,
    time_words,
    verdict_reason,
    verdict_words,
)
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
    course = f"{printable(verdict.course.discipline)} {printable(verdict.course.grade)}"
    page.add(say("{course} by {rulebook}", course=course, rulebook=rulebook_words(verdict)))
    page.add(say("Single checks: {counts}", counts=count_words(verdict)))
    for note in verdict.notes:
        page.add(say("Note: {note}", note=printable(note)), fg="yellow")


def _times(page: _Page, verdict: Verdict) -> None:
    rows = []
    for length, times in zip(verdict.lengths, verdict.times, strict=True):
        shown = length_shown(length.length_m, verdict.course.units)
        figures = (shown, speed_words(times.speed_mps), time_shown(times.sct_s), time_shown(times.mct_s))
        rows.append((printable(length.height), *figures))
    heads = (say("class"), say("length"), say("speed"), say("SCT"), say("MCT"))
    table = plain_table(heads, rows, colour=page.colour, width=page.width, right=range(1, len(heads)))
    page.lines += ["", *table.splitlines(), ""]
    for words in (*length_words(verdict), *time_words(verdict), *expectation_words(verdict)):
        page.add(words)


def _findings(page: _Page, verdict: Verdict) -> None:
    entries = entries_of(verdict)
    if not entries:
        page.add("\n" + say("Nothing in breach, nothing close, nothing left unmeasured."))
    outcome_width = max((len(state_words(line.finding)) for entry in entries for line in entry.lines), default=0)
    for severity, group in groupby(entries, key=lambda entry: entry.worst.severity):
        page.heading(f"{severity_name(severity).upper()} ({severity_words(severity)})")
        by_limit: dict[str, list[Entry]] = {}
        for entry in group:
            by_limit.setdefault(_limit_words(entry.worst), []).append(entry)
        for limit, same in by_limit.items():
            page.add(limit, "  ")
            for entry in same:
                _entry(page, entry, verdict, outcome_width)


def _limit_words(finding: Finding) -> str:
    return printable(labelled(finding.limit, authority_words(finding)))


def _entry(page: _Page, entry: Entry, verdict: Verdict, outcome_width: int) -> None:
    """The number of the entry, the outcome of each of its lines, and beside it what was found."""
    for i, line in enumerate(entry.lines):
        number = "" if i else str(entry.number)
        outcome = state_words(line.finding)
        before = f"{number:>3} {outcome:<{outcome_width}} "
        first, *others = wrapped(_sentence(line, verdict), page.width, before, " " * len(before))
        styled = page.styled(outcome, **_STYLES[line.finding.outcome])
        page.lines += [f"{number:>3} {styled}{first[4 + len(outcome) :]}", *others]


def _sentence(line: Line, verdict: Verdict) -> str:
    message, waived = line.finding.message, line.finding.waived
    if waived:
        who, reason = waived.who, reason_words(waived)
        message = say("{message} (waived by {who}: {reason})", message=message, who=who, reason=reason)
    return f"{printable(message)} [{height_words(line.heights, verdict)}]"


def _met(page: _Page, verdict: Verdict) -> None:
    met = met_limits(verdict)
    if not met:
        return
    shown = met[:TIGHTEST_SHOWN]
    heading = say("MET WITH THE LEAST TO SPARE")
    if len(met) > len(shown):
        heading = say("{heading}, {count} of {total} limits", heading=heading, count=len(shown), total=len(met))
    page.heading(heading)
    for limit in shown:
        page.add(_sentence(limit.tightest, verdict), "  ")


def _closing(page: _Page, verdict: Verdict) -> None:
    page.heading(say("NOT COVERED BY THIS RULEBOOK, so not checked"))
    topics = clauses(printable(gap.topic) for gap in verdict.uncovered)
    page.add(topics or say("nothing that this program measures"), "  ")
    if verdict.left_out:
        page.heading(say("LEFT OUT BY SELECTION, so not checked"))
        page.add(printable(clauses(verdict.left_out)), "  ")
    page.lines.append("")
    page.add(" ".join(cautions()), dim=True)


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
            facts = (
                authority_words(finding, source=False),
                state_words(finding),
                height_words(line.heights, verdict),
            )
            tail = printable(", ".join(facts))
            yield f"{file}: {finding.severity} {finding.limit}: {printable(finding.message)} [{tail}]"

"""The verdict for a terminal: text at a glance, and one line a finding."""

from __future__ import annotations

from collections.abc import Iterator
from io import StringIO
from itertools import groupby
from typing import TYPE_CHECKING

from coursecheck.reports.grouping import Entry, Line, entries_of, met_limits
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

if TYPE_CHECKING:
    from rich.console import Console, RenderableType

__all__ = ["render_concise", "render_text"]

TIGHTEST_SHOWN = 6
_STYLES = {"breach": "bold red", "unmeasurable": "bold magenta", "close": "yellow", "met": "green"}


def render_text(verdict: Verdict, *, colour: bool, width: int) -> str:
    """The whole verdict as text.

    Args:
        verdict: what was found.
        colour: whether escape sequences may be used; the words say everything without them.
        width: columns to fill; at least 40 are taken.

    Returns:
        Lines that end with a line feed; the same for the same input.
    """
    from rich.console import Console

    out = StringIO()
    console = Console(
        file=out,
        width=max(40, width),
        force_terminal=colour,
        color_system="standard" if colour else None,
        no_color=not colour,
        highlight=False,
        markup=False,
        emoji=False,
        legacy_windows=False,
    )
    _opening(console, verdict)
    _times(console, verdict)
    _findings(console, verdict)
    _met(console, verdict)
    _closing(console, verdict)
    return "".join(f"{line.rstrip()}\n" for line in out.getvalue().splitlines())


def _opening(console: Console, verdict: Verdict) -> None:
    from rich.text import Text

    word = verdict_words(verdict).upper()
    first = Text(f"{word}: ", style="bold green" if verdict.legal else "bold red")
    first.append(f"{printable(verdict.course.title)}: {verdict_reason(verdict)}", style="default not bold")
    console.print(first)
    course = verdict.course
    console.print(f"{printable(course.discipline)} {printable(course.grade)} by {rulebook_words(verdict)}")
    console.print(f"Single checks: {count_words(verdict)}")
    for note in verdict.notes:
        console.print(f"Note: {printable(note)}", style="yellow")


def _times(console: Console, verdict: Verdict) -> None:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
    table.add_column("class")
    for head in ("length", "speed", "SCT", "MCT"):
        table.add_column(head, justify="right")
    for length, times in zip(verdict.lengths, verdict.times, strict=True):
        shown = "–" if length.length_m is None else format_figure(length.length_m, "m", units=verdict.course.units)
        speed = "–" if times.speed_mps is None else f"{times.speed_mps.normalize():f} m/s"
        sct, mct = ("–" if time is None else f"{time} s" for time in (times.sct_s, times.mct_s))
        table.add_row(printable(length.height), shown, speed, sct, mct)
    console.print()
    console.print(table)
    console.print()
    for words in (*length_words(verdict), *time_words(verdict), *expectation_words(verdict)):
        console.print(words)


def _findings(console: Console, verdict: Verdict) -> None:
    entries = entries_of(verdict)
    if not entries:
        console.print("\nNothing in breach, nothing close, nothing left unmeasured.")
    outcome_width = max((len(_outcome(line.finding)) for entry in entries for line in entry.lines), default=0)
    for severity, group in groupby(entries, key=lambda entry: entry.worst.severity):
        console.print()
        console.print(f"{severity.upper()} ({SEVERITY_WORDS[severity]})", style="bold")
        by_limit: dict[str, list[Entry]] = {}
        for entry in group:
            by_limit.setdefault(_limit_words(entry.worst), []).append(entry)
        for limit, same in by_limit.items():
            console.print(f"  {limit}")
            console.print(_entry_grid(same, verdict, outcome_width))


def _limit_words(finding: Finding) -> str:
    return printable(f"{finding.limit}: {authority_words(finding)}")


def _entry_grid(entries: list[Entry], verdict: Verdict, outcome_width: int) -> RenderableType:
    from rich.table import Table
    from rich.text import Text

    grid = Table.grid(padding=(0, 1), pad_edge=True)
    grid.add_column(width=3, justify="right")
    grid.add_column(width=outcome_width)
    grid.add_column(ratio=1, overflow="fold")
    for entry in entries:
        for i, line in enumerate(entry.lines):
            finding = line.finding
            outcome = Text(_outcome(finding), style=_STYLES[finding.outcome])
            grid.add_row("" if i else str(entry.number), outcome, Text(_sentence(line, verdict)))
    return grid


def _outcome(finding: Finding) -> str:
    return f"{OUTCOME_WORDS[finding.outcome]}{', waived' if finding.waived else ''}"


def _sentence(line: Line, verdict: Verdict) -> str:
    waived = line.finding.waived
    accepted = f" (waived by {waived.who}: {waived.reason})" if waived else ""
    return f"{printable(line.finding.message + accepted)} [{height_words(line.heights, verdict)}]"


def _met(console: Console, verdict: Verdict) -> None:
    from rich.padding import Padding

    met = met_limits(verdict)
    if not met:
        return
    shown = met[:TIGHTEST_SHOWN]
    more = f", {len(shown)} of {len(met)} limits" if len(met) > len(shown) else ""
    console.print()
    console.print(f"MET WITH THE LEAST TO SPARE{more}", style="bold")
    for limit in shown:
        console.print(Padding(_sentence(limit.tightest, verdict), (0, 0, 0, 2)))


def _closing(console: Console, verdict: Verdict) -> None:
    console.print()
    console.print("NOT COVERED BY THIS RULEBOOK, so not checked", style="bold")
    topics = "; ".join(printable(gap.topic) for gap in verdict.uncovered)
    console.print(f"  {topics}" if topics else "  nothing that this program measures")
    if verdict.left_out:
        console.print()
        console.print("LEFT OUT BY SELECTION, so not checked", style="bold")
        console.print(f"  {printable('; '.join(verdict.left_out))}")
    console.print()
    console.print(" ".join(CAUTIONS), style="dim" if console.is_terminal else None)


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

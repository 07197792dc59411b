"""Findings put together for a reader: one numbered entry a place, one line a limit that was met."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coursecheck.rulebook.model import SEVERITIES
from coursecheck.verdict.model import OUTCOMES, Finding, Verdict

__all__ = ["SHOWN", "Entry", "Line", "MetLimit", "entries_of", "met_limits"]

SHOWN = ("breach", "close", "unmeasurable")
"""Outcomes that a reader has to look at."""


FEW = 2  # obstacles that a flag can stand beside; a finding of more without a witness is one of the whole course


@dataclass(frozen=True, slots=True)
class Line:
    """The same sentence for one or more height classes."""

    heights: tuple[str, ...]
    finding: Finding


@dataclass(frozen=True, slots=True)
class Entry:
    """A limit at one place of the plan, for all height classes that it concerns.

    Attributes:
        number: its number in the report and on the plan, from 1.
        lines: one for each different sentence, gravest outcome first.
    """

    number: int
    lines: tuple[Line, ...]

    @property
    def worst(self) -> Finding:
        """The finding of the gravest outcome."""
        return self.lines[0].finding

    @property
    def has_place(self) -> bool:
        """Whether it belongs to a place of the plan and not to the course as a whole."""
        finding = self.worst
        few = 0 < len(finding.obstacles) <= FEW or 0 < len(finding.passes) <= FEW
        return few or (finding.witness is not None and bool(finding.passes or finding.obstacles))


@dataclass(frozen=True, slots=True)
class MetLimit:
    """A limit that was met: how often, and where with the smallest margin."""

    checks: int
    tightest: Line


def entries_of(verdict: Verdict) -> tuple[Entry, ...]:
    """What is in breach, close or not measurable: by severity, then what counts against the plan, then as judged."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in verdict.findings:
        if finding.outcome in SHOWN:
            groups.setdefault(_free_place(finding, groups), []).append(finding)
    ordered = sorted(groups.values(), key=lambda group: _gravity(group[0]))
    return tuple(Entry(number, tuple(_lines(group, verdict))) for number, group in enumerate(ordered, 1))


def _free_place(finding: Finding, groups: dict[tuple[object, ...], list[Finding]]) -> tuple[object, ...]:
    """The key of the group it belongs to: its limit and place, and a count for several values there."""
    row = (finding.limit, finding.severity, finding.metric, finding.clause, finding.basis, finding.source)
    place = (*row, finding.title, finding.passes, finding.obstacles, finding.waived)
    count = 0
    while any(other.height == finding.height for other in groups.get((*place, count), ())):
        count += 1
    return (*place, count)


def _gravity(finding: Finding) -> tuple[int, bool, int]:
    """By severity; within it what counts against the plan first, then as outcomes are ranked."""
    return SEVERITIES.index(finding.severity), not finding.counts_against, OUTCOMES.index(finding.outcome)


def _lines(group: list[Finding], verdict: Verdict) -> Iterator[Line]:
    sentences: dict[tuple[str, str], list[Finding]] = {}
    for finding in group:
        sentences.setdefault((finding.outcome, finding.message), []).append(finding)
    for findings in sorted(sentences.values(), key=lambda same: _gravity(same[0])):
        heights = {height for finding in findings for height in _heights(finding, verdict)}
        yield Line(tuple(height for height in verdict.scenes if height in heights), findings[0])


def _heights(finding: Finding, verdict: Verdict) -> tuple[str, ...]:
    return tuple(verdict.scenes) if finding.height is None else (finding.height,)


def met_limits(verdict: Verdict) -> tuple[MetLimit, ...]:
    """Every limit that was met somewhere, the one with the least to spare first."""
    limits: dict[str, list[Finding]] = {}
    for finding in verdict.findings:
        if finding.outcome == "met":
            limits.setdefault(finding.limit, []).append(finding)
    met = []
    for findings in limits.values():
        tightest = min(findings, key=_ease)
        place = _place(tightest)
        there = [finding for finding in findings if _place(finding) == place]
        same = there
        if len(there) > 1:  # words are made when they are asked for, so they are asked for no more than needed
            said = tightest.message
            same = [finding for finding in there if finding.message == said]
        heights = {height for finding in same for height in _heights(finding, verdict)}
        met.append(MetLimit(len(findings), Line(tuple(h for h in verdict.scenes if h in heights), tightest)))
    return tuple(sorted(met, key=lambda limit: (_ease(limit.tightest.finding), limit.tightest.finding.limit)))


def _place(finding: Finding) -> tuple[object, ...]:
    return finding.passes, finding.obstacles


def _ease(finding: Finding) -> tuple[bool, float, float]:
    """How easily a limit was met: by the chance of a breach once built, then by the margin's share of the bound.

    Chances of less than one in a million are none. Counts, kinds and other things that setting out cannot change
    come last.
    """
    if finding.margin is None:
        return (True, 0.0, float("inf"))
    bound = max((abs(b) for b in (finding.min, finding.max) if b is not None), default=0.0)
    return (finding.chance is None, -round(finding.chance or 0.0, 6), finding.margin / max(bound, 1.0))

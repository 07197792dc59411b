"""What a check found, as frozen data for the reports."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coursecheck.course.model import Course
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.rulebook.model import Rulebook
from coursecheck.times import Times

__all__ = ["OUTCOMES", "CourseLength", "Finding", "LegRow", "Uncovered", "Verdict", "Waiver"]

OUTCOMES = ("breach", "close", "unmeasurable", "met", "not-applicable", "not-covered")
"""From what needs the judge's eye most down to what was never looked at."""


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding that somebody accepted: who, and why."""

    who: str
    reason: str


@dataclass(frozen=True, slots=True)
class Finding:
    """A limit applied to one subject.

    Attributes:
        limit: the limit's id. title: what it measures, in the words of the papers.
        outcome: one of OUTCOMES.
        severity: "must", "should" or "note"; of something not covered "note".
        height: the height class, or None where it holds for every class alike.
        passes, obstacles: whom it belongs to.
        measured: number in `unit`, a kind's name, or None.
        min, max: the bounds in `unit`, None where there is none.
        expected: the bound in words, such as "at least 5.00 m" or "one of jump, wall"; never empty for a limit.
        unit: "m", "m2", "deg", "s", "count" or "kind".
        margin: how far inside the bound (positive) or beyond it (negative), in `unit`; None where it has none.
        chance: probability of a breach once built, 0 to 1; None where it has none.
        metric, clause, basis, source: of the limit's row.
        message: a sentence that stands alone, with measured value, limit and shortfall.
        witness: what was measured.
        why: how the limit was chosen, one step a line.
        waived: the waiver, or None.
    """

    limit: str
    title: str
    outcome: str
    severity: str
    height: str | None
    passes: tuple[int, ...]
    obstacles: tuple[str, ...]
    measured: float | str | None
    min: float | None
    max: float | None
    expected: str
    unit: str
    margin: float | None
    chance: float | None
    metric: str
    clause: str
    basis: str
    source: str
    message: str
    witness: Witness | None
    why: tuple[str, ...] = ()
    waived: Waiver | None = None

    @property
    def counts_against(self) -> bool:
        """Whether it is a breach that nobody accepted."""
        return self.outcome == "breach" and self.waived is None


@dataclass(frozen=True, slots=True)
class CourseLength:
    """The course length of a height class and how it was measured.

    Attributes:
        height: the height class.
        length_m: in metres, or None where it cannot be measured. why_not: the reason.
        how: "line" or "centres". turn_radius_m: of a line, else None.
        start, end: where it is measured from and to.
    """

    height: str
    length_m: float | None
    how: str
    turn_radius_m: float | None
    start: str
    end: str
    why_not: str = ""

    @property
    def described(self) -> str:
        """How it was measured, in words."""
        way = "along the dog's line" if self.how == "line" else "straight between centres"
        radius = f", turn radius {self.turn_radius_m:g} m" if self.turn_radius_m is not None else ""
        start, end = self.start.replace("-", " "), self.end.replace("-", " ")
        return f"{way}{radius}, {start} to {end}"


@dataclass(frozen=True, slots=True)
class LegRow:
    """One leg in figures, for the leg table.

    Attributes:
        from_pass, to_pass: pass numbers. from_id, to_id: obstacle ids. from_kind, to_kind: their kinds.
        line_m: along the line from portal to portal, or None where no line was found.
        centres_m: straight between the centres.
        turn_deg: total turning along the leg, or None where no line was found.
        straight_m: straight run-up before the next take-off, or None.
    """

    from_pass: int
    to_pass: int
    from_id: str
    to_id: str
    from_kind: str
    to_kind: str
    line_m: float | None
    centres_m: float
    turn_deg: float | None
    straight_m: float | None


@dataclass(frozen=True, slots=True)
class Uncovered:
    """Something that the rulebook has no row for: never shown as passed."""

    topic: str
    about: str


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """The whole result of a check.

    Attributes:
        course, rulebook: what was judged and by what.
        scenes: the measured scene of each height class, in the rulebook's order.
        legs: the leg table of each height class.
        lengths, times: one for each height class.
        findings: all of them, gravest outcome first, then by severity, limit, passes and height.
        uncovered: what the rulebook has no row for.
        setting_out_m: the setting-out error that was used.
        options: the options that shaped the verdict, by name, for the provenance.
    """

    course: Course
    rulebook: Rulebook
    scenes: Mapping[str, Scene]
    legs: Mapping[str, tuple[LegRow, ...]]
    lengths: tuple[CourseLength, ...]
    times: tuple[Times, ...]
    findings: tuple[Finding, ...]
    uncovered: tuple[Uncovered, ...]
    setting_out_m: float
    options: Mapping[str, str]

    @property
    def legal(self) -> bool:
        """Whether no must-limit is in breach, waived ones left aside, and none of them stayed unmeasured."""
        return not self.at_or_above("must")

    def at_or_above(self, severity: str) -> tuple[Finding, ...]:
        """The findings that count against the plan at this severity or a graver one."""
        graver = ("must", "should", "note")
        allowed = graver[: graver.index(severity) + 1]
        return tuple(f for f in self.findings if f.counts_against and f.severity in allowed)

    def counts(self) -> dict[str, int]:
        """How many findings of each outcome; things not covered are counted as such."""
        totals = dict.fromkeys(OUTCOMES, 0)
        for finding in self.findings:
            totals[finding.outcome] += 1
        totals["not-covered"] += len(self.uncovered)
        return totals

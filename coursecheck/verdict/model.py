"""What a check found, as frozen data for the reports."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from coursecheck.course.model import Course
from coursecheck.language import say, to_say
from coursecheck.measures.leg_table import LegRow, leg_table
from coursecheck.measures.model import Witness
from coursecheck.measures.running import Expectation
from coursecheck.measures.scene import Scene
from coursecheck.rulebook.model import SEVERITIES, Rulebook
from coursecheck.times import Times

__all__ = ["OUTCOMES", "CourseLength", "Finding", "Uncovered", "Verdict", "Waiver", "Wording", "Words"]

OUTCOMES = ("breach", "close", "unmeasurable", "met", "not-applicable", "not-covered")
"""From what needs the judge's eye most down to what was never looked at."""


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding that somebody accepted: who, and why."""

    who: str
    reason: str


class Words(Protocol):
    """How a finding is said."""

    @property
    def title(self) -> str:
        """What the limit measures, in the words of the papers."""
        ...

    @property
    def expected(self) -> str:
        """The bound, such as "at least 5.00 m" or "one of jump, wall"; never empty for a limit that applies."""
        ...

    @property
    def place(self) -> str:
        """Whom it belongs to, such as "7 to 8 (g to h)"; empty where that is the course as a whole."""
        ...

    @property
    def figures(self) -> str:
        """What was measured, what is asked, and how far apart they are."""
        ...

    @property
    def message(self) -> str:
        """A sentence that stands alone, with measured value, limit and shortfall."""
        ...


@dataclass(frozen=True, slots=True)
class Wording:
    """Words of a finding that are known beforehand."""

    title: str
    expected: str
    message: str
    place: str = ""
    figures: str = ""


class Finding(NamedTuple):
    """A limit applied to one subject: a named tuple, since a plan has hundreds of them for each height class.

    Attributes:
        limit: the limit's id.
        outcome: one of OUTCOMES.
        severity: "must", "should" or "note"; of something not covered "note".
        height: the height class, or None where it holds for every class alike.
        passes, obstacles: whom it belongs to.
        measured: number in `unit`, a kind's name, or None.
        min, max: the bounds in `unit`, None where there is none.
        unit: "m", "m2", "deg", "s", "count" or "kind".
        margin: how far inside the bound (positive) or beyond it (negative), in `unit`; None where it has none.
        chance: probability of a breach once built, 0 to 1; None where it has none.
        metric, clause, basis, source: of the limit's row.
        witness: what was measured.
        words: how it is said.
        why: how the limit was chosen, one step a line.
        waived: the waiver, or None.
    """

    limit: str
    outcome: str
    severity: str
    height: str | None
    passes: tuple[int, ...]
    obstacles: tuple[str, ...]
    measured: float | str | None
    min: float | None
    max: float | None
    unit: str
    margin: float | None
    chance: float | None
    metric: str
    clause: str
    basis: str
    source: str
    witness: Witness | None
    words: Words
    why: tuple[str, ...] = ()
    waived: Waiver | None = None

    @property
    def title(self) -> str:
        """See `Words`."""
        return self.words.title

    @property
    def expected(self) -> str:
        """See `Words`."""
        return self.words.expected

    @property
    def place(self) -> str:
        """See `Words`."""
        return self.words.place

    @property
    def figures(self) -> str:
        """See `Words`."""
        return self.words.figures

    @property
    def message(self) -> str:
        """See `Words`."""
        return self.words.message

    @property
    def bound(self) -> float | None:
        """The bound that the measured value is nearest to breaking, or breaks most; None where there is none."""
        measured = self.measured
        bounds = [bound for bound in (self.min, self.max) if bound is not None]
        if not isinstance(measured, float | int) or not bounds:
            return None
        return min(bounds, key=lambda bound: abs(measured - bound))

    def in_words(self) -> Finding:
        """The same with its words spelt out: it needs nothing any more that they are made from."""
        said = self.words
        return self._replace(words=Wording(said.title, said.expected, said.message, said.place, said.figures))

    @property
    def counts_against(self) -> bool:
        """Whether it is a breach, or could not be measured at all, and nobody accepted it."""
        return self.outcome in ("breach", "unmeasurable") and self.waived is None


_ENDS = {
    "first-obstacle": to_say("first obstacle"),
    "last-obstacle": to_say("last obstacle"),
    "start-line": to_say("start line"),
    "finish-line": to_say("finish line"),
}


@dataclass(frozen=True, slots=True)
class CourseLength:
    """The course length of a height class and how it was measured.

    Attributes:
        height: the height class.
        length_m: in metres, or None where it cannot be measured. why_not: the reason.
        how: "line" or "centres", or "wheel": measured on the ground. turn_radius_m: of a line, else None.
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
        if self.how == "wheel":
            return say("measured on the ground with a wheel")
        start, end = (say(_ENDS[place]) for place in (self.start, self.end))
        if self.how != "line":
            return say("straight between centres, {start} to {end}", start=start, end=end)
        if self.turn_radius_m is None:
            return say("along the dog's line, {start} to {end}", start=start, end=end)
        return say(
            "along the dog's line, turn radius {radius:g} m, {start} to {end}",
            radius=self.turn_radius_m,
            start=start,
            end=end,
        )


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
        lengths, times: one for each height class.
        expected: how each height class is expected to run it, where its pace is known.
        findings: all of them, gravest outcome first, then by severity, limit, passes and height.
        uncovered: what the rulebook has no row for.
        setting_out_m: the setting-out error that was used.
        options: the options that shaped the verdict, by name, for the provenance.
        left_out: the limits that were not judged because a selection left them out; never shown as passed.
        notes: what a reader has to know about this run, such as a waiver that lapsed.
    """

    course: Course
    rulebook: Rulebook
    scenes: Mapping[str, Scene]
    lengths: tuple[CourseLength, ...]
    times: tuple[Times, ...]
    expected: tuple[Expectation, ...]
    findings: tuple[Finding, ...]
    uncovered: tuple[Uncovered, ...]
    setting_out_m: float
    options: Mapping[str, str]
    left_out: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def legs(self) -> dict[str, tuple[LegRow, ...]]:
        """The leg table of each height class."""
        return {height: leg_table(scene) for height, scene in self.scenes.items()}

    @property
    def legal(self) -> bool:
        """Whether every must-limit was measured and none is in breach, waived ones left aside."""
        return not self.at_or_above("must")

    def at_or_above(self, severity: str) -> tuple[Finding, ...]:
        """The findings that count against the plan at this severity or a graver one."""
        allowed = SEVERITIES[: SEVERITIES.index(severity) + 1]
        return tuple(f for f in self.findings if f.counts_against and f.severity in allowed)

    def counts(self) -> dict[str, int]:
        """How many findings of each outcome; things not covered are counted as such."""
        totals = dict.fromkeys(OUTCOMES, 0)
        for finding in self.findings:
            totals[finding.outcome] += 1
        totals["not-covered"] += len(self.uncovered)
        return totals

    @property
    def waived(self) -> int:
        """How many findings somebody accepted; they are counted under their own outcome, too."""
        return sum(finding.waived is not None for finding in self.findings)

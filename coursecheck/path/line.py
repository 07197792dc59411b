"""The line as data: exact pieces through every pass and along every leg."""

from __future__ import annotations

from dataclasses import dataclass

from coursecheck.geometry.segments import Pose, Segment, length_of
from coursecheck.path.runner import Runner

__all__ = ["LegLine", "LengthRule", "Line", "PassLine"]


@dataclass(frozen=True, slots=True)
class PassLine:
    """How the line performs one pass.

    Attributes:
        number: the pass, from 1.
        segments: from take-off to landing of a jump, or the fixed track of any other obstacle. Never empty.
        before_m: the length of `segments` that lies before the obstacle's entry portal (the take-off distance of a
            jump, 0 for a track).
        after_m: the length that lies beyond its exit portal.
    """

    number: int
    segments: tuple[Segment, ...]
    before_m: float = 0.0
    after_m: float = 0.0

    @property
    def entry(self) -> Pose:
        """Where the pass begins: take-off, tunnel mouth, first pole, foot of the plank."""
        return self.segments[0].start

    @property
    def exit(self) -> Pose:
        """Where it ends: landing, far mouth, last pole, far foot of the plank."""
        return self.segments[-1].end

    @property
    def length_m(self) -> float:
        """From entry to exit."""
        return length_of(self.segments)


@dataclass(frozen=True, slots=True)
class LegLine:
    """The line from the exit of pass `number` to the entry of pass `number` + 1.

    Attributes:
        number: the pass that it leaves, from 1.
        segments: straight lines and arcs; may be empty where exit and entry coincide.
        problem: why there is no feasible line, or None. The segments are then the shortest curve that ignores what
            stands in the way: good enough to draw, never to be measured as if a dog could run it.
    """

    number: int
    segments: tuple[Segment, ...]
    problem: str | None = None

    @property
    def length_m(self) -> float:
        """From exit to entry."""
        return length_of(self.segments)


@dataclass(frozen=True, slots=True)
class Line:
    """The line of one runner through all passes: passes[i], legs[i], passes[i + 1], ..."""

    runner: Runner
    passes: tuple[PassLine, ...]
    legs: tuple[LegLine, ...]

    def segments(self) -> tuple[Segment, ...]:
        """Every piece from the first entry to the last exit, in order."""
        pieces: list[Segment] = []
        for i, run in enumerate(self.passes):
            pieces += run.segments
            if i < len(self.legs):
                pieces += self.legs[i].segments
        return tuple(pieces)

    @property
    def problems(self) -> tuple[LegLine, ...]:
        """The legs that have no feasible line."""
        return tuple(leg for leg in self.legs if leg.problem is not None)

    @property
    def length_m(self) -> float:
        """From the entry portal of the first obstacle to the exit portal of the last one."""
        total = length_of(self.segments())
        return max(0.0, total - self.passes[0].before_m - self.passes[-1].after_m) if self.passes else 0.0


@dataclass(frozen=True, slots=True)
class LengthRule:
    """How the course length is measured.

    Attributes:
        how: "line": along the dog's line; "centres": straight from centre to centre.
        start: "first-obstacle" or "start-line".
        end: "last-obstacle" or "finish-line".
    """

    how: str = "line"
    start: str = "first-obstacle"
    end: str = "last-obstacle"

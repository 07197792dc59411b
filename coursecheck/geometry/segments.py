"""Exact pieces of a line: a straight or a circular arc is one `Segment` of constant curvature."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coursecheck.geometry.frames import Point

__all__ = ["Pose", "Segment", "length_of", "outline", "reversed_segments"]


@dataclass(frozen=True, slots=True)
class Pose:
    """A place and a heading: metres in the ring's frame, radians counter-clockwise from +x."""

    x: float
    y: float
    heading: float

    @property
    def point(self) -> Point:
        """The place alone."""
        return (self.x, self.y)

    def ahead(self, distance_m: float) -> Pose:
        """The pose after running straight on (a negative distance: straight back)."""
        return Pose(
            self.x + distance_m * math.cos(self.heading),
            self.y + distance_m * math.sin(self.heading),
            self.heading,
        )

    def turned(self) -> Pose:
        """The same place, looking back."""
        return Pose(self.x, self.y, self.heading + math.pi)


@dataclass(frozen=True, slots=True)
class Segment:
    """A piece of a line with constant curvature.

    Attributes:
        start: where it begins.
        length_m: its length, at least 0.
        curvature: 1/radius in 1/m; positive turns left, negative right, 0 is straight.
    """

    start: Pose
    length_m: float
    curvature: float = 0.0

    def at(self, distance_m: float) -> Pose:
        """The pose after `distance_m` metres from the segment's start; closed form, also beyond its ends."""
        x, y, heading, k = self.start.x, self.start.y, self.start.heading, self.curvature
        if k == 0.0:
            return self.start.ahead(distance_m)
        half = k * distance_m / 2
        chord = distance_m * (math.sin(half) / half if half else 1.0)
        return Pose(x + chord * math.cos(heading + half), y + chord * math.sin(heading + half), heading + 2 * half)

    @property
    def end(self) -> Pose:
        """Where it ends."""
        return self.at(self.length_m)

    @property
    def turn_rad(self) -> float:
        """The signed change of heading over the segment; left is positive."""
        return self.curvature * self.length_m

    @property
    def centre(self) -> Point:
        """Centre of the circle; only for an arc."""
        return (
            self.start.x - math.sin(self.start.heading) / self.curvature,
            self.start.y + math.cos(self.start.heading) / self.curvature,
        )

    def reversed(self) -> Segment:
        """The same piece run the other way."""
        return Segment(self.end.turned(), self.length_m, -self.curvature)


def length_of(segments: Iterable[Segment]) -> float:
    """Sum of the exact lengths, in metres."""
    return math.fsum(segment.length_m for segment in segments)


def reversed_segments(segments: Sequence[Segment]) -> tuple[Segment, ...]:
    """The same pieces run from the other end."""
    return tuple(segment.reversed() for segment in reversed(segments))


def outline(segments: Sequence[Segment], chord_error_m: float = 1e-4) -> list[Point]:
    """Points along the segments, ends included, whose chords stay within `chord_error_m` of the curve.

    For drawing and for set operations; lengths and ends are always taken from the segments themselves.
    """
    points: list[Point] = []
    for segment in segments:
        steps = 1
        if segment.curvature:
            # sagitta r(1 - cos(a/2)) <= error  =>  a <= 2 acos(1 - error/r); 0 of an arc so flat that it is its chord
            step = 2 * math.acos(max(-1.0, 1 - chord_error_m * abs(segment.curvature)))
            steps = max(1, math.ceil(abs(segment.turn_rad) / step)) if step else 1
        points += _spaced(segment, steps)[1 if points else 0 :]
    return points


def _spaced(segment: Segment, steps: int) -> list[Point]:
    """The ends of so many equal parts of a segment, as `Segment.at` has them."""
    start, k = segment.start, segment.curvature
    x, y, heading = start.x, start.y, start.heading
    distances = [segment.length_m * i / steps for i in range(steps + 1)]
    if k == 0.0:
        cos, sin = math.cos(heading), math.sin(heading)
        return [(x + distance * cos, y + distance * sin) for distance in distances]
    points = []
    for distance in distances:
        half = k * distance / 2
        chord = distance * (math.sin(half) / half if half else 1.0)
        points.append((x + chord * math.cos(heading + half), y + chord * math.sin(heading + half)))
    return points

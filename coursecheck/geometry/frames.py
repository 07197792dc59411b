"""Bearings and local frames.

The ring's frame has x to the right and y up the plan, in metres. A *bearing* is degrees clockwise from up the
plan; a *heading* is radians counter-clockwise from +x, as mathematics has it. Bearings are what people see,
headings stay inside.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Frame", "Point", "bearing_deg", "heading_rad", "turn_rad", "within_turn_deg", "wrap_deg"]

Point = tuple[float, float]

# Exact values at the quarter turns keep a course drawn on the grid free of rounding dust.
_QUARTERS = {0.0: (0.0, 1.0), 90.0: (1.0, 0.0), 180.0: (0.0, -1.0), 270.0: (-1.0, 0.0)}


def heading_rad(bearing: float) -> float:
    """Heading in radians, within (-pi, pi], of a bearing in degrees."""
    return turn_rad(0.0, math.pi / 2 - math.radians(bearing % 360.0))


def bearing_deg(heading: float) -> float:
    """Bearing in degrees, within [0, 360), of a heading in radians."""
    return within_turn_deg(90.0 - math.degrees(heading))


def within_turn_deg(angle: float) -> float:
    """An angle in degrees brought within [0, 360): the remainder of a tiny negative one rounds up to 360."""
    turned = angle % 360.0
    return 0.0 if turned == 360.0 else turned


def turn_rad(start: float, end: float) -> float:
    """The turn from one heading to another, within (-pi, pi]; counter-clockwise (to the left) is positive."""
    turn = math.remainder(end - start, 2 * math.pi)
    return math.pi if turn == -math.pi else turn


def wrap_deg(angle: float) -> float:
    """An angle in degrees brought within (-180, 180]."""
    wrapped = math.remainder(angle, 360.0)
    return 180.0 if wrapped == -180.0 else wrapped


@dataclass(frozen=True, slots=True)
class Frame:
    """A local frame on the ground: `along` the bearing and `right` of it, from an origin in the ring's frame."""

    origin: Point
    bearing_deg: float

    @property
    def forward(self) -> Point:
        """Unit vector along the bearing."""
        bearing = within_turn_deg(self.bearing_deg)
        if bearing in _QUARTERS:
            return _QUARTERS[bearing]
        return (math.sin(math.radians(bearing)), math.cos(math.radians(bearing)))

    @property
    def rightward(self) -> Point:
        """Unit vector to the right of the bearing."""
        x, y = self.forward
        return (y, -x)

    def place(self, along: float, right: float) -> Point:
        """The ring's coordinates of a local point, in metres."""
        return self.places([(along, right)])[0]

    def places(self, points: Iterable[Point]) -> list[Point]:
        """The ring's coordinates of many local points (along, right), in metres."""
        (x, y), (fx, fy) = self.origin, self.forward
        return [(x + along * fx + right * fy, y + along * fy - right * fx) for along, right in points]

    def locate(self, point: Point) -> Point:
        """The local (along, right) coordinates of a point of the ring, in metres."""
        (fx, fy), (rx, ry) = self.forward, self.rightward
        dx, dy = point[0] - self.origin[0], point[1] - self.origin[1]
        return (dx * fx + dy * fy, dx * rx + dy * ry)

    def rectangle(self, along: Point, right: Point) -> list[Point]:
        """The four corners of a local rectangle given by two ranges, counter-clockwise as seen on the plan."""
        (a0, a1), (r0, r1) = along, right
        return self.places([(a0, r0), (a0, r1), (a1, r1), (a1, r0)])

    def turned(self) -> Frame:
        """The frame of the opposite bearing at the same origin."""
        return Frame(self.origin, within_turn_deg(self.bearing_deg + 180.0))

"""Where two pieces of lines cross, worked out exactly."""

from __future__ import annotations

import math

from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Segment

__all__ = ["TOUCH_M", "crossings"]

TOUCH_M = 1e-6  # float noise: pieces that are no more across each other only touch, or run along each other


def crossings(one: Segment, other: Segment) -> list[Point]:
    """The places where two pieces cross; where they only touch or run along each other they do not.

    A crossing at an end counts: there it may be another piece of the same line that goes on beyond.
    """
    if one.curvature == 0.0:
        places = _straights(one, other) if other.curvature == 0.0 else _straight_and_arc(one, other)
    else:
        places = _straight_and_arc(other, one) if other.curvature == 0.0 else _arcs(one, other)
    return [place for place in places if _reaches(one, place) and _reaches(other, place)]


def _reaches(piece: Segment, place: Point) -> bool:
    """Whether a place on the line or the circle of a piece lies within its ends."""
    if piece.curvature == 0.0:
        cos, sin = math.cos(piece.start.heading), math.sin(piece.start.heading)
        along = (place[0] - piece.start.x) * cos + (place[1] - piece.start.y) * sin
        return -TOUCH_M <= along <= piece.length_m + TOUCH_M
    centre, round_m = piece.centre, 2 * math.pi / abs(piece.curvature)
    turned = math.atan2(place[1] - centre[1], place[0] - centre[0]) - piece.start.heading
    along = math.copysign(1.0, piece.curvature) * turned + math.pi / 2
    along = along % (2 * math.pi) / abs(piece.curvature)
    return along <= piece.length_m + TOUCH_M or along >= round_m - TOUCH_M


def _straights(one: Segment, other: Segment) -> list[Point]:
    a, b = one.start, other.start
    across = math.sin(b.heading - a.heading)
    if abs(across) * min(one.length_m, other.length_m) <= TOUCH_M:
        return []
    along = ((b.x - a.x) * math.sin(b.heading) - (b.y - a.y) * math.cos(b.heading)) / across
    return [a.ahead(along).point]


def _straight_and_arc(straight: Segment, arc: Segment) -> list[Point]:
    (x, y), radius, start = arc.centre, 1 / abs(arc.curvature), straight.start
    cos, sin = math.cos(start.heading), math.sin(start.heading)
    along, aside = (x - start.x) * cos + (y - start.y) * sin, (x - start.x) * sin - (y - start.y) * cos
    if radius - abs(aside) <= TOUCH_M:
        return []
    half = math.sqrt(radius**2 - aside**2)
    return [start.ahead(along - half).point, start.ahead(along + half).point]


def _arcs(one: Segment, other: Segment) -> list[Point]:
    (ax, ay), (bx, by) = one.centre, other.centre
    first, second = 1 / abs(one.curvature), 1 / abs(other.curvature)
    apart = math.hypot(bx - ax, by - ay)
    if min(first + second - apart, apart - abs(first - second)) <= TOUCH_M:
        return []
    along = (apart**2 + first**2 - second**2) / (2 * apart)
    aside = math.sqrt(max(0.0, first**2 - along**2))
    cos, sin = (bx - ax) / apart, (by - ay) / apart
    return [(ax + along * cos - side * sin, ay + along * sin + side * cos) for side in (aside, -aside)]

"""One curve round wraps, exactly: a line of shortest length round corners, and how its length changes.

`path.detour` has the same curves for whole arrays, as far as they have to be compared. Here the headings of the
straights are found by Newton's method. When a heading changes, so do the bisectors of the wraps next to it, and with
them the centres of these wraps; a centre moves square to the bisector, so each straight feels its two neighbours only
and the system has three diagonals. The same system tells how the headings follow the circles at the ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from coursecheck.geometry.frames import Point
from coursecheck.path.curves import LEAST_M, Curve, Place, Stiffness, Tension, full_turn_of
from coursecheck.path.detour import ENDS, NOISE_M, Disc, Route

__all__ = ["ROUGH", "Winding", "winding", "windings"]

ROUNDS = 20  # of Newton's method, at most
ROUGH = 5  # in which most curves have nearly settled; the lines of the corpus are as short as with 7
PLAIN = 2  # rounds before it, in which headings simply follow the centres
SETTLED_RAD = 1e-12


class Winding(NamedTuple):
    """One of the four curves of a route between two poses.

    Attributes:
        length_m: its length.
        turns: the angle of each arc in radians, to its own side.
        straights_m: the straights between them.
        headings: the headings of the straights.
        sides: which way each arc turns.
        radii_m: the radius of each arc.
        yields_m: of each wrap: how far its centre moves for a turn of its bisector, across the straights next to it.
        route: the wraps.
    """

    length_m: float
    turns: list[float]
    straights_m: list[float]
    headings: list[float]
    sides: list[float]
    radii_m: list[float]
    yields_m: list[float]
    route: Route

    @property
    def turn_rad(self) -> float:
        """The signed change of heading; left is positive."""
        return sum(side * turn for side, turn in zip(self.sides, self.turns, strict=True))

    def curve(self) -> Curve:
        """The winding as a curve."""
        pieces: list[tuple[float, float]] = []
        for turn, side, radius_m, straight_m in zip(
            self.turns, self.sides, self.radii_m, [*self.straights_m, None], strict=True
        ):
            pieces.append((turn * radius_m, side / radius_m))
            if straight_m is not None:
                pieces.append((straight_m, 0.0))
        return Curve(self.length_m, tuple(pieces), self.route)

    def tension(self) -> Tension:
        """How the length changes; the centres of the wraps are at their best already."""
        count = len(self.headings)
        ahead = _follow(self.straights_m, self.yields_m, [1.0] + [0.0] * (count - 1))
        back = _follow(self.straights_m, self.yields_m, [0.0] * (count - 1) + [1.0])
        x, y = math.cos(self.headings[0]), math.sin(self.headings[0])
        last_x, last_y = math.cos(self.headings[-1]), math.sin(self.headings[-1])
        stiffness = Stiffness(ahead[0], ahead[-1], back[-1], -y, x, -last_y, last_x)
        return Tension(self.sides[0], self.sides[-1], x, y, last_x, last_y, (stiffness,))


def windings(
    start: Place, end: Place, route: Route, turn_radius_m: float, clearance_m: float, rounds: int = ROUNDS
) -> Iterator[Winding | None]:
    """The four curves of a route between two poses, in the order of `ENDS`; None for one that does not exist."""
    yield from (winding(start, end, route, sides, turn_radius_m, clearance_m, rounds) for sides in ENDS)


def winding(
    start: Place,
    end: Place,
    route: Route,
    ends: tuple[float, float],
    turn_radius_m: float,
    clearance_m: float,
    rounds: int = ROUNDS,
) -> Winding | None:
    """The curve of a route whose first and last arc turn to the sides `ends`, one of `ENDS`; None without such."""
    sides = [ends[0], *(wrap.side for wrap in route), ends[1]]
    radii = [turn_radius_m, *(wrap.radius_m(turn_radius_m, clearance_m) for wrap in route), turn_radius_m]
    circles = list(zip(sides, radii, strict=True))
    first, last = _centre(start, ends[0] * turn_radius_m), _centre(end, ends[1] * turn_radius_m)
    centres = [first, *(wrap.middle for wrap in route), last]
    straights, headings, exists = _tangents(centres, circles)
    rooms = [(wrap.side, *wrap.room(turn_radius_m, clearance_m)) for wrap in route]
    yields, settled = [0.0] * len(route), math.inf
    best: Winding | None = None
    for number in range(rounds):
        for k, room in enumerate(rooms):
            furthest = _furthest(*room, headings[k], headings[k + 1])
            if furthest is None:
                return None
            centres[k + 1], yields[k] = furthest
        straights, tangents, exists = _tangents(centres, circles)
        off = [math.remainder(now - then, math.tau) for now, then in zip(tangents, headings, strict=True)]
        worst = max(map(abs, off))
        if exists and (worst <= SETTLED_RAD or number >= rounds - 2):
            # A wrap that is not needed turns by nothing and by a full circle in turn, and never settles.
            found = _wound(start, end, route, (straights, tangents), (sides, radii), yields)
            best = found if best is None or found.length_m < best.length_m else best
        if worst <= SETTLED_RAD:
            break
        if number < PLAIN or not exists:
            step = off
        elif worst < settled:
            step = _follow(straights, yields, [length * angle for length, angle in zip(straights, off, strict=True)])
        else:
            step = [angle / 2 for angle in off]
        settled = worst
        headings = [heading + angle for heading, angle in zip(headings, step, strict=True)]
    return best


def _wound(
    start: Place,
    end: Place,
    route: Route,
    straight: tuple[list[float], list[float]],
    arcs: tuple[list[float], list[float]],
    yields: list[float],
) -> Winding:
    """The curve whose straights have these lengths and headings, and whose arcs these sides and radii."""
    (straights, headings), (sides, radii) = straight, arcs
    along = [start[2], *headings, end[2]]
    turns = [
        full_turn_of(side * (after - before)) for side, (before, after) in zip(sides, pairwise(along), strict=True)
    ]
    length_m = sum(radius_m * turn for radius_m, turn in zip(radii, turns, strict=True)) + sum(straights)
    return Winding(length_m, turns, straights, headings, sides, radii, list(yields), route)


def _centre(place: Place, radius_m: float) -> Point:
    """The centre of the circle that touches a pose, to its left; of a negative radius, to its right."""
    x, y, heading = place
    return x - radius_m * math.sin(heading), y + radius_m * math.cos(heading)


def _tangents(
    centres: Sequence[Point], circles: Sequence[tuple[float, float]]
) -> tuple[list[float], list[float], bool]:
    """Lengths and headings of the straights between circles in a row, and whether all of them exist."""
    straights, headings, exists = [], [], True
    for (x0, y0), (x1, y1), (side0, radius0), (side1, radius1) in zip(
        centres, centres[1:], circles, circles[1:], strict=False
    ):
        dx, dy, step = x1 - x0, y1 - y0, side1 * radius1 - side0 * radius0
        rest = dx * dx + dy * dy - step * step
        exists = exists and rest >= 0.0
        straight = math.sqrt(max(rest, 0.0))
        straights.append(straight)
        headings.append(math.atan2(dy, dx) - math.atan2(step, straight))
    return straights, headings, exists


def _furthest(
    side: float, discs: Sequence[Disc], meetings: Sequence[Point], before: float, after: float
) -> tuple[Point, float] | None:
    """Where the centre of a wrap lies best between two headings, and how far it yields; None where it has no room."""
    half = full_turn_of(side * (after - before)) / 2
    middle = before + side * half
    x, y = -side * math.sin(middle), side * math.cos(middle)
    yields_m = math.sin(half) / 2
    if len(discs) == 1:
        (disc_x, disc_y), room_m = discs[0]
        return (disc_x + room_m * x, disc_y + room_m * y), room_m * yields_m
    best, reach = None, -math.inf
    for i, ((disc_x, disc_y), room_m) in enumerate(discs):
        far_x, far_y = disc_x + room_m * x, disc_y + room_m * y
        along = far_x * x + far_y * y
        if along > reach and all(
            j == i or math.dist((far_x, far_y), other) <= size + NOISE_M for j, (other, size) in enumerate(discs)
        ):
            best, reach = ((far_x, far_y), room_m * yields_m), along
    for far_x, far_y in meetings:
        if far_x * x + far_y * y > reach:
            best, reach = ((far_x, far_y), 0.0), far_x * x + far_y * y
    return best


def _follow(straights_m: Sequence[float], yields_m: Sequence[float], moments: Sequence[float]) -> list[float]:
    """How the headings of the straights follow what turns them: a system of three diagonals, solved.

    Args:
        straights_m: the lengths of the straights.
        yields_m: of the wraps between them.
        moments: what turns each straight: metres across it.
    """
    stiff = [
        max(length + before + after, LEAST_M)
        for length, before, after in zip(straights_m, [0.0, *yields_m], [*yields_m, 0.0], strict=True)
    ]
    turned = list(moments)
    for k, yields in enumerate(yields_m):
        share = yields / stiff[k]
        stiff[k + 1] = max(stiff[k + 1] - share * yields, LEAST_M)
        turned[k + 1] -= share * turned[k]
    turned[-1] /= stiff[-1]
    for k in range(len(yields_m) - 1, -1, -1):
        turned[k] = (turned[k] - yields_m[k] * turned[k + 1]) / stiff[k]
    return turned

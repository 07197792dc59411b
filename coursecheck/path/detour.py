"""The way round: curves that wrap round corners, for whole arrays of pairs of poses at once.

A route is a row of wraps. Each wrap is an arc to one side that keeps one or more corners inside it, at least the
clearance away. Its circle is as tight as the runner can turn, and it is shifted as far as the corners allow to where
the line gets shortest: that is against the bisector of the turn, because moving a circle by d changes the length by
(direction in - direction out) . d. From pose to wrap, from wrap to wrap and from wrap to pose the line is the common
tangent of two circles; the first and the last circle touch the poses, on either side of them: four curves a route.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from coursecheck.geometry.frames import Point
from coursecheck.path.parts import Corner
from coursecheck.path.words import Floats, full_turn

__all__ = ["ENDS", "NOISE_M", "Curves", "Disc", "Route", "Wrap", "solve_route"]

ENDS = ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0))
"""The sides of the first and of the last arc of the four curves of a route."""

ROUNDS = 5  # of the fixed point between directions and shifts, in which curves settle well enough to be compared
SETTLED_RAD = 1e-9
NOISE_M = 1e-9


@dataclass(frozen=True, slots=True)
class Wrap:
    """An arc round corners.

    Attributes:
        owner: whose corners.
        side: 1 turns left round them, -1 right.
        corners: x, y and the radius of the disc that stands for each.
    """

    owner: str
    side: float
    corners: tuple[Corner, ...]

    @property
    def middle(self) -> Point:
        """The middle of its corners."""
        count = len(self.corners)
        return sum(x for x, _, _ in self.corners) / count, sum(y for _, y, _ in self.corners) / count

    def radius_m(self, turn_radius_m: float, clearance_m: float) -> float:
        """Of the arc: the turn radius, or more where the corner's disc is bigger."""
        biggest: float = max(size for _, _, size in self.corners)
        return max(turn_radius_m, clearance_m + biggest)

    def room(self, turn_radius_m: float, clearance_m: float) -> tuple[tuple[Disc, ...], tuple[Point, ...]]:
        """Where the arc's centre may lie: within all of these discs; and the points where two of them meet."""
        return _room(self, turn_radius_m, clearance_m)


Disc = tuple[Point, float]
"""A middle and a radius in metres."""


@lru_cache(maxsize=4096)
def _room(wrap: Wrap, turn_radius_m: float, clearance_m: float) -> tuple[tuple[Disc, ...], tuple[Point, ...]]:
    radius_m = wrap.radius_m(turn_radius_m, clearance_m)
    discs = tuple(((x, y), radius_m - size - clearance_m) for x, y, size in wrap.corners)
    meetings = [meeting for (p, a), (q, b) in combinations(discs, 2) for meeting in _meetings(p, a, q, b)]
    return discs, tuple(m for m in meetings if all(math.dist(m, p) <= a + NOISE_M for p, a in discs))


def _within(points: Floats, middle: Point, radius_m: float) -> NDArray[np.bool_]:
    x, y = points[0] - middle[0], points[1] - middle[1]
    return np.asarray(x * x + y * y <= (radius_m + NOISE_M) ** 2)


def _furthest(discs: Sequence[Disc], meetings: Sequence[Point], to: Floats) -> Floats:
    """The point of an intersection of discs that lies furthest along unit vectors `to`, shape (2, ...).

    It is the furthest point of one of the discs or a point where two of them meet. Not a number where the discs have
    no point in common.
    """
    options = [_at(middle, to) + radius_m * to for middle, radius_m in discs]
    if len(discs) == 1:
        return options[0]
    best = np.full(to.shape, np.nan)
    reach = np.full(to.shape[1:], -np.inf)
    inside = [
        np.logical_and.reduce([_within(option, p, a) for j, (p, a) in enumerate(discs) if j != i])
        for i, option in enumerate(options)
    ]
    options += [np.broadcast_to(_at(meeting, to), to.shape) for meeting in meetings]
    inside += [np.ones(to.shape[1:], dtype=bool)] * len(meetings)
    for option, valid in zip(options, inside, strict=True):
        along = option[0] * to[0] + option[1] * to[1]
        better = valid & (along > reach)
        best[:, better] = option[:, better]
        reach[better] = along[better]
    return best


def _at(point: Point, points: Floats) -> Floats:
    """A point as an array that goes with points (2, ...)."""
    return np.array(point).reshape(2, *(1 for _ in points.shape[1:]))


def _meetings(p: Point, a: float, q: Point, b: float) -> Iterator[Point]:
    """Where two circles meet."""
    apart = math.dist(p, q)
    if apart == 0.0 or apart > a + b or apart < abs(a - b):
        return
    along = (apart * apart + a * a - b * b) / (2 * apart)
    off = math.sqrt(max(a * a - along * along, 0.0))
    x, y = (q[0] - p[0]) / apart, (q[1] - p[1]) / apart
    yield p[0] + along * x - off * y, p[1] + along * y + off * x
    yield p[0] + along * x + off * y, p[1] + along * y - off * x


Route = tuple[Wrap, ...]


@dataclass(frozen=True, slots=True)
class Curves:
    """The four curves of a route for each pair of poses, shape (4, n), or one of them for each, shape (n,).

    Attributes:
        lengths_m: of that shape; infinite where a curve does not exist.
        turns: wraps + 2 of that shape: the angle of each arc in radians, to its own side.
        straights_m: wraps + 1 of that shape: the straights between them.
        headings: likewise: the headings of the straights.
        sides: of each arc, shape (wraps + 2, 4, 1) or (wraps + 2, n): which way it turns.
        radii_m: shape (wraps + 2,): the radius of each arc.
    """

    lengths_m: Floats
    turns: Floats
    straights_m: Floats
    headings: Floats
    sides: Floats
    radii_m: Floats

    @property
    def turns_rad(self) -> Floats:
        """The signed change of heading of each curve."""
        return np.asarray((self.sides * self.turns).sum(axis=0))

    @property
    def pieces(self) -> tuple[Floats, Floats]:
        """Lengths in metres and curvatures of the pieces of one curve for each pair, shapes (n, pieces)."""
        lengths_m = np.empty((self.turns.shape[1], 2 * len(self.turns) - 1))
        lengths_m[:, ::2], lengths_m[:, 1::2] = (self.turns.T * self.radii_m), self.straights_m.T
        curvatures = np.zeros_like(lengths_m)
        curvatures[:, ::2] = self.sides.T / self.radii_m
        return lengths_m, curvatures


def solve_route(
    start: Floats,
    end: Floats,
    route: Route,
    turn_radius_m: float,
    clearance_m: float,
    kinds: NDArray[np.intp] | None = None,
) -> Curves:
    """The curves of a route from each start to each end, poses of shape (n, 3).

    They keep the corners inside their wraps and are a little longer than those that `path.winding` settles.

    Args:
        start: where each curve begins.
        end: where it ends.
        route: the wraps.
        turn_radius_m: of the arcs at both ends.
        clearance_m: kept from the corners.
        kinds: which of the four in the order of `ENDS` is asked for, shape (n,); all four where it is left out.
    """
    count = len(route) + 2
    ends = np.array(ENDS).T[:, :, None] if kinds is None else np.array(ENDS).T[:, kinds]
    sides = np.empty((count, *ends.shape[1:]))
    sides[0], sides[-1] = ends
    for k, wrap in enumerate(route):
        sides[k + 1] = wrap.side
    radii = np.array([turn_radius_m, *(wrap.radius_m(turn_radius_m, clearance_m) for wrap in route), turn_radius_m])
    centres = np.empty((2, count, *np.broadcast_shapes(ends.shape[1:], (len(start),))))
    for k, (x, y, heading) in ((0, start.T), (-1, end.T)):
        reach = turn_radius_m * sides[k]
        centres[:, k] = x - reach * np.sin(heading), y + reach * np.cos(heading)
    for k, wrap in enumerate(route):
        centres[:, k + 1] = _at(wrap.middle, centres[:, k + 1])
    straights, headings, missing = _tangents(centres, sides, radii)
    rooms = [wrap.room(turn_radius_m, clearance_m) for wrap in route]
    for _round in range(ROUNDS):
        before = headings
        for k, wrap in enumerate(route):
            middle = before[k] + wrap.side * full_turn(wrap.side * (before[k + 1] - before[k])) / 2
            to = np.stack((-wrap.side * np.sin(middle), wrap.side * np.cos(middle)))
            centres[:, k + 1] = _furthest(*rooms[k], to)
        straights, headings, missing = _tangents(centres, sides, radii)
        if not (np.abs(headings - before) > SETTLED_RAD).any():
            break
    first = np.broadcast_to(start[:, 2], headings.shape[1:])[None]
    last = np.broadcast_to(end[:, 2], headings.shape[1:])[None]
    along = np.concatenate((first, headings, last))
    turns = full_turn(sides * (along[1:] - along[:-1]))
    lengths = np.tensordot(radii, turns, axes=1) + straights.sum(axis=0)
    lengths[missing | np.isnan(lengths)] = np.inf
    return Curves(lengths, turns, straights, headings, sides, radii)


def _tangents(centres: Floats, sides: Floats, radii: Floats) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Lengths and headings of the straights between circles in a row, and whether any of them does not exist."""
    x, y = centres[:, 1:] - centres[:, :-1]
    square = x * x + y * y
    signed = sides * radii.reshape(-1, *(1 for _ in sides.shape[1:]))
    step = signed[1:] - signed[:-1]
    rest = square - step * step
    straights = np.sqrt(np.maximum(rest, 0.0))
    headings = np.arctan2(y, x) - np.arctan2(step, straights)
    return straights, headings, np.asarray((rest < 0.0).any(axis=0))

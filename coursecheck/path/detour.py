"""The way round: curves that wrap round corners, for whole arrays of pairs of poses at once.

A route is a row of wraps. Each wrap is an arc to one side that keeps one or more corners inside it, at least the
clearance away. Its circle is as tight as the runner can turn, and it is shifted as far as the corners allow to where
the line gets shortest: that is against the bisector of the turn, because moving a circle by d changes the length by
(direction in - direction out) . d. From pose to wrap, from wrap to wrap and from wrap to pose the line is the common
tangent of two circles; the first and the last circle touch the poses, on either side of them: four curves a route.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.words import Floats, full_turn

__all__ = ["ENDS", "ROUGH", "ROUNDS", "Curves", "Route", "Wrap", "solve_route"]

ENDS = ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0))
"""The sides of the first and of the last arc of the four curves of a route."""

ROUNDS = 30  # of the fixed point between directions and shifts, at most
ROUGH = 5  # rounds in which a curve settles well enough to be compared
SETTLED_RAD = 1e-12
CALMER = 0.9  # a step this much smaller than the one before, itself no greater than
FORESEEN_RAD = 0.1  # this, tells where steps lead to


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
    corners: tuple[tuple[float, float, float], ...]

    def radius_m(self, turn_radius_m: float, clearance_m: float) -> float:
        """Of the arc: the turn radius, or more where the corner's disc is bigger."""
        biggest: float = max(size for _, _, size in self.corners)
        return max(turn_radius_m, clearance_m + biggest)

    def room(self, turn_radius_m: float, clearance_m: float) -> tuple[tuple[Disc, ...], Floats]:
        """Where the arc's centre may lie: within all of these discs; and the points where two of them meet."""
        return _room(self, turn_radius_m, clearance_m)


Disc = tuple[Floats, float]


@lru_cache(maxsize=4096)
def _room(wrap: Wrap, turn_radius_m: float, clearance_m: float) -> tuple[tuple[Disc, ...], Floats]:
    radius_m = wrap.radius_m(turn_radius_m, clearance_m)
    discs = tuple((np.array([x, y]), radius_m - size - clearance_m) for x, y, size in wrap.corners)
    meetings = [meeting for (p, a), (q, b) in combinations(discs, 2) for meeting in _meetings(p, a, q, b)]
    return discs, np.array([m for m in meetings if all(_within(m, p, a) for p, a in discs)]).reshape(-1, 2)


def _within(points: Floats, middle: Floats, radius_m: float) -> NDArray[np.bool_]:
    offset = points - middle
    return np.asarray((offset * offset).sum(axis=-1) <= (radius_m + 1e-9) ** 2)


def _furthest(discs: Sequence[Disc], meetings: Floats, to: Floats) -> Floats:
    """The point of an intersection of discs that lies furthest along unit vectors `to`, shape (..., 2).

    It is the furthest point of one of the discs or a point where two of them meet. Not a number where the discs have
    no point in common.
    """
    if len(discs) == 1:
        return discs[0][0] + discs[0][1] * to
    best = np.full(to.shape, np.nan)
    reach = np.full(to.shape[:-1], -np.inf)
    options = [middle + radius_m * to for middle, radius_m in discs]
    inside = [
        np.logical_and.reduce([_within(option, p, a) for j, (p, a) in enumerate(discs) if j != i])
        for i, option in enumerate(options)
    ]
    options += [np.broadcast_to(meeting, to.shape) for meeting in meetings]
    inside += [np.ones(to.shape[:-1], dtype=bool)] * len(meetings)
    for option, valid in zip(options, inside, strict=True):
        along = (option * to).sum(axis=-1)
        better = valid & (along > reach)
        best[better] = option[better]
        reach[better] = along[better]
    return best


def _meetings(p: Floats, a: float, q: Floats, b: float) -> Iterator[Floats]:
    """Where two circles meet."""
    way = q - p
    apart = float(np.sqrt(way @ way))
    if apart == 0.0 or apart > a + b or apart < abs(a - b):
        return
    along = (apart * apart + a * a - b * b) / (2 * apart)
    off = np.sqrt(max(a * a - along * along, 0.0))
    unit = way / apart
    normal = np.array([-unit[1], unit[0]])
    yield p + along * unit + off * normal
    yield p + along * unit - off * normal


Route = tuple[Wrap, ...]


@dataclass(frozen=True, slots=True)
class Curves:
    """The four curves of a route for each pair of poses.

    Attributes:
        lengths_m: shape (4, n); infinite where a curve does not exist.
        turns: shape (wraps + 2, 4, n): the angle of each arc in radians, to its own side.
        straights_m: shape (wraps + 1, 4, n): the straights between them.
        headings: shape (wraps + 1, 4, n): the headings of the straights.
        sides: shape (wraps + 2, 4): which way each arc turns.
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
        """The signed change of heading of each curve, shape (4, n)."""
        return np.asarray((self.sides[:, :, None] * self.turns).sum(axis=0))


def solve_route(
    start: Floats, end: Floats, route: Route, turn_radius_m: float, clearance_m: float, rounds: int = ROUNDS
) -> Curves:
    """The four curves of a route from each start to each end, poses of shape (n, 3).

    Fewer `rounds` give curves that are as good as clear, and a little longer.
    """
    count = len(route) + 2
    sides = np.empty((count, 4))
    sides[0], sides[-1] = np.array(ENDS).T
    for k, wrap in enumerate(route):
        sides[k + 1] = wrap.side
    radii = np.array([turn_radius_m, *(wrap.radius_m(turn_radius_m, clearance_m) for wrap in route), turn_radius_m])
    centres = np.empty((count, 4, len(start), 2))
    for k, poses in ((0, start), (-1, end)):
        normal = np.column_stack((-np.sin(poses[:, 2]), np.cos(poses[:, 2])))
        centres[k] = poses[:, :2] + turn_radius_m * sides[k][:, None, None] * normal
    for k, wrap in enumerate(route):
        centres[k + 1] = np.mean([corner[:2] for corner in wrap.corners], axis=0)
    straights, headings, missing = _tangents(centres, sides, radii)
    rooms = [wrap.room(turn_radius_m, clearance_m) for wrap in route]
    past = [headings]
    for number in range(rounds):
        if number >= ROUGH and len(past) > 2:
            past = [_foreseen(*past[-3:])]
        before = past[-1]
        for k, wrap in enumerate(route):
            turn = full_turn(wrap.side * (before[k + 1] - before[k]))
            middle = before[k] + wrap.side * turn / 2
            to = wrap.side * np.stack((-np.sin(middle), np.cos(middle)), axis=-1)
            centres[k + 1] = _furthest(*rooms[k], to)
        straights, headings, missing = _tangents(centres, sides, radii)
        if not (np.abs(headings - before) > SETTLED_RAD).any():
            break
        past.append(headings)
    first = np.broadcast_to(start[:, 2], headings.shape[1:])[None]
    last = np.broadcast_to(end[:, 2], headings.shape[1:])[None]
    along = np.concatenate((first, headings, last))
    turns = full_turn(sides[:, :, None] * (along[1:] - along[:-1]))
    lengths = (radii[:, None, None] * turns).sum(axis=0) + straights.sum(axis=0)
    lengths[missing | np.isnan(lengths)] = np.inf
    return Curves(lengths, turns, straights, headings, sides, radii)


def _foreseen(first: Floats, second: Floats, third: Floats) -> Floats:
    """Where three headings in a row lead to, by Aitken's method; where they do not settle yet, the third ones."""
    before, after = second - first, third - second
    settling = (np.abs(after) < CALMER * np.abs(before)) & (np.abs(before) < FORESEEN_RAD)
    return third - np.where(settling, after * after / np.where(settling, after - before, 1.0), 0.0)


def _tangents(centres: Floats, sides: Floats, radii: Floats) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Lengths and headings of the straights between circles in a row, and whether any of them does not exist."""
    way = centres[1:] - centres[:-1]
    square = (way * way).sum(axis=-1)
    signed = sides * radii[:, None]
    step = (signed[1:] - signed[:-1])[:, :, None]
    rest = square - step * step
    straights = np.sqrt(np.maximum(rest, 0.0))
    headings = np.arctan2(way[..., 1], way[..., 0]) - np.arctan2(step, straights)
    return straights, headings, np.asarray((rest < 0.0).any(axis=0))

"""Shortest curves of bounded curvature between two poses, for whole arrays of pairs at once.

The shortest curve whose radius never falls below r is one of six words (L. E. Dubins, "On curves of minimal length
with a constraint on average curvature", Am. J. Math. 79, 1957): an arc, a straight and an arc (LSL, RSR, LSR, RSL),
or three arcs (LRL, RLR), the middle one longer than a half circle. The closed forms here go by the centres of the
first and the last circle.

Poses are arrays whose last axis holds x, y (metres) and heading (radians counter-clockwise from +x).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "DUST_RAD",
    "SAME_PLACE",
    "SIDES",
    "TURN",
    "Floats",
    "Words",
    "full_turn",
    "solve",
    "turning",
    "turns_as",
    "word_lengths",
]

Floats = NDArray[np.float64]

TURN = 2 * np.pi
SIDES = np.array([[1, 0, 1], [-1, 0, -1], [1, 0, -1], [-1, 0, 1], [1, -1, 1], [-1, 1, -1]], dtype=float)
"""Of each word's three pieces: 1 turns left, -1 right, 0 runs straight. Order: LSL, RSR, LSR, RSL, LRL, RLR."""

DUST_RAD = 1e-11  # a turn this close to a full circle is float noise round no turn at all
NO_TURN_RAD = 1e-9
SAME_PLACE = 1e-10  # in turn radii: circles this close coincide


class Words(NamedTuple):
    """All six words for each of the pairs.

    Attributes:
        lengths_m: shape (6, ...); infinite where a word does not exist.
        pieces: shape (3, 6, ...): the three pieces, radians for arcs, turn radii for a straight.
    """

    lengths_m: Floats
    pieces: Floats

    @property
    def turns_rad(self) -> Floats:
        """The signed change of heading of each word, shape (6, ...); left is positive."""
        sides = SIDES.T.reshape((3, 6) + (1,) * (self.lengths_m.ndim - 1))
        return np.asarray((sides * self.pieces).sum(axis=0))


class _Twins(NamedTuple):
    """Two words that mirror each other, for each of the pairs of poses; arrays of shape (2, ...).

    Attributes:
        rows: which two.
        arcs: the first and the last piece, in radians, shape (2, 2, ...).
        middle: the piece between them: radians of an arc, turn radii of a straight.
        exists: whether there is such a word at all; None where there always is.
    """

    rows: slice
    arcs: Floats
    middle: Floats
    exists: NDArray[np.bool_] | None

    def lengths_m(self, radius_m: float) -> Floats:
        """The lengths, infinite where a word does not exist."""
        lengths: Floats = self.arcs[0] + self.middle
        lengths += self.arcs[1]
        lengths *= radius_m
        if self.exists is not None:
            lengths[~self.exists] = np.inf
        return lengths

    def turns_rad(self) -> Floats:
        """The signed change of heading; left is positive."""
        first, middle, last = SIDES[self.rows].T.reshape((3, 2) + (1,) * (self.middle.ndim - 1))
        return np.asarray(first * self.arcs[0] + middle * self.middle + last * self.arcs[1])


def full_turn(angle: Floats) -> Floats:
    """Angles brought within [0, 2 pi), float noise below a full circle counted as nothing."""
    return _within_turn(angle.copy())


def _within_turn(angle: Floats) -> Floats:
    """`full_turn` in place."""
    turns = angle * (1 / TURN)
    np.floor(turns, out=turns)
    turns *= TURN
    angle -= turns
    angle[angle > TURN - DUST_RAD] = 0.0
    return np.maximum(angle, 0.0, out=angle)


def word_lengths(start: Floats, end: Floats, radius_m: float, turn: str | None = None) -> Floats:
    """The lengths (6, ...) of the six words from `start` to `end`, in metres, in the order of SIDES.

    Args:
        start: shape (..., 3).
        end: shape (..., 3); both shapes are broadcast together.
        radius_m: the tightest turn, greater than 0.
        turn: the way that a word must turn, or None.

    Returns:
        The lengths; infinite where a word does not exist or turns the wrong way.
    """
    lengths = np.full((len(SIDES), *np.broadcast_shapes(start.shape, end.shape)[:-1]), np.inf)
    for twins in _solve(start, end, radius_m):
        found = twins.lengths_m(radius_m)
        lengths[twins.rows] = turning(found, twins.turns_rad(), turn) if turn else found
    return lengths


def solve(start: Floats, end: Floats, radius_m: float) -> Words:
    """The six words from `start` to `end` with their pieces; arguments as of `word_lengths`."""
    shape = np.broadcast_shapes(start.shape, end.shape)[:-1]
    words = Words(np.full((len(SIDES), *shape), np.inf), np.zeros((3, len(SIDES), *shape)))
    for twins in _solve(start, end, radius_m):
        words.lengths_m[twins.rows] = twins.lengths_m(radius_m)
        words.pieces[1, twins.rows] = twins.middle
        words.pieces[::2, twins.rows] = twins.arcs
    return words


def _solve(start: Floats, end: Floats, radius_m: float) -> Iterator[_Twins]:
    """The words, two at a time; those without any that exists are left out."""
    first, last = start[..., 2], end[..., 2]
    dx = (end[..., 0] - start[..., 0]) / radius_m
    dy = (end[..., 1] - start[..., 1]) / radius_m
    side = np.array([1.0, -1.0]).reshape((2,) + (1,) * dx.ndim)
    from_x, from_y = side * -np.sin(first), side * np.cos(first)  # the centres of the circles to either side
    # Room for all large arrays at once: in pieces, memory would be handed back and taken anew all the time.
    room = np.empty((9, 2, *dx.shape))
    to, across, bearing, arcs, more_arcs = room[:2], room[2:4], room[4], room[5:7], room[7:]
    np.add(dx, side * -np.sin(last), out=to[0])
    np.add(dy, side * np.cos(last), out=to[1])

    np.subtract(to[0], from_x, out=across[0])
    np.subtract(to[1], from_y, out=across[1])
    apart = _polar(across, bearing)
    _turned(side, first, bearing, last, arcs)
    three = apart <= 4.0
    if three.any():
        # LRL, RLR: the middle circle touches both others, its centre the apex of an isosceles triangle.
        base = np.arccos(np.minimum(apart / 4.0, 1.0))
        np.add(arcs, base, out=more_arcs)
        more_arcs += np.pi / 2
        yield _Twins(slice(4, 6), _within_turn(more_arcs), np.pi + 2 * base, three)
    together = apart < SAME_PLACE
    if together.any():
        _turned(side, first, np.where(together, first, bearing), last, arcs)
    yield _Twins(slice(0, 2), _within_turn(arcs), apart, None)  # LSL, RSR

    np.subtract(to[0, ::-1], from_x, out=across[0])
    np.subtract(to[1, ::-1], from_y, out=across[1])
    apart = _polar(across, bearing)
    crossed = (apart - 2.0) * (apart + 2.0)
    apart_enough = crossed >= 0.0
    if apart_enough.any():  # LSR, RSL
        straight = np.sqrt(np.maximum(crossed, 0.0))
        bearing += side * np.arctan2(np.full_like(straight, 2.0), straight)
        _turned(side, first, bearing, last, arcs)
        np.negative(arcs[1], out=arcs[1])
        yield _Twins(slice(2, 4), _within_turn(arcs), straight, apart_enough)


def _turned(side: Floats, first: Floats, bearing: Floats, last: Floats, arcs: Floats) -> None:
    """Puts into `arcs` how far circles turn from the first heading to a bearing, and on to the last one."""
    np.subtract(bearing, first, out=arcs[0])
    np.subtract(last, bearing, out=arcs[1])
    arcs *= side


def _polar(vectors: Floats, bearing: Floats) -> Floats:
    """The lengths of vectors (2, ...), which are used up; their headings are put into `bearing`."""
    np.arctan2(vectors[1], vectors[0], out=bearing)
    vectors *= vectors
    square: Floats = np.add(vectors[0], vectors[1], out=vectors[0])
    return np.sqrt(square, out=square)


def turning(lengths_m: Floats, turns_rad: Floats, turn: str | None) -> Floats:
    """The lengths, infinite where a curve does not turn "left" or "right", taken all together, as it should."""
    if turn is None:
        return lengths_m
    side = 1.0 if turn == "left" else -1.0
    return np.asarray(np.where(side * turns_rad > NO_TURN_RAD, lengths_m, np.inf))


def turns_as(turn_rad: float, turn: str | None) -> bool:
    """Whether a curve that turns by so much, left positive, turns "left" or "right" as it should."""
    return turn is None or (turn_rad if turn == "left" else -turn_rad) > NO_TURN_RAD

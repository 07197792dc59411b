"""Shortest curves of bounded curvature between two poses, for whole arrays of pairs at once.

The shortest curve whose radius never falls below r is one of six words (L. E. Dubins, "On curves of minimal length
with a constraint on average curvature", Am. J. Math. 79, 1957): an arc, a straight and an arc (LSL, RSR, LSR, RSL),
or three arcs (LRL, RLR), the middle one longer than a half circle. The closed forms here go by the centres of the
first and the last circle.

Poses are arrays whose last axis holds x, y (metres) and heading (radians counter-clockwise from +x).
"""

from __future__ import annotations

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


def full_turn(angle: Floats) -> Floats:
    """Angles brought within [0, 2 pi), float noise below a full circle counted as nothing."""
    return _within_turn(angle.copy())


def _within_turn(angle: Floats) -> Floats:
    """`full_turn` in place."""
    turns = angle * (1 / TURN)
    np.floor(turns, out=turns)
    turns *= TURN
    angle -= turns
    np.copyto(angle, 0.0, where=angle > TURN - DUST_RAD)
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
    words = solve(start, end, radius_m)
    return turning(words.lengths_m, words.turns_rad, turn) if turn else words.lengths_m


def solve(start: Floats, end: Floats, radius_m: float) -> Words:
    """The six words from `start` to `end` with their pieces; arguments as of `word_lengths`."""
    first, last = start[..., 2], end[..., 2]
    dx, dy = ((end[..., axis] - start[..., axis]) / radius_m for axis in (0, 1))
    one = (1,) * dx.ndim
    side = SIDES[:2, 0].reshape(2, *one)
    pieces = np.empty((3, 6, *dx.shape))
    arcs, middle = pieces[::2], pieces[1]

    # From the centre of the circle to either side of the start to those of the end: LSL, RSR, LSR, RSL.
    across = np.empty((2, 4, *dx.shape))
    for way, to, begin in (
        (across[0], dx + side * -np.sin(last), side * -np.sin(first)),
        (across[1], dy + side * np.cos(last), side * np.cos(first)),
    ):
        np.subtract(to, begin, out=way[:2])
        np.subtract(to[::-1], begin, out=way[2:])
    bearing = np.arctan2(across[1], across[0])
    across *= across
    apart = np.add(across[0], across[1], out=across[0])
    np.sqrt(apart, out=apart)
    outer, inner = apart[:2], apart[2:]
    middle[:2] = outer
    crossed = (inner - 2.0) * (inner + 2.0)
    np.sqrt(np.maximum(crossed, 0.0), out=middle[2:4])
    bearing[2:] += side * np.arctan2(np.full_like(crossed, 2.0), middle[2:4])
    _turned(first, bearing, last, arcs[:, :4])

    # LRL, RLR: the middle circle touches both others, its centre the apex of an isosceles triangle.
    base = np.arccos(np.minimum(outer / 4.0, 1.0))
    np.add(arcs[:, :2], base, out=arcs[:, 4:])
    arcs[:, 4:] += np.pi / 2
    np.add(np.pi, 2 * base, out=middle[4:])

    together = outer < SAME_PLACE
    if together.any():
        _turned(first, np.where(together, first, bearing[:2]), last, arcs[:, :2])
    lengths = _within_turn(arcs[0]) + middle
    lengths += _within_turn(arcs[1])
    lengths *= radius_m
    np.copyto(lengths[2:4], np.inf, where=crossed < 0.0)
    np.copyto(lengths[4:], np.inf, where=outer > 4.0)
    return Words(lengths, pieces)


def _turned(first: Floats, bearing: Floats, last: Floats, arcs: Floats) -> None:
    """Puts into `arcs` how far circles turn from the first heading to a bearing, and on to the last one."""
    np.subtract(bearing, first, out=arcs[0])
    np.subtract(last, bearing, out=arcs[1])
    arcs *= SIDES[: len(bearing), ::2].T.reshape(2, -1, *(1,) * (bearing.ndim - 1))


def turning(lengths_m: Floats, turns_rad: Floats, turn: str | None) -> Floats:
    """The lengths, infinite where a curve does not turn "left" or "right", taken all together, as it should."""
    if turn is None:
        return lengths_m
    side = 1.0 if turn == "left" else -1.0
    return np.asarray(np.where(side * turns_rad > NO_TURN_RAD, lengths_m, np.inf))


def turns_as(turn_rad: float, turn: str | None) -> bool:
    """Whether a curve that turns by so much, left positive, turns "left" or "right" as it should."""
    return turn is None or (turn_rad if turn == "left" else -turn_rad) > NO_TURN_RAD

"""Shortest curves of bounded curvature between two poses, for whole arrays of pairs at once.

The shortest curve whose radius never falls below r is one of six words (L. E. Dubins, "On curves of minimal length
with a constraint on average curvature", Am. J. Math. 79, 1957): an arc, a straight and an arc (LSL, RSR, LSR, RSL),
or three arcs (LRL, RLR), the middle one longer than a half circle. The closed forms here go by the centres of the
first and the last circle.

Poses are arrays whose last axis holds x, y (metres) and heading (radians counter-clockwise from +x).
"""

from __future__ import annotations

from dataclasses import dataclass

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
]

Floats = NDArray[np.float64]

TURN = 2 * np.pi
SIDES = np.array([[1, 0, 1], [-1, 0, -1], [1, 0, -1], [-1, 0, 1], [1, -1, 1], [-1, 1, -1]], dtype=float)
"""Of each word's three pieces: 1 turns left, -1 right, 0 runs straight. Order: LSL, RSR, LSR, RSL, LRL, RLR."""

DUST_RAD = 1e-11  # a turn this close to a full circle is float noise round no turn at all
NO_TURN_RAD = 1e-9
SAME_PLACE = 1e-10  # in turn radii: circles this close coincide


@dataclass(frozen=True, slots=True)
class Words:
    """All six words for each of the pairs.

    Attributes:
        lengths_m: shape (6, ...); infinite where a word does not exist.
        pieces: shape (3, 6, ...): the three pieces, radians for arcs, turn radii for a straight.
        bearing: shape (6, ...): the heading of the straight; of three arcs, the heading from the centre of the first
            circle to that of the last one.
    """

    lengths_m: Floats
    pieces: Floats
    bearing: Floats

    @property
    def turns_rad(self) -> Floats:
        """The signed change of heading of each word, shape (6, ...); left is positive."""
        sides = SIDES.T.reshape((3, 6) + (1,) * (self.lengths_m.ndim - 1))
        return np.asarray((sides * self.pieces).sum(axis=0))

    def part(self, pairs: slice) -> Words:
        """The words of some of the pairs, where these have one axis."""
        return Words(self.lengths_m[:, pairs], self.pieces[:, :, pairs], self.bearing[:, pairs])

    def pull(self) -> tuple[Floats, Floats]:
        """How much shorter each word gets per metre by which its first circle moves along x and along y.

        The last circle's pull is the opposite. Along a word with a straight it is the straight's direction.
        """
        size = np.ones_like(self.bearing)
        size[4:] = -1.0 / np.maximum(np.sin((self.pieces[1, 4:] - np.pi) / 2), 1e-9)  # no bound for circles in a row
        return size * np.cos(self.bearing), size * np.sin(self.bearing)


def full_turn(angle: Floats) -> Floats:
    """Angles brought within [0, 2 pi), float noise below a full circle counted as nothing."""
    turned = angle.copy()
    _bring_within(turned)
    return turned


def _bring_within(angle: Floats) -> None:
    """`full_turn` in place: large arrays are not copied."""
    turns = angle * (1 / TURN)
    np.floor(turns, out=turns)
    turns *= TURN
    angle -= turns
    angle[angle > TURN - DUST_RAD] = 0.0
    np.maximum(angle, 0.0, out=angle)


def solve(start: Floats, end: Floats, radius_m: float) -> Words:
    """The six words from `start` to `end`.

    Args:
        start: shape (..., 3).
        end: shape (..., 3); both shapes are broadcast together.
        radius_m: the tightest turn, greater than 0.
    """
    first, last = start[..., 2], end[..., 2]
    dx = (end[..., 0] - start[..., 0]) / radius_m
    dy = (end[..., 1] - start[..., 1]) / radius_m
    side = np.array([1.0, -1.0]).reshape((2,) + (1,) * dx.ndim)
    from_x, from_y = side * -np.sin(first), side * np.cos(first)  # the centres of the circles to either side
    to_x, to_y = dx + side * -np.sin(last), dy + side * np.cos(last)

    pieces, bearing = np.empty((3, 6, *dx.shape)), np.empty((6, *dx.shape))
    across_x, across_y = np.empty((4, *dx.shape)), np.empty((4, *dx.shape))
    for words, ends in ((slice(0, 2), slice(None)), (slice(2, 4), slice(None, None, -1))):
        np.subtract(to_x[ends], from_x, out=across_x[words])
        np.subtract(to_y[ends], from_y, out=across_y[words])
    np.arctan2(across_y, across_x, out=bearing[:4])
    across_x *= across_x
    across_y *= across_y
    across_x += across_y
    apart = np.sqrt(across_x, out=across_x)
    bearing[4:] = bearing[:2]

    # LSL, RSR, LSR, RSL
    crossed = (apart[2:] - 2.0) * (apart[2:] + 2.0)
    straight = np.sqrt(np.maximum(crossed, 0.0))
    bearing[2:4] += side * np.arctan2(2.0, straight)
    together = apart[:2] < SAME_PLACE
    if together.any():
        bearing[:2][together] = np.broadcast_to(first, together.shape)[together]
    pieces[1, :2], pieces[1, 2:4] = apart[:2], straight
    # LRL, RLR: the middle circle touches both others, its centre the apex of an isosceles triangle.
    base = np.arccos(np.minimum(apart[:2] / 4.0, 1.0))
    pieces[1, 4:] = np.pi + 2 * base

    for words in (slice(0, 2), slice(2, 4), slice(4, 6)):
        np.multiply(side, bearing[words] - first, out=pieces[0, words])
        np.multiply(side if words.start != 2 else -side, last - bearing[words], out=pieces[2, words])
    for arcs in (pieces[0], pieces[2]):
        arcs[4:] += base
        arcs[4:] += np.pi / 2
        _bring_within(arcs)
    lengths = radius_m * pieces.sum(axis=0)
    lengths[2:4][crossed < 0.0] = np.inf
    lengths[4:][apart[:2] > 4.0] = np.inf
    return Words(lengths, pieces, bearing)


def turning(lengths_m: Floats, turns_rad: Floats, turn: str | None) -> Floats:
    """The lengths, infinite where a curve does not turn "left" or "right", taken all together, as it should."""
    if turn is None:
        return lengths_m
    side = 1.0 if turn == "left" else -1.0
    return np.asarray(np.where(side * turns_rad > NO_TURN_RAD, lengths_m, np.inf))


def turns_as(turn_rad: float, turn: str | None) -> bool:
    """Whether a curve that turns by so much, left positive, turns "left" or "right" as it should."""
    return turn is None or (turn_rad if turn == "left" else -turn_rad) > NO_TURN_RAD

"""One curve of a leg, exactly: the six words between two poses, and how their lengths change."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from coursecheck.geometry.frames import turn_rad
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.words import DUST_RAD, SAME_PLACE, SIDES, TURN

if TYPE_CHECKING:
    from coursecheck.path.detour import Route

__all__ = [
    "Curve",
    "Pieces",
    "Place",
    "Stiffness",
    "Tension",
    "Word",
    "full_turn_of",
    "place_of",
    "shortest_word",
    "words_between",
]

Place = tuple[float, float, float]
"""x, y (metres) and heading (radians counter-clockwise from +x)."""

Pieces = tuple[tuple[float, float], ...]
"""Pieces in a row: (length in metres, curvature in 1/m)."""

WORD_SIDES: Sequence[tuple[float, float, float]] = [tuple(row) for row in SIDES.tolist()]
LEAST_M = 1e-9  # second derivatives of a straight as short as this have no bound


@dataclass(frozen=True, slots=True)
class Curve:
    """A curve between two poses.

    Attributes:
        length_m: its length.
        pieces: arcs and straights in turn: (length in metres, curvature in 1/m), also those without a length.
        route: the wraps that it takes; None for a word.
    """

    length_m: float
    pieces: Pieces
    route: Route | None

    @property
    def loop_rad(self) -> float:
        """How far the curve turns, left and right added up, beyond the turn from its first to its last heading."""
        turns = [length_m * curvature for length_m, curvature in self.pieces]
        return sum(map(abs, turns)) - abs(turn_rad(0.0, sum(turns)))

    def segments(self, start: Pose) -> tuple[Segment, ...]:
        """The curve from its start, pieces without a length left out."""
        segments: list[Segment] = []
        for length_m, curvature in self.pieces:
            if length_m > 0.0:
                segments.append(Segment(start, length_m, curvature))
                start = segments[-1].end
        return tuple(segments)


class Stiffness(NamedTuple):
    """A part of the second derivatives of a length by the centres of the first and of the last circle.

    With f = (first_x, first_y) and l likewise they are `first` f f', `last` l l' and, mixed, -`both` f l'.
    """

    first: float
    both: float
    last: float
    first_x: float
    first_y: float
    last_x: float
    last_y: float


class Tension(NamedTuple):
    """How a curve's length changes when the circles at its ends move and its form stays.

    Attributes:
        first_side, last_side: which way the two circles turn, 1 or -1.
        first_x, first_y: how much shorter it gets per metre by which the first circle moves along x and y.
        last_x, last_y: how much longer, by the last circle.
        stiffness: the second derivatives.
    """

    first_side: float
    last_side: float
    first_x: float
    first_y: float
    last_x: float
    last_y: float
    stiffness: tuple[Stiffness, ...]


class Word(NamedTuple):
    """One of the six words between two poses: see `path.words`, which has them for whole arrays.

    Attributes:
        length_m: its length.
        row: which of them.
        first, middle, last: its pieces: radians of arcs, turn radii of a straight.
        bearing: the heading of the straight; of three arcs, from the centre of the first circle to that of the last.
        radius_m: of its arcs.
    """

    length_m: float
    row: int
    first: float
    middle: float
    last: float
    bearing: float
    radius_m: float

    @property
    def turn_rad(self) -> float:
        """The signed change of heading; left is positive."""
        first, middle, last = WORD_SIDES[self.row]
        return first * self.first + middle * self.middle + last * self.last

    def curve(self) -> Curve:
        """The word as a curve."""
        radius_m = self.radius_m
        sides = WORD_SIDES[self.row]
        amounts = (self.first, self.middle, self.last)
        pieces = tuple((amount * radius_m, side / radius_m) for amount, side in zip(amounts, sides, strict=True))
        return Curve(self.length_m, pieces, None)

    def tension(self) -> Tension:
        """How the length changes."""
        first_side, _, last_side = WORD_SIDES[self.row]
        x, y = math.cos(self.bearing), math.sin(self.bearing)
        if self.row < 4:
            bend = 1 / max(self.middle * self.radius_m, LEAST_M)
            return Tension(first_side, last_side, x, y, x, y, (Stiffness(bend, bend, bend, -y, x, -y, x),))
        # Three arcs: only how far the outer circles are apart counts; no bound for circles in a row.
        half = (self.middle - math.pi) / 2
        sine = max(math.sin(half), LEAST_M)
        apart_m = max(4 * math.cos(half) * self.radius_m, LEAST_M)
        pull, across, along = -1 / sine, -1 / (sine * apart_m), -apart_m / (16 * self.radius_m**2 * sine**3)
        stiffness = (Stiffness(across, across, across, -y, x, -y, x), Stiffness(along, along, along, x, y, x, y))
        return Tension(first_side, last_side, pull * x, pull * y, pull * x, pull * y, stiffness)


def place_of(pose: Sequence[float]) -> Place:
    """A pose from a row of an array."""
    x, y, heading = pose
    return x, y, heading


def full_turn_of(angle: float) -> float:
    """An angle brought within [0, 2 pi), float noise below a full circle counted as nothing."""
    turned = angle % TURN
    return 0.0 if turned > TURN - DUST_RAD else turned


def words_between(start: Place, end: Place, radius_m: float, only: int | None = None) -> list[Word]:
    """The words that exist from `start` to `end`, in the order of `SIDES`, or the one of the row `only` alone."""
    return [Word(*word, radius_m) for word in _words(start, end, radius_m, only)]


def shortest_word(start: Place, end: Place, radius_m: float) -> Word:
    """The shortest of all words from `start` to `end`; of equals the first in the order of `SIDES`."""
    return Word(*min(_words(start, end, radius_m, None)), radius_m)


def _words(
    start: Place, end: Place, radius_m: float, only: int | None
) -> list[tuple[float, int, float, float, float, float]]:
    """The figures of `Word` but for the radius."""
    x, y, first = start
    dx, dy, last = (end[0] - x) / radius_m, (end[1] - y) / radius_m, end[2]
    from_x, from_y, to_x, to_y = -math.sin(first), math.cos(first), -math.sin(last), math.cos(last)
    words = []
    threes = []
    for row, side in ((0, 1.0), (1, -1.0)):
        if only is not None and only not in (row, row + 4):
            continue
        across_x, across_y = dx + side * (to_x - from_x), dy + side * (to_y - from_y)
        apart = math.sqrt(across_x * across_x + across_y * across_y)
        bearing = math.atan2(across_y, across_x) if apart >= SAME_PLACE else first
        begin, close = side * (bearing - first), side * (last - bearing)
        if only != row + 4:
            a, c = full_turn_of(begin), full_turn_of(close)
            words.append((radius_m * (a + apart + c), row, a, apart, c, bearing))
        if only != row and apart <= 4.0:
            # The middle circle touches both others, its centre the apex of an isosceles triangle.
            base = math.acos(apart / 4.0)
            a, c = full_turn_of(begin + base + math.pi / 2), full_turn_of(close + base + math.pi / 2)
            b = math.pi + 2 * base
            threes.append((radius_m * (a + b + c), 4 + row, a, b, c, bearing))
    for row, side in ((2, 1.0), (3, -1.0)):
        if only is not None and only != row:
            continue
        across_x, across_y = dx - side * (to_x + from_x), dy - side * (to_y + from_y)
        crossed = across_x * across_x + across_y * across_y - 4.0
        if crossed >= 0.0:
            straight = math.sqrt(crossed)
            bearing = math.atan2(across_y, across_x) + side * math.atan2(2.0, straight)
            a, c = full_turn_of(side * (bearing - first)), full_turn_of(side * (bearing - last))
            words.append((radius_m * (a + straight + c), row, a, straight, c, bearing))
    return words + threes

"""One curve of a leg, taken out of the arrays."""

from __future__ import annotations

from dataclasses import dataclass

from coursecheck.geometry.frames import turn_rad
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.detour import Curves, Route
from coursecheck.path.words import SIDES, Words

__all__ = ["Curve", "Pieces", "word_curve", "wrapped_curve"]

Pieces = tuple[tuple[float, float], ...]
"""Pieces in a row: (length in metres, curvature in 1/m)."""


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


def word_curve(words: Words, row: int, pair: int, radius_m: float) -> Curve:
    """One of the six words between one pair of poses."""
    amounts = words.pieces[:, row, pair].tolist()
    pieces = tuple((a * radius_m, side / radius_m) for a, side in zip(amounts, SIDES[row].tolist(), strict=True))
    return Curve(float(words.lengths_m[row, pair]), pieces, None)


def wrapped_curve(curves: Curves, k: int, route: Route) -> Curve:
    """One of the four curves of a route, of the first pair of poses."""
    arcs = (curves.turns[:, k, 0] * curves.radii_m).tolist()
    bends = (curves.sides[:, k] / curves.radii_m).tolist()
    pieces: list[tuple[float, float]] = []
    for arc, bend, straight in zip(arcs, bends, [*curves.straights_m[:, k, 0].tolist(), None], strict=True):
        pieces.append((arc, bend))
        if straight is not None:
            pieces.append((straight, 0.0))
    return Curve(float(curves.lengths_m[k, 0]), tuple(pieces), route)

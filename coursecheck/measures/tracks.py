"""A line, drawn as chords: what is near it, what it crosses and how it looks is found by them."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Segment, outline
from coursecheck.path.line import Line
from coursecheck.path.memo import Memo

__all__ = ["CHORD_M", "Geometries", "Tracks", "geometries", "tracks_of"]

CHORD_M = 1e-3  # chords of a drawn track stay this near to it; distances are then worked out exactly
NOTHING = LineString()
COARSE_M = 1e-2  # chords of the whole line, which is only to be drawn

Geometries = NDArray[np.object_]


@dataclass(frozen=True, eq=False)
class Tracks:
    """A line by its pieces.

    Attributes:
        pieces: from the first entry to the last exit.
        ways: which of the pieces each pass and the leg after it have.
        runs: which of them each pass has.
        legs: which of them each leg has, with the landing before and the take-off after it: a flight is straight, so
            its whole piece belongs to both neighbouring legs.
        grounds: which of them each leg has without those.
        memo: keeps what was drawn and measured along pieces.
    """

    pieces: tuple[Segment, ...]
    ways: tuple[range, ...]
    runs: tuple[range, ...]
    legs: tuple[range, ...]
    grounds: tuple[range, ...]
    memo: Memo = field(default_factory=Memo)

    @cached_property
    def tokens(self) -> tuple[object, ...]:
        """What stands for each piece in keys of the memo: the same for pieces of exactly the same figures."""
        figures = [(p.start.x, p.start.y, p.start.heading, p.length_m, p.curvature) for p in self.pieces]
        return tuple(self.memo.many("piece", figures, lambda missing: [object() for _ in missing]))

    def key(self, pieces: range) -> tuple[object, ...]:
        """What stands for some pieces that follow each other."""
        return self.tokens[pieces.start : pieces.stop]

    def outlined(self, runs: Sequence[range], chord_error_m: float = CHORD_M) -> list[tuple[Point, ...]]:
        """Points along runs of pieces that follow each other, each joint once; without pieces there are none.

        Args:
            runs: which pieces.
            chord_error_m: their chords stay this near to the pieces.
        """

        def joined(missing: list[int]) -> Iterator[tuple[Point, ...]]:
            pieces = sorted({i for k in missing for i in runs[k]})
            outlines = dict(zip(pieces, self._outlines(pieces, chord_error_m), strict=True))
            return (_joined([outlines[i] for i in runs[k]]) for k in missing)

        return self.memo.many(f"outlined {chord_error_m}", [self.key(run) for run in runs], joined)

    def chords(self, runs: Sequence[range]) -> Geometries:
        """The chords of runs of pieces, see `outlined`; empty lines where there are no pieces."""
        return geometries(
            self.memo.many(
                "chords",
                [self.key(run) for run in runs],
                lambda missing: _lines(self.outlined([runs[i] for i in missing])),
            )
        )

    def chords_of_each(self, pieces: Sequence[int]) -> Geometries:
        """The chords of some pieces by themselves."""
        return geometries(
            self.memo.many(
                "chords of each",
                [self.tokens[i] for i in pieces],
                lambda missing: _lines(self._outlines([pieces[k] for k in missing], CHORD_M)),
            )
        )

    @cached_property
    def coarse(self) -> tuple[Point, ...]:
        """Points along the whole line, whose chords stay within COARSE_M of it."""
        return _joined(self.outlined(self.ways, COARSE_M))

    def _outlines(self, pieces: Sequence[int], chord_error_m: float) -> list[tuple[Point, ...]]:
        return self.memo.many(
            f"outline {chord_error_m}",
            [self.tokens[i] for i in pieces],
            lambda missing: [tuple(outline([self.pieces[pieces[k]]], chord_error_m)) for k in missing],
        )

    @cached_property
    def points(self) -> list[tuple[Point, ...]]:
        """Points along each leg."""
        return self.outlined(self.legs)

    @cached_property
    def lines(self) -> Geometries:
        """The chords of each leg."""
        return self.chords(self.legs)

    @cached_property
    def boxes(self) -> NDArray[np.float64]:
        """The boxes round the chords of each leg: left, bottom, right, top; of a leg without pieces nan."""
        return np.asarray(shapely.bounds(self.lines))


def tracks_of(line: Line, memo: Memo) -> Tracks:
    """The pieces of a line."""
    ways, runs, legs, grounds = [], [], [], []
    pieces: list[Segment] = []
    landing = 0
    for i, run in enumerate(line.passes):
        enter = len(pieces)
        pieces += run.segments
        leave = len(pieces)
        runs.append(range(enter, leave))
        if i > 0:
            legs.append(range(landing, leave if run.before_m else enter))
        if i < len(line.legs):
            pieces += line.legs[i].segments
            grounds.append(range(leave, len(pieces)))
        landing = enter if run.after_m else leave
        ways.append(range(enter, len(pieces)))
    return Tracks(tuple(pieces), tuple(ways), tuple(runs), tuple(legs), tuple(grounds), memo)


def geometries(some: Iterable[BaseGeometry]) -> Geometries:
    """Geometries as an array."""
    listed = list(some)
    array = np.empty(len(listed), dtype=object)
    array[:] = listed
    return array


def _joined(outlines: Sequence[tuple[Point, ...]]) -> tuple[Point, ...]:
    """The points of pieces that follow each other, each joint once."""
    joined = list(outlines[0]) if outlines else []
    for points in outlines[1:]:
        joined += points[1:]
    return tuple(joined)


def _lines(rows: Sequence[Sequence[Point]]) -> Geometries:
    """A line through each row of points; empty where there are none."""
    lines = geometries([NOTHING] * len(rows))
    drawn = [i for i, row in enumerate(rows) if row]
    if drawn:
        owners = np.repeat(np.arange(len(drawn)), [len(rows[i]) for i in drawn])
        lines[drawn] = shapely.linestrings(np.array(list(itertools.chain.from_iterable(rows))), indices=owners)
    return lines

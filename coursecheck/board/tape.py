"""The measuring tape laid along the dog's line."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from coursecheck.geometry.distances import nearest_on_piece
from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Segment
from coursecheck.measures.scene import Scene

__all__ = ["Stretch", "reaches", "stretch_between"]

# Where the line crosses itself, a point lies on both branches: as near to both, which are far from each other by way.
_AS_NEAR_M, _APART_M = 0.05, 1.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the line.

    Attributes:
        ends: its ends.
        pieces: its exact pieces, in the direction of the run.
        length_m: how long it is.
    """

    ends: tuple[Point, Point]
    pieces: tuple[Segment, ...]
    length_m: float


def reaches(scene: Scene) -> Iterator[float]:
    """How far along the line each obstacle is gone into, from the first one on, in metres."""
    passes, legs = scene.line.passes, scene.line.legs
    reached = -passes[0].before_m if passes else 0.0
    for i, run in enumerate(passes):
        yield max(0.0, reached + run.before_m)
        reached += run.length_m + (legs[i].length_m if i < len(legs) else 0.0)


def stretch_between(scene: Scene, start: Point | int, end: Point | int, reach_m: float) -> Stretch | None:
    """The line between two of its points, or passes by their numbers, counted where their obstacles are gone into.

    Where a point lies on several branches of the line, those are taken that are nearest to each other.

    Args:
        scene: the measured plan.
        start: one end; a point need not lie on the line, only near it.
        end: the other one.
        reach_m: how far a point may lie from the line.

    Returns:
        The stretch, or None where a point is too far off or there is no such pass.
    """
    pieces = scene.line.segments()
    first, last = (_offsets(scene, pieces, place, reach_m) for place in (start, end))
    if not first or not last:
        return None
    spans = ((min(a, b), max(a, b)) for a in first for b in last)
    low, high = min(spans, key=lambda span: span[1] - span[0])
    cut = tuple(_cut(pieces, low, high))
    ends = (cut[0].start.point, cut[-1].end.point) if cut else (_at(pieces, low), _at(pieces, low))
    return Stretch(ends, cut, high - low)


def _offsets(scene: Scene, pieces: tuple[Segment, ...], place: Point | int, reach_m: float) -> list[float]:
    """How far along the pieces a place lies; several where branches meet there."""
    if isinstance(place, int):
        before = scene.line.passes[0].before_m if scene.line.passes else 0.0
        return [metres + before for metres in reaches(scene)][place - 1 : place] if place > 0 else []
    near: list[tuple[float, float]] = []
    reached = 0.0
    for piece in pieces:
        point = nearest_on_piece(piece, place)
        near.append((math.dist(point, place), reached + _along(piece, point)))
        reached += piece.length_m
    away, best = min(near, default=(math.inf, 0.0))
    others = [offset for distance, offset in near if distance <= away + _AS_NEAR_M and abs(offset - best) > _APART_M]
    return [best, *others] if away <= reach_m else []


def _along(piece: Segment, point: Point) -> float:
    """How far along a piece one of its points lies."""
    if not piece.curvature:
        return math.dist(piece.start.point, point)
    x, y = piece.centre
    begun, reached = (math.atan2(b - y, a - x) for a, b in (piece.start.point, point))
    turned = math.copysign(1.0, piece.curvature) * (reached - begun) % math.tau
    # A hair before the start reads as nearly a whole turn.
    turned = 0.0 if turned > (math.tau + abs(piece.turn_rad)) / 2 else min(turned, abs(piece.turn_rad))
    return turned / abs(piece.curvature)


def _cut(pieces: tuple[Segment, ...], low: float, high: float) -> Iterator[Segment]:
    reached = 0.0
    for piece in pieces:
        begin, end = max(low - reached, 0.0), min(high - reached, piece.length_m)
        if end > begin:
            yield Segment(piece.at(begin), end - begin, piece.curvature)
        reached += piece.length_m


def _at(pieces: tuple[Segment, ...], offset: float) -> Point:
    for piece in pieces:
        if offset <= piece.length_m:
            return piece.at(offset).point
        offset -= piece.length_m
    return pieces[-1].end.point

"""Straights and arcs, each by itself: its end, its box, exact distances to edges; points along many, as arrays."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from coursecheck.geometry.frames import Point
from coursecheck.path.boxes import Bounds
from coursecheck.path.curves import Place
from coursecheck.path.words import Floats

__all__ = ["Piece", "begins", "box_of", "distance", "piece_from", "sample_many"]

STEPS = 8  # chords for each arc in the quick search for what is near
QUARTER_RAD = math.pi / 2
STRAIGHT_RAD = 1e-12  # an arc of so little has its own length as chord


class Piece(NamedTuple):
    """A straight or an arc.

    Attributes:
        start: where it begins.
        length_m: its length.
        curvature: 1/m, positive to the left, 0 for a straight.
        end: where it ends.
    """

    start: Place
    length_m: float
    curvature: float
    end: Place


def piece_from(start: Place, length_m: float, curvature: float) -> Piece:
    """The piece that begins at a pose."""
    x, y, heading = start
    half = curvature * length_m / 2
    chord, turned = length_m * (math.sin(half) / half if half else 1.0), heading + half
    end = x + chord * math.cos(turned), y + chord * math.sin(turned), heading + 2 * half
    return Piece(start, length_m, curvature, end)


def box_of(piece: Piece, margin_m: float) -> Bounds:
    """The box that holds a piece with a margin."""
    (x, y, heading), _, curvature, (last_x, last_y, last) = piece
    low_x, high_x = (x, last_x) if x < last_x else (last_x, x)
    low_y, high_y = (y, last_y) if y < last_y else (last_y, y)
    if curvature:
        least, most = (heading, last) if heading < last else (last, heading)
        radius = 1 / curvature
        centre_x, centre_y = x - radius * math.sin(heading), y + radius * math.cos(heading)
        for quarter in range(math.ceil(least / QUARTER_RAD), math.floor(most / QUARTER_RAD) + 1):
            # Where it heads along an axis, it lies as far out as its circle.
            out = radius if quarter % 4 in (1, 2) else -radius
            if quarter % 2:
                low_x, high_x = min(low_x, centre_x + out), max(high_x, centre_x + out)
            else:
                low_y, high_y = min(low_y, centre_y + out), max(high_y, centre_y + out)
    return low_x - margin_m, low_y - margin_m, high_x + margin_m, high_y + margin_m


def begins(starts: Floats, lengths_m: Floats, curvatures: Floats) -> Floats:
    """The poses (3, n, pieces) where the pieces (n, pieces) of many curves begin."""
    turns = lengths_m * curvatures
    poses = np.empty((3, *turns.shape))
    headings = np.add(starts[:, 2:], turns.cumsum(axis=1) - turns, out=poses[2])
    half = turns / 2
    chords, turned = _chords(lengths_m, half), headings + half
    for axis, share in ((0, np.cos(turned)), (1, np.sin(turned))):
        steps = chords * share
        np.add(starts[:, axis, None], steps.cumsum(axis=1) - steps, out=poses[axis])
    return poses


def sample_many(
    starts: Floats, lengths_m: Floats, curvatures: Floats, from_m: Floats | float, to_m: Floats
) -> tuple[Floats, NDArray[np.bool_], Floats]:
    """Points (n, m, 2) along a stretch of each of many curves, which of them count, and how far chords stray.

    The stretches run from `from_m` to `to_m`, shape (n, 1), along the curves.
    """
    begin_m = lengths_m.cumsum(axis=1) - lengths_m
    low, high = np.maximum(from_m - begin_m, 0.0), np.minimum(to_m - begin_m, lengths_m)
    # A straight is its own chord.
    steps = np.where(curvatures.any(axis=0), STEPS, 1)
    piece = np.repeat(np.arange(len(steps)), steps + 1)
    share = np.concatenate([np.arange(count + 1) / count for count in steps.tolist()])
    run = low[:, piece] + (high - low)[:, piece] * share
    points = _along(begins(starts, lengths_m, curvatures)[..., piece], run, curvatures[:, piece])
    strays_m = _strays(np.maximum(high - low, 0.0), curvatures).max(axis=1)
    return np.moveaxis(points, 0, -1), (low < high)[:, piece], strays_m


def _strays(lengths_m: Floats, curvatures: Floats) -> Floats:
    """How far arcs stray from STEPS chords."""
    bent = np.abs(curvatures)
    half = np.minimum(lengths_m * bent / STEPS / 2, np.pi)
    return np.asarray((1 - np.cos(half)) / np.maximum(bent, 1e-12))


def _along(poses: Floats, run: Floats, curvature: Floats) -> Floats:
    """Points (2, ...) at distances along pieces of constant curvature from poses (3, ...)."""
    half = curvature * run / 2
    chord, turned = _chords(run, half), poses[2] + half
    points = np.empty((2, *half.shape))
    np.add(poses[0], chord * np.cos(turned), out=points[0])
    np.add(poses[1], chord * np.sin(turned), out=points[1])
    return points


def _chords(lengths_m: Floats, half: Floats) -> Floats:
    """The chords of arcs by half the angle of each."""
    half = np.where(half == 0.0, STRAIGHT_RAD, half)
    return np.asarray(lengths_m * (np.sin(half) / half))


def distance(piece: Piece, start: Point, end: Point) -> float:
    """The exact distance in metres from a straight or an arc to the edge from `start` to `end`; 0 where they meet.

    Few pieces come so near to anything that it is asked for: too few for arrays.
    """
    first, last = piece.start[:2], piece.end[:2]
    least = min(_to_edge(first, start, end), _to_edge(last, start, end))
    return min(least, _from_arc(piece, start, end) if piece.curvature else _from_straight(first, last, start, end))


def _to_edge(point: Point, start: Point, end: Point) -> float:
    """From a point to an edge."""
    (x, y), along_x, along_y = start, end[0] - start[0], end[1] - start[1]
    square = max(along_x * along_x + along_y * along_y, 1e-300)
    share = min(max(((point[0] - x) * along_x + (point[1] - y) * along_y) / square, 0.0), 1.0)
    off_x, off_y = x + share * along_x - point[0], y + share * along_y - point[1]
    return math.sqrt(off_x * off_x + off_y * off_y)


def _side(start: Point, end: Point, point: Point) -> float:
    """Greater than 0 to the left of the way from start to end, less to the right."""
    return (end[0] - start[0]) * (point[1] - start[1]) - (end[1] - start[1]) * (point[0] - start[0])


def _from_straight(first: Point, last: Point, start: Point, end: Point) -> float:
    """From a straight to the ends of an edge; 0 where the two cross."""
    if _side(first, last, start) * _side(first, last, end) < 0.0 and (
        _side(start, end, first) * _side(start, end, last) < 0.0
    ):
        return 0.0
    return min(_to_edge(start, first, last), _to_edge(end, first, last))


def _from_arc(piece: Piece, start: Point, end: Point) -> float:
    """From an arc along the rays of its centre to the edge's ends and foot; 0 where the two meet."""
    (x, y, heading), length_m, curvature, _ = piece
    side, radius = math.copysign(1.0, curvature), 1 / abs(curvature)
    centre_x, centre_y = x - math.sin(heading) / curvature, y + math.cos(heading) / curvature
    first, span = heading - side * math.pi / 2, length_m / radius
    edge_x, edge_y = end[0] - start[0], end[1] - start[1]
    length = math.sqrt(max(edge_x * edge_x + edge_y * edge_y, 1e-300))
    unit_x, unit_y = edge_x / length, edge_y / length
    along = (centre_x - start[0]) * unit_x + (centre_y - start[1]) * unit_y
    foot = start[0] + along * unit_x, start[1] + along * unit_y
    square = radius * radius - (foot[0] - centre_x) ** 2 - (foot[1] - centre_y) ** 2
    half = math.sqrt(max(square, 0.0))
    least = math.inf
    for far, meets in ((0.0, False), (length, False), (along, False), (along - half, True), (along + half, True)):
        if not 0.0 <= far <= length or (meets and square < 0.0):
            continue
        off_x, off_y = start[0] + far * unit_x - centre_x, start[1] + far * unit_y - centre_y
        if side * (math.atan2(off_y, off_x) - first) % math.tau <= span:
            if meets:
                return 0.0
            least = min(least, abs(math.sqrt(off_x * off_x + off_y * off_y) - radius))
    return least

"""The line between passes, drawn as chords, and the nearest of what stands beside it, worked out exactly.

Chords pick out the pairs that can be the nearest, for all legs together; only those are worked out exactly.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LinearRing, LineString, MultiLineString, Polygon

from coursecheck.geometry.distances import piece_to_straight
from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Segment, outline
from coursecheck.path.line import Line

__all__ = ["CHORD_M", "NOISE_M", "Geometries", "Near", "Rim", "Tracks", "draw", "nearest", "nearest_parts", "rim_of"]

CHORD_M = 1e-3  # chords of a drawn track stay this near to it; distances are then worked out exactly
REACH_M = 2 * CHORD_M  # chords that come this much nearer than others may belong to pieces that do not
NOISE_M = 1e-9  # float noise between two ways to work out the same distance

Near = tuple[float, Point, Point]
"""A distance in metres, and the two points that are so far apart: on the line, and on what stands beside it."""
Geometries = NDArray[np.object_]


@dataclass(frozen=True, slots=True, eq=False)
class Tracks:
    """A line, drawn.

    Attributes:
        pieces: from the first entry to the last exit.
        outlines: points along each piece; their chords stay within CHORD_M of it.
        chords: the same as geometries.
        ways: which of the pieces each pass and the leg after it have.
        legs: which of them each leg has, with the landing before and the take-off after it: a flight is straight, so
            its whole piece belongs to both neighbouring legs.
        grounds: which of them each leg has without those.
        lines: each leg, drawn; empty where it has no pieces.
    """

    pieces: tuple[Segment, ...]
    outlines: tuple[tuple[Point, ...], ...]
    chords: Geometries
    ways: tuple[range, ...]
    legs: tuple[range, ...]
    grounds: tuple[range, ...]
    lines: Geometries

    def points(self, pieces: range) -> tuple[Point, ...]:
        """Points along some pieces that follow each other, each joint once."""
        first, *others = self.outlines[pieces.start : pieces.stop] or ((),)
        return tuple(itertools.chain(first, *(points[1:] for points in others)))

    def drawn(self, pieces: Sequence[range]) -> Geometries:
        """A line along each run of pieces; empty where there are none."""
        return _lines([self.points(one) for one in pieces])


def draw(line: Line) -> Tracks:
    """Draws a line."""
    ways, legs, grounds = [], [], []
    pieces: list[Segment] = []
    landing = 0
    for i, run in enumerate(line.passes):
        enter = len(pieces)
        pieces += run.segments
        leave = len(pieces)
        if i > 0:
            legs.append(range(landing, leave if run.before_m else enter))
        if i < len(line.legs):
            pieces += line.legs[i].segments
            grounds.append(range(leave, len(pieces)))
        landing = enter if run.after_m else leave
        ways.append(range(enter, len(pieces)))
    outlines = tuple(tuple(outline([piece], CHORD_M)) for piece in pieces)
    tracks = Tracks(tuple(pieces), outlines, _lines(outlines), tuple(ways), tuple(legs), tuple(grounds), _lines([]))
    return replace(tracks, lines=tracks.drawn(legs))


def _lines(rows: Sequence[Sequence[Point]]) -> Geometries:
    """A line through each row of points; empty where there are none."""
    lines = np.full(len(rows), LineString(), dtype=object)
    drawn = [i for i, row in enumerate(rows) if row]
    if drawn:
        owners = np.repeat(np.arange(len(drawn)), [len(rows[i]) for i in drawn])
        lines[drawn] = shapely.linestrings(np.array([p for row in rows for p in row]), indices=owners)
    return lines


@dataclass(frozen=True, slots=True, eq=False)
class Rim:
    """Straights that belong together: the sides of the ring, or the edge of something solid.

    Attributes:
        straights: each by its two ends.
        lines: the same, drawn.
        whole: all of them together.
    """

    straights: Sequence[tuple[Point, Point]]
    lines: Geometries
    whole: LinearRing | MultiLineString


def rim_of(straights: Sequence[tuple[Point, Point]]) -> Rim:
    """The rim that some straights make."""
    return Rim(straights, np.asarray(shapely.linestrings(np.array(straights))), MultiLineString(straights))


def _rim_round(part: Polygon) -> Rim:
    """The edge of something solid."""
    ring = part.exterior
    ends = shapely.get_coordinates(ring)
    straights = [((ax, ay), (bx, by)) for (ax, ay), (bx, by) in itertools.pairwise(ends.tolist())]
    return Rim(straights, np.asarray(shapely.linestrings(np.stack([ends[:-1], ends[1:]], axis=1))), ring)


def nearest(tracks: Tracks, meetings: Sequence[tuple[int, Rim]]) -> list[Near]:
    """How near some legs, which have pieces, come to some rims.

    Args:
        tracks: the legs.
        meetings: which leg, by its index, and which rim.
    """
    if not meetings:
        return []
    spans = [tracks.legs[leg] for leg, _ in meetings]
    piece = np.concatenate(spans)
    meeting = np.repeat(np.arange(len(meetings)), [len(span) for span in spans])
    wholes = np.array([rim.whole for _, rim in meetings])
    near = _within_reach(shapely.distance(tracks.chords[piece], wholes[meeting]), meeting, NOISE_M)
    piece, meeting = piece[near], meeting[near]
    rims = [meetings[i][1] for i in meeting.tolist()]
    sizes = [len(rim.straights) for rim in rims]
    straight = np.concatenate([np.arange(size) for size in sizes])
    piece, meeting = np.repeat(piece, sizes), np.repeat(meeting, sizes)
    far = shapely.distance(tracks.chords[piece], np.concatenate([rim.lines for rim in rims]))
    found: list[Near | None] = [None] * len(meetings)
    for k in np.flatnonzero(_within_reach(far, meeting, 0.0)):
        i = int(meeting[k])
        pair = piece_to_straight(tracks.pieces[piece[k]], *meetings[i][1].straights[straight[k]])
        best = found[i]
        found[i] = pair if best is None else min(best, pair)
    return [near for near in found if near is not None]


def _within_reach(far: NDArray[np.float64], meeting: NDArray[np.int64], noise_m: float) -> NDArray[np.bool_]:
    """Which distances may be the least of their meeting, once they are worked out exactly."""
    starts = np.flatnonzero(np.diff(meeting, prepend=-1))
    return np.asarray(far <= np.minimum.reduceat(far, starts)[meeting] + (REACH_M + noise_m))


def nearest_parts(
    tracks: Tracks, parts: Sequence[Polygon], counted: NDArray[np.bool_]
) -> list[tuple[Near, int] | None]:
    """For each leg the part that it comes nearest to, by its index; of several the first.

    Args:
        tracks: the legs.
        parts: solid ground.
        counted: which part counts for which leg, shape (legs, parts).
    """
    found: list[tuple[Near, int] | None] = [None] * len(counted)
    leg, part = _parts_within_reach(tracks.lines, np.array(parts, dtype=object), counted)
    rims = {int(j): _rim_round(parts[j]) for j in np.unique(part)}
    meetings = [(int(i), rims[int(j)]) for i, j in zip(leg, part, strict=True)]
    for (i, _), j, near in zip(meetings, part, nearest(tracks, meetings), strict=True):
        best = found[i]
        if best is None or near[0] < best[0][0]:
            found[i] = (near, int(j))
    return found


def _parts_within_reach(
    lines: Geometries, parts: Geometries, counted: NDArray[np.bool_]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The pairs of a leg and a part that may be the leg's nearest; boxes round them rule out most of the others."""
    ours, theirs = shapely.bounds(lines)[:, None], shapely.bounds(parts)[None]
    aside = np.maximum(np.maximum(theirs[..., :2] - ours[..., 2:], ours[..., :2] - theirs[..., 2:]), 0.0)
    apart = np.where(counted & ~shapely.is_empty(lines)[:, None], np.hypot(aside[..., 0], aside[..., 1]), np.inf)
    legs = np.flatnonzero(np.isfinite(apart).any(axis=1))
    apart = apart[legs]
    one = apart.argmin(axis=1)
    most = shapely.distance(lines[legs], parts[one]) + (REACH_M + NOISE_M)
    row, part = np.nonzero(apart <= most[:, None])
    far = shapely.distance(lines[legs[row]], parts[part])
    near = _within_reach(far, row, 0.0)
    return legs[row[near]], part[near]

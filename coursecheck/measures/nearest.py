"""How near the legs of a line come to what stands beside them, worked out exactly.

Chords pick out the pairs of a piece and a straight that can be the nearest, for all legs together; only those are
worked out exactly.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiLineString, Polygon

from coursecheck.geometry.distances import piece_to_straight
from coursecheck.geometry.frames import Point
from coursecheck.measures.tracks import CHORD_M, Geometries, Tracks, geometries

__all__ = ["NOISE_M", "Near", "Rim", "nearest", "nearest_parts"]

REACH_M = 2 * CHORD_M  # chords that come this much nearer than others may belong to pieces that do not
NOISE_M = 1e-9  # float noise between two ways to work out the same distance

Near = tuple[float, Point, Point]
"""A distance in metres, and the two points that are so far apart: on the line, and on what stands beside it."""
Rim = Polygon | MultiLineString
"""What a leg can come near to: the edge of something solid, or sides of the ring, two points each."""


def nearest(tracks: Tracks, meetings: Sequence[tuple[int, Rim]]) -> list[Near]:
    """How near some legs, which have pieces, come to some rims.

    Args:
        tracks: the legs.
        meetings: which leg, by its index, and which rim.
    """
    keys = [(tracks.key(tracks.legs[leg]), rim) for leg, rim in meetings]
    return tracks.memo.many("near", keys, lambda missing: _nearest(tracks, [meetings[i] for i in missing]))


def _nearest(tracks: Tracks, meetings: Sequence[tuple[int, Rim]]) -> list[Near]:
    spans = [tracks.legs[leg] for leg, _ in meetings]
    piece = np.concatenate(spans)
    chords = np.empty(len(tracks.pieces), dtype=object)
    chords[piece] = geometries(line for _, line in tracks.drawn([range(i, i + 1) for i in piece.tolist()]))
    meeting = np.repeat(np.arange(len(meetings)), [len(span) for span in spans])
    rims = {id(rim): rim for _, rim in meetings}
    wholes = {key: rim.exterior if isinstance(rim, Polygon) else rim for key, rim in rims.items()}
    straights = {key: _straights(rim) for key, rim in rims.items()}
    lines = {key: np.asarray(shapely.linestrings(ends)) for key, ends in straights.items()}
    whole = np.array([wholes[id(rim)] for _, rim in meetings], dtype=object)
    near = _within_reach(shapely.distance(chords[piece], whole[meeting]), meeting, NOISE_M)
    piece, meeting = piece[near], meeting[near]
    keys = [id(meetings[i][1]) for i in meeting.tolist()]
    sizes = [len(lines[key]) for key in keys]
    piece, meeting = np.repeat(piece, sizes), np.repeat(meeting, sizes)
    straight = np.concatenate([straights[key] for key in keys])
    far = shapely.distance(chords[piece], np.concatenate([lines[key] for key in keys]))
    hits = np.flatnonzero(_within_reach(far, meeting, 0.0))
    found: dict[int, Near] = {}
    for i, p, ((ax, ay), (bx, by)) in zip(
        meeting[hits].tolist(), piece[hits].tolist(), straight[hits].tolist(), strict=True
    ):
        pair = piece_to_straight(tracks.pieces[p], (ax, ay), (bx, by))
        found[i] = min(found.get(i, pair), pair)
    return [found[i] for i in range(len(meetings))]


def _straights(rim: Rim) -> NDArray[np.float64]:
    """The straights of a rim by their ends, shape (n, 2, 2)."""
    ends = shapely.get_coordinates(rim)
    return np.stack([ends[:-1], ends[1:]], axis=1) if isinstance(rim, Polygon) else ends.reshape(-1, 2, 2)


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
    meetings = [(i, parts[j]) for i, j in zip(leg.tolist(), part.tolist(), strict=True)]
    for (i, _), j, near in zip(meetings, part.tolist(), nearest(tracks, meetings), strict=True):
        best = found[i]
        if best is None or near[0] < best[0][0]:
            found[i] = (near, j)
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

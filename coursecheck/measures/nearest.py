"""How near the legs of a line come to what stands beside them, worked out exactly.

Chords pick out the pairs of a piece and a straight that can be the nearest, for all legs together; only those are
worked out exactly.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiLineString, Polygon

from coursecheck.geometry.distances import NOISE_M, piece_to_straight
from coursecheck.geometry.frames import Point
from coursecheck.measures.scene import Solid
from coursecheck.measures.tracks import CHORD_M, Tracks, geometries

__all__ = ["Near", "Rim", "nearest", "nearest_parts", "solids_beside"]

REACH_M = 2 * CHORD_M  # chords that come this much nearer than others may belong to pieces that do not

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
    if not meetings:
        return []
    spans = [tracks.legs[leg] for leg, _ in meetings]
    piece = np.concatenate(spans)
    chords = np.empty(len(tracks.pieces), dtype=object)
    chords[piece] = tracks.chords_of_each(piece.tolist())
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
    begins = np.ones(len(meeting), dtype=bool)
    begins[1:] = meeting[1:] != meeting[:-1]
    least = np.minimum.reduceat(far, np.flatnonzero(begins))[begins.cumsum() - 1]
    return np.asarray(far <= least + (REACH_M + noise_m))


def nearest_parts(tracks: Tracks, meetings: Sequence[tuple[int, Sequence[Polygon]]]) -> list[tuple[Near, int] | None]:
    """The part that each of some legs comes nearest to, by its index among its own; of several the first.

    Args:
        tracks: the legs.
        meetings: which leg, by its index, and the solid parts that it may be nearest to, see `solids_beside`.
    """
    found: list[tuple[Near, int] | None] = [None] * len(meetings)
    pairs = [(row, leg, k) for row, (leg, parts) in enumerate(meetings) for k in range(len(parts))]
    if not pairs:
        return found
    row, leg, _ = np.array(pairs).T
    parts = geometries(part for _, parts in meetings for part in parts)
    near = np.flatnonzero(_within_reach(shapely.distance(tracks.lines[leg], parts), row, 0.0)).tolist()
    measured = nearest(tracks, [(pairs[i][1], parts[i]) for i in near])
    for (i, _, k), one in zip((pairs[i] for i in near), measured, strict=True):
        best = found[i]
        if best is None or one[0] < best[0][0]:
            found[i] = (one, k)
    return found


def solids_beside(
    tracks: Tracks,
    leg_keys: Sequence[Hashable],
    solids: Sequence[Solid],
    boxes: NDArray[np.float64],
    counted: NDArray[np.bool_],
) -> NDArray[np.bool_]:
    """Which solids may be the nearest one of each leg, shape (legs, solids): boxes round them rule out the others.

    Args:
        tracks: the legs.
        leg_keys: what stands for each leg in keys of the memo.
        solids: what the legs run beside.
        boxes: the boxes round them.
        counted: which of them counts for which leg, shape (legs, solids).
    """
    left, bottom, right, top = tracks.boxes.T[:, :, None]
    across = np.maximum(np.maximum(boxes[:, 0] - right, left - boxes[:, 2]), 0.0)
    along = np.maximum(np.maximum(boxes[:, 1] - top, bottom - boxes[:, 3]), 0.0)
    apart = np.where(counted & np.isfinite(left), np.hypot(across, along), np.inf)
    one = apart.argmin(axis=1).tolist()

    def some_distance(missing: list[int]) -> list[float]:
        far: list[float] = shapely.distance(
            tracks.lines[missing], geometries(solids[one[i]].parts[0] for i in missing)
        ).tolist()
        return far

    most = tracks.memo.many(
        "apart", [(leg, solids[i].key) for leg, i in zip(leg_keys, one, strict=True)], some_distance
    )
    return np.asarray(np.isfinite(apart) & (apart <= np.array(most)[:, None] + (REACH_M + NOISE_M)))

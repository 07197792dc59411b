"""How near the legs of a line come to what stands beside them, worked out exactly.

Chords pick out the pairs of a piece and a straight that can be the nearest, for all legs together; only those are
worked out exactly.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from coursecheck.geometry.distances import NOISE_M, piece_to_straight
from coursecheck.geometry.frames import Point
from coursecheck.measures.solids import Rim, Solid
from coursecheck.measures.tracks import CHORD_M, Tracks, geometries

__all__ = ["Near", "nearest", "nearest_parts", "solids_beside"]

REACH_M = 2 * CHORD_M  # chords that come this much nearer than others may belong to pieces that do not

Near = tuple[float, Point, Point]
"""A distance in metres, and the two points that are so far apart: on the line, and on what stands beside it."""


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
    chords = tracks.chords_of_each(piece.tolist())
    meeting = np.repeat(np.arange(len(meetings)), [len(span) for span in spans])
    whole = geometries(rim.lines for _, rim in meetings)
    near = np.flatnonzero(_within_reach(shapely.distance(chords, whole[meeting]), meeting, NOISE_M))
    rims = [meetings[i][1] for i in meeting[near].tolist()]
    near = np.repeat(near, [len(rim.sides) for rim in rims])
    piece, meeting = piece[near], meeting[near]
    far = shapely.distance(chords[near], np.concatenate([rim.each for rim in rims]))
    hits = np.flatnonzero(_within_reach(far, meeting, 0.0))
    sides = [side for rim in rims for side in rim.sides]
    found: dict[int, Near] = {}
    for i, p, hit in zip(meeting[hits].tolist(), piece[hits].tolist(), hits.tolist(), strict=True):
        pair = piece_to_straight(tracks.pieces[p], *sides[hit])
        found[i] = min(found.get(i, pair), pair)
    return [found[i] for i in range(len(meetings))]


def _within_reach(far: NDArray[np.float64], meeting: NDArray[np.int64], noise_m: float) -> NDArray[np.bool_]:
    """Which distances may be the least of their meeting, once they are worked out exactly."""
    begins = np.ones(len(meeting), dtype=bool)
    begins[1:] = meeting[1:] != meeting[:-1]
    least = np.minimum.reduceat(far, np.flatnonzero(begins))[begins.cumsum() - 1]
    return np.asarray(far <= least + (REACH_M + noise_m))


def nearest_parts(tracks: Tracks, meetings: Sequence[tuple[int, Sequence[Solid]]]) -> list[tuple[Near, Solid] | None]:
    """What each of some legs comes nearest to; of several that are as near the first.

    Args:
        tracks: the legs.
        meetings: which leg, by its index, and what it may be nearest to, see `solids_beside`.
    """
    found: list[tuple[Near, Solid] | None] = [None] * len(meetings)
    pairs = [
        (row, leg, solid, k)
        for row, (leg, solids) in enumerate(meetings)
        for solid in solids
        for k in range(len(solid.parts))
    ]
    if not pairs:
        return found
    rows, legs = np.array([(row, leg) for row, leg, *_ in pairs]).T
    far = shapely.distance(tracks.lines[legs], geometries(solid.parts[k] for *_, solid, k in pairs))
    near = [pairs[i] for i in np.flatnonzero(_within_reach(far, rows, 0.0)).tolist()]
    measured = nearest(tracks, [(leg, solid.rims[k]) for _, leg, solid, k in near])
    for (row, _, solid, _), one in zip(near, measured, strict=True):
        best = found[row]
        if best is None or one[0] < best[0][0]:
            found[row] = (one, solid)
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

    most = tracks.memo.many("apart", [(leg, solids[i]) for leg, i in zip(leg_keys, one, strict=True)], some_distance)
    return np.asarray(np.isfinite(apart) & (apart <= np.array(most)[:, None] + (REACH_M + NOISE_M)))

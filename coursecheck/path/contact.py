"""Where curves first come too near to what stands in the way: many curves looked at together, exactly.

Distances are exact: from straights and circular arcs to the edges of polygons, in closed form.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from coursecheck.path.clearance import Stretches, begins, distance
from coursecheck.path.curves import Pieces
from coursecheck.path.parts import Part
from coursecheck.path.words import Floats

__all__ = ["CROSSING_M", "Edges"]

END_M = 1e-7  # a leg begins on the edge of the tunnel that it leaves
START_M = np.array([-1e-6, -1e-6, 1e-6, 1e-6])  # more than that, round a start
CROSSING_M = 1e-9
MIDDLE = 1  # of the three stretches of a leg the one that keeps the clearance


class Edges:
    """The edges of all parts."""

    def __init__(self, parts: Sequence[Part], tree: shapely.STRtree) -> None:
        """Of parts, and the tree of their shapes."""
        self._tree = tree
        self._shapes = [part.shape for part in parts]
        edges = np.concatenate([np.zeros((4, 0)), *(part.edges for part in parts)], axis=1)
        self._starts, self._ends = edges[:2], edges[2:]
        self._low, self._high = np.minimum(self._starts, self._ends), np.maximum(self._starts, self._ends)
        self._counts = np.array([part.edges.shape[1] for part in parts], dtype=int)
        self._firsts = self._counts.cumsum() - self._counts
        self._solid = np.array([part.solid for part in parts], dtype=bool)
        self._filled = [part.filled for part in parts]

    def first_contacts(
        self, starts: Floats, curves: Sequence[Pieces], clearance_m: float, zone_m: float
    ) -> tuple[list[tuple[int, int, int]], Floats]:
        """The first contact of every curve that has one: indices of the curve, of its piece and of the part.

        A curve that begins within a part meets that part. Also of every curve the box (n, 4) outside which nothing
        can come too near to it.

        Args:
            starts: where the curves begin, shape (n, 3).
            curves: their pieces.
            clearance_m: kept from solid parts along the middle of a curve; elsewhere nothing may be crossed.
            zone_m: how far along the curve its two ends reach.
        """
        leg, piece, zone, stretches = _cut(starts, *_padded(curves), zone_m)
        middle = zone == MIDDLE
        begin = np.hstack((starts[:, :2], starts[:, :2])) + START_M
        boxes = np.concatenate((stretches.boxes(np.where(middle, clearance_m, CROSSING_M)), begin))
        at, part = self._tree.query(shapely.box(*boxes.T))
        along = at < len(leg)
        first = {
            k: (k, 0, j)
            for k, j in sorted(
                zip((at[~along] - len(leg)).tolist(), part[~along].tolist(), strict=True), reverse=True
            )
            if self._filled[j] and self._begins_within(starts[k], j)
        }
        at, part, edge = self._near(boxes, at[along], part[along])
        kept = np.where(middle[at] & self._solid[part], clearance_m, CROSSING_M).tolist()
        edges = zip(self._starts[:, edge].T.tolist(), self._ends[:, edge].T.tolist(), strict=True)
        room = [
            distance(near, (from_x, from_y), (to_x, to_y)) - wide
            for near, ((from_x, from_y), (to_x, to_y)), wide in zip(stretches.pieces(at), edges, kept, strict=True)
        ]
        found = zip(at.tolist(), room, edge.tolist(), part.tolist(), strict=True)
        for i, _, _, j in sorted(contact for contact in found if contact[1] < 0.0):
            k = int(leg[i])
            first.setdefault(k, (k, int(piece[i]), j))
        return list(first.values()), _around(np.concatenate((leg, np.arange(len(starts)))), boxes)

    def _begins_within(self, start: Floats, part: int) -> bool:
        """Whether a curve begins within a part, as seen a little ahead."""
        x, y, heading = start.tolist()
        ahead = x + END_M * math.cos(heading), y + END_M * math.sin(heading)
        return bool(shapely.intersects_xy(self._shapes[part], *ahead))

    def _near(
        self, boxes: Floats, at: NDArray[np.intp], part: NDArray[np.intp]
    ) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
        """Of boxes and parts near them, the edges that these meet: indices of box, part and edge."""
        counts = self._counts[part]
        edge = np.arange(counts.sum()) + np.repeat(self._firsts[part] - (counts.cumsum() - counts), counts)
        at, part = np.repeat(at, counts), np.repeat(part, counts)
        low_x, low_y, high_x, high_y = boxes.T[:, at]
        (from_x, from_y), (to_x, to_y) = self._low[:, edge], self._high[:, edge]
        meets = (from_x <= high_x) & (from_y <= high_y) & (to_x >= low_x) & (to_y >= low_y)
        return at[meets], part[meets], edge[meets]


def _around(curve: NDArray[np.intp], boxes: Floats) -> Floats:
    """For each curve a box (n, 4) that holds its own ones."""
    order = curve.argsort(kind="stable")
    firsts = np.searchsorted(curve[order], np.arange(curve[-1] + 1))
    low, high = boxes[order, :2], boxes[order, 2:]
    return np.hstack((np.minimum.reduceat(low, firsts), np.maximum.reduceat(high, firsts)))


def _padded(curves: Sequence[Pieces]) -> tuple[Floats, Floats]:
    """Lengths and curvatures of all pieces, shape (n, most pieces)."""
    most = max(map(len, curves))
    table = np.array([(*pieces, *((0.0, 0.0) for _ in range(most - len(pieces)))) for pieces in curves])
    return table[..., 0], table[..., 1]


def _cut(
    starts: Floats, lengths_m: Floats, curvatures: Floats, zone_m: float
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp], Stretches]:
    """Pieces cut where the end zones end: the curve, piece and zone of each stretch, in order, and the stretches.

    A curve that is shorter than both its zones together has no middle.
    """
    reached = lengths_m.cumsum(axis=1)
    total, begin = reached[:, -1], reached - lengths_m
    marks = np.empty((len(total), 4))
    marks[:, 0] = END_M
    cut = marks[:, 1] = np.where(total <= 2 * zone_m, total - END_M, zone_m)
    marks[:, 2] = np.maximum(total - zone_m, cut)
    marks[:, 3] = total - END_M
    along = marks[:, None] - begin[..., None]
    low, high = np.maximum(along[..., :-1], 0.0), np.minimum(along[..., 1:], lengths_m[..., None])
    found = low < high
    leg, piece, zone = np.nonzero(found)
    pieces = Stretches(
        begins(starts, lengths_m, curvatures)[:, leg, piece], lengths_m[leg, piece], curvatures[leg, piece]
    )
    return leg, piece, zone, pieces.beyond(low[found], high[found])

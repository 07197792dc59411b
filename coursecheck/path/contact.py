"""Where curves first come too near to what stands in the way: many curves looked at together, exactly.

Distances are exact: from straights and circular arcs to the edges of polygons, in closed form.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from coursecheck.path.clearance import Stretches, begins, distances
from coursecheck.path.curves import Pieces
from coursecheck.path.parts import Part
from coursecheck.path.words import Floats

__all__ = ["CROSSING_M", "Edges"]

END_M = 1e-7  # a leg begins on the edge of the tunnel that it leaves
START_M = 1e-6  # more than that: whether it begins within something is asked of the place END_M ahead
CROSSING_M = 1e-9
MIDDLE = 1  # of the three stretches of a leg the one that keeps the clearance


class Edges:
    """The edges of all parts."""

    def __init__(self, parts: Sequence[Part], tree: shapely.STRtree) -> None:
        """Of parts, and the tree of their shapes."""
        self._tree = tree
        edges = np.concatenate([np.zeros((0, 4)), *(part.edges for part in parts)])
        self._starts, self._ends = edges[:, :2], edges[:, 2:]
        self._low, self._high = np.minimum(self._starts, self._ends), np.maximum(self._starts, self._ends)
        self._counts = np.array([len(part.edges) for part in parts], dtype=int)
        self._firsts = np.cumsum(self._counts) - self._counts
        self._solid = np.array([part.solid for part in parts], dtype=bool)
        self._filled = np.array([part.shape.geom_type == "Polygon" for part in parts], dtype=bool)

    def inside(self, starts: Floats) -> list[tuple[int, int]]:
        """Which legs, by the poses (n, 3) where they begin, begin within which part: indices, the first part last."""
        headings = starts[:, 2]
        points = starts[:, :2] + END_M * np.column_stack((np.cos(headings), np.sin(headings)))
        leg, part = self._tree.query(shapely.points(points), "intersects")
        found = [(i, j) for i, j in zip(leg.tolist(), part.tolist(), strict=True) if self._filled[j]]
        return sorted(found, reverse=True)

    def first_contacts(
        self, starts: Floats, curves: Sequence[Pieces], clearance_m: float, zone_m: float
    ) -> tuple[list[tuple[int, int, int]], Floats]:
        """The first contact of every curve that has one: indices of the curve, of its piece and of the part.

        And of every curve the box (n, 4) outside which nothing can come too near to it.

        Args:
            starts: where the curves begin, shape (n, 3).
            curves: their pieces.
            clearance_m: kept from solid parts along the middle of a curve; elsewhere nothing may be crossed.
            zone_m: how far along the curve its two ends reach.
        """
        lengths, curvatures = _padded(curves)
        leg, piece, zone, stretches = _cut(starts, lengths, curvatures, zone_m)
        middle = zone == MIDDLE
        boxes = stretches.boxes(np.where(middle, clearance_m, CROSSING_M))
        at, part, edge = self._near(boxes)
        wide = np.where(middle[at] & self._solid[part], clearance_m, CROSSING_M)
        room = distances(stretches.part(at), self._starts[edge], self._ends[edge]) - wide
        hit = np.nonzero(room < 0.0)[0]
        first: dict[int, tuple[int, int, int]] = {}
        for i in hit[np.lexsort((room[hit], at[hit]))].tolist():
            k = int(leg[at[i]])
            first.setdefault(k, (k, int(piece[at[i]]), int(part[i])))
        return list(first.values()), _around(starts, leg, boxes)

    def _near(self, boxes: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
        """The edges whose boxes meet some boxes: indices of the box, of the part and of the edge."""
        at, part = self._tree.query(shapely.box(*boxes.T))
        order = np.lexsort((part, at))
        at, part = at[order], part[order]
        counts = self._counts[part]
        edge = np.arange(counts.sum()) + np.repeat(self._firsts[part] - (np.cumsum(counts) - counts), counts)
        at, part = np.repeat(at, counts), np.repeat(part, counts)
        meets = ((self._low[edge] <= boxes[at, 2:]) & (self._high[edge] >= boxes[at, :2])).all(axis=1)
        return at[meets], part[meets], edge[meets]


def _around(starts: Floats, leg: NDArray[np.intp], boxes: Floats) -> Floats:
    """For each curve a box (n, 4) that holds its start and the boxes of its stretches, which are in its order."""
    around = np.hstack((starts[:, :2] - START_M, starts[:, :2] + START_M))
    curves, firsts = np.unique(leg, return_index=True)
    if len(curves):
        low, high = np.minimum.reduceat(boxes[:, :2], firsts), np.maximum.reduceat(boxes[:, 2:], firsts)
        around[curves, :2] = np.minimum(around[curves, :2], low)
        around[curves, 2:] = np.maximum(around[curves, 2:], high)
    return around


def _padded(curves: Sequence[Pieces]) -> tuple[Floats, Floats]:
    """Lengths and curvatures of all pieces, shape (n, most pieces)."""
    table = np.zeros((len(curves), max(map(len, curves)), 2))
    for k, pieces in enumerate(curves):
        table[k, : len(pieces)] = pieces
    return table[..., 0], table[..., 1]


def _cut(
    starts: Floats, lengths_m: Floats, curvatures: Floats, zone_m: float
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp], Stretches]:
    """Pieces cut where the end zones end: the curve, piece and zone of each stretch, in order, and the stretches.

    A curve that is shorter than both its zones together has no middle.
    """
    reached = np.cumsum(lengths_m, axis=1)
    total, begin = reached[:, -1], reached - lengths_m
    cut = np.where(total <= 2 * zone_m, total - END_M, zone_m)
    marks = np.column_stack((np.full_like(total, END_M), cut, np.maximum(total - zone_m, cut), total - END_M))
    low = np.maximum(marks[:, None, :-1] - begin[..., None], 0.0)
    high = np.minimum(marks[:, None, 1:] - begin[..., None], lengths_m[..., None])
    leg, piece, zone = np.nonzero(low < high)
    pieces = Stretches(
        begins(starts, lengths_m, curvatures)[leg, piece], lengths_m[leg, piece], curvatures[leg, piece]
    )
    return leg, piece, zone, pieces.beyond(low[leg, piece, zone], high[leg, piece, zone])

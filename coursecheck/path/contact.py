"""Where curves first come too near to what stands in the way: many curves looked at together, exactly.

Distances are exact: from straights and circular arcs to the edges of polygons, in closed form.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from coursecheck.path.clearance import Stretches, begins, distances
from coursecheck.path.curves import Pieces
from coursecheck.path.parts import Part
from coursecheck.path.words import Floats

__all__ = ["CROSSING_M", "Edges"]

END_M = 1e-7  # a leg begins on the edge of the tunnel that it leaves
CROSSING_M = 1e-9
MIDDLE = 1  # of the three stretches of a leg the one that keeps the clearance


class Edges:
    """The edges of all parts."""

    def __init__(self, parts: Sequence[Part], tree: shapely.STRtree) -> None:
        """Of parts, and the tree of their shapes."""
        self._tree = tree
        self._starts, self._ends = (
            np.concatenate([np.zeros((0, 2)), *(getattr(part, end) for part in parts)]) for end in ("starts", "ends")
        )
        self._low, self._high = np.minimum(self._starts, self._ends), np.maximum(self._starts, self._ends)
        self._counts = np.array([len(part.starts) for part in parts], dtype=int)
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
    ) -> Iterator[tuple[int, int, int]]:
        """The first contact of every curve that has one: indices of the curve, of its piece and of the part.

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
        done: set[int] = set()
        for i in hit[np.lexsort((room[hit], at[hit]))]:
            k = int(leg[at[i]])
            if k not in done:
                done.add(k)
                yield k, int(piece[at[i]]), int(part[i])

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

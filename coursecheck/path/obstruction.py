"""What stands in the way of a leg, and whether a curve keeps clear of it.

A leg may cross nothing: no solid part, no bar or row of poles, no blocked area, not the ring's edge. Of all that is
solid, and of the edge, it also keeps the runner's clearance, except within twice the clearance (along the line) of
its two ends: where a dog comes out of one obstacle and goes into the next was fixed by whoever placed them, and the
line cannot keep away from the mouth of the very tunnel that it leaves.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from coursecheck.course.model import Ring
from coursecheck.equipment.shape import Shape
from coursecheck.path.clearance import sample_many
from coursecheck.path.contact import Edges
from coursecheck.path.curves import Pieces
from coursecheck.path.memo import Memo
from coursecheck.path.parts import CURVE_M, EDGE, Corner, Part, bays, obstacle_parts, outer_corners, ring_parts
from coursecheck.path.words import Floats

__all__ = ["Bounds", "Hit", "Kept", "Look", "Obstruction", "around"]

Bounds = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y."""

T = TypeVar("T")
Kept = tuple[Sequence[Bounds], Hashable, T]
"""A result, with the boxes in which it follows from what stands there, and what that was."""

SEEN = 4  # results for one question that are kept: as an obstacle is dragged, the last ones serve
SMALLEST_CLEARANCE_M = 1e-7  # a runner without clearance may touch, yet touching and crossing must differ
NOISE_M = 1e-6
CHORDS_M = np.array([0.001, 0.005, 0.03, 0.12])  # how far chords may stray from arcs, in steps


@dataclass(frozen=True, slots=True)
class Hit:
    """Where a curve first comes too near to something.

    Attributes:
        owner: what it comes too near to.
        piece: index of the piece of the curve.
    """

    owner: str
    piece: int


class Look(NamedTuple):
    """What was seen of a curve.

    Attributes:
        hit: where it first comes too near to something; None where it is clear.
        box: what stands outside it did not matter.
    """

    hit: Hit | None
    box: Bounds


class Obstruction:
    """All that stands in the ring, for one runner's clearance."""

    def __init__(
        self, ring: Ring | None, shapes: Mapping[str, Shape], clearance_m: float, memo: Memo | None = None
    ) -> None:
        """What stands in a ring, or in the open where there is none."""
        self.memo = memo or Memo()
        self.clearance_m = max(clearance_m, SMALLEST_CLEARANCE_M)
        self.ring = Polygon(ring.outline) if ring else None
        self.parts = (*ring_parts(ring), *obstacle_parts(shapes))
        self._tree = shapely.STRtree([part.shape for part in self.parts])
        self._edges = Edges(self.parts, self._tree)
        self._corners: dict[str, list[Corner]] = {}
        self._cores: dict[tuple[str, int], BaseGeometry] = {}
        self._slack = min(NOISE_M, self.clearance_m / 2)

    def look(self, starts: Floats, curves: Sequence[Pieces]) -> list[Look]:
        """Looks for the first place where each of some legs comes too near to something.

        Args:
            starts: the poses where the legs begin, shape (n, 3).
            curves: the pieces of each.
        """
        if not curves:
            return []
        hits: list[Hit | None] = [None] * len(curves)
        kept_m = self.clearance_m - self._slack
        contacts, boxes = self._edges.first_contacts(starts, curves, kept_m, 2 * self.clearance_m)
        for leg, piece, part in contacts:
            hits[leg] = Hit(self.parts[part].owner, piece)
        for leg, part in self._edges.inside(starts):
            hits[leg] = Hit(self.parts[part].owner, 0)
        if self.ring is not None:
            outside = ~np.asarray(shapely.intersects_xy(self.ring, *starts[:, :2].T))
            for leg in np.nonzero(outside)[0].tolist():
                hits[leg] = Hit(EDGE, 0)
        return [Look(hit, _bounds(box)) for hit, box in zip(hits, boxes.tolist(), strict=True)]

    def _signature(self, boxes: Sequence[Bounds]) -> tuple[Hashable, ...]:
        """All parts of what stands in some boxes, and which of the boxes lie in the ring, to be compared."""
        low_x, low_y, high_x, high_y = np.array(boxes, dtype=float).reshape(-1, 4).T
        owners = {
            self.parts[i].owner for i in self._tree.query(shapely.box(low_x, low_y, high_x, high_y))[1].tolist()
        }
        inside = [True] if self.ring is None else shapely.intersects_xy(self.ring, low_x, low_y).tolist()
        if not all(inside):
            owners.add(EDGE)
        return (*inside, *(part.key for part in self.parts if part.owner in owners))

    def recall(self, kept: Iterable[Kept[T]]) -> T | None:
        """Of results that hold for as long as nothing changes in some boxes, the one that holds here."""
        return next((result for boxes, signature, result in kept if self._signature(boxes) == signature), None)

    def remember(self, kept: list[Kept[T]], boxes: Sequence[Bounds], result: T) -> None:
        """Keeps a result that follows from what stands in some boxes, until there are newer ones."""
        kept.insert(0, (boxes, self._signature(boxes), result))
        del kept[SEEN:]

    def near_flights(self, owner: str, box: Bounds) -> list[Part]:
        """The parts in a box that holds all flights over an obstacle with their clearance, its own left out."""
        found = [self.parts[i] for i in np.sort(self._tree.query(shapely.box(*box), "intersects"))]
        return [part for part in found if part.owner != owner]

    def clear_flights(
        self, near: Sequence[Part], entries: Floats, exits: Floats
    ) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """Which straight flights over an obstacle keep the clearance from what is near, and which cross none of it.

        Args:
            near: what stands near them, the obstacle itself left out.
            entries: poses of take-off, shape (n, 3).
            exits: poses of landing.
        """
        lines = np.asarray(shapely.linestrings(np.stack((entries[:, :2], exits[:, :2]), axis=1)))
        crossing = np.zeros(len(lines), dtype=bool)
        close = np.zeros(len(lines), dtype=bool)
        for part in near:
            crossing |= np.asarray(shapely.intersects(lines, part.shape))
            if part.solid:
                close |= np.asarray(shapely.dwithin(lines, part.shape, self.clearance_m - self._slack))
        if self.ring is not None:
            crossing |= ~np.asarray(shapely.covers(self.ring, shapely.points(entries[:, :2])))
        return ~(close | crossing), ~crossing

    def surely_hit(self, owner: str, starts: Floats, lengths_m: Floats, curvatures: Floats) -> NDArray[np.bool_]:
        """Which of many legs certainly come too near to an owner's parts, judged by chords.

        Args:
            owner: of the parts.
            starts: poses, shape (n, 3).
            lengths_m: of the pieces of each leg, shape (n, pieces).
            curvatures: of the pieces.
        """
        points, middle, errors_m = sample_many(starts, lengths_m, curvatures, 2 * self.clearance_m)
        index = np.nonzero(middle)[0]
        hit = np.zeros(len(starts), dtype=bool)
        if not len(index):
            return hit
        first = np.diff(index, prepend=-1) > 0
        rows, renumbered = index[first], np.cumsum(first) - 1
        lines = np.asarray(shapely.linestrings(points[middle], indices=renumbered))
        levels = np.searchsorted(CHORDS_M, errors_m[rows])
        for level in sorted(set(levels.tolist())):
            at = levels == level
            hit[rows[at]] = shapely.intersects(self._core(owner, level), lines[at])
        return hit

    def _core(self, owner: str, level: int) -> BaseGeometry:
        """What chords that stray from their arcs by at most CHORDS_M[level] certainly may not meet, prepared."""
        if (owner, level) not in self._cores:
            stray_m = CHORDS_M[level] if level < len(CHORDS_M) else np.inf
            kept_m = self.clearance_m - self._slack - stray_m
            parts = [part for part in self.parts if part.owner == owner]
            core = shapely.union_all(
                [shapely.buffer(part.shape, kept_m) for part in parts if part.solid and kept_m > 0.0]
                + [part.shape for part in parts if not part.solid or stray_m <= CURVE_M]
            )
            shapely.prepare(core)
            self._cores[owner, level] = core
        return self._cores[owner, level]

    def corners(self, owner: str) -> list[Corner]:
        """The corners to go round."""
        if owner not in self._corners:
            shapes = [part.shape for part in self.parts if part.owner == owner]
            self._corners[owner] = (
                bays(self.ring) if self.ring is not None and owner == EDGE else outer_corners(shapes)
            )
        return self._corners[owner]


def around(boxes: Iterable[Bounds]) -> Bounds:
    """The box that holds some boxes."""
    low_x, low_y, high_x, high_y = zip(*boxes, strict=True)
    return min(low_x), min(low_y), max(high_x), max(high_y)


def _bounds(box: Sequence[float]) -> Bounds:
    low_x, low_y, high_x, high_y = box
    return low_x, low_y, high_x, high_y

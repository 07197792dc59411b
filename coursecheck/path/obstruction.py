"""What stands in the way of a leg, and whether a curve keeps clear of it.

A leg may cross nothing: no solid part, no bar or row of poles, no blocked area, not the ring's edge. Of all that is
solid, and of the edge, it also keeps the runner's clearance, except within twice the clearance (along the line) of
its two ends: where a dog comes out of one obstacle and goes into the next was fixed by whoever placed them, and the
line cannot keep away from the mouth of the very tunnel that it leaves.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, chain, pairwise
from typing import NamedTuple, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from coursecheck.course.model import Ring
from coursecheck.equipment.shape import Shape
from coursecheck.path.boxes import Bounds, meeting
from coursecheck.path.clearance import sample_many
from coursecheck.path.contact import Edges
from coursecheck.path.curves import Pieces, Place
from coursecheck.path.memo import Memo
from coursecheck.path.overtaking import give_way
from coursecheck.path.parts import CURVE_M, EDGE, Corner, Standing, bays, obstacle, outer_corners, ring_things
from coursecheck.path.words import Floats

__all__ = ["Hit", "Kept", "Look", "Obstruction"]

T = TypeVar("T")
Kept = tuple[Floats, Hashable, T]
"""A result, with the boxes in which it follows from what stands there, and what that was."""

SEEN = 4  # results for one question that are kept: as an obstacle is dragged, the last ones serve
SMALLEST_CLEARANCE_M = 1e-7  # a runner without clearance may touch, yet touching and crossing must differ
NOISE_M = 1e-6
SURE_M = 0.001  # a leg may begin or end on the edge of something: how far from there it is looked at quickly
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
        """What stands in a ring, or in the open where there is none; of what is equally near the first one counts."""
        self.memo = memo or Memo()
        self.clearance_m = max(clearance_m, SMALLEST_CLEARANCE_M)
        self.ring, fence = self.memo.get("ring", ring, lambda: _fenced(ring))
        named = list(shapes.items())
        obstacles = self.memo.many("standing", named, lambda new: [obstacle(*named[i]) for i in new])
        self._standing = (*fence, *obstacles)
        self.parts = tuple(chain.from_iterable(one.parts for one in self._standing))
        self._whose = [k for k, one in enumerate(self._standing) for _ in one.parts]
        self._shapes: NDArray[np.object_] = np.empty(len(self.parts), dtype=object)
        self._shapes[:] = [part.shape for part in self.parts]
        self._solid = np.array([part.solid for part in self.parts], dtype=bool)
        self._boxes = np.concatenate([np.zeros((4, 0)), *(one.boxes for one in self._standing)], axis=1)
        self._edges = Edges(self._standing, self.parts, self._boxes)
        self._corners: dict[str, list[Corner]] = {}
        self._cores: dict[tuple[str, int, bool], BaseGeometry] = {}
        self._slack = min(NOISE_M, self.clearance_m / 2)

    def look(self, starts: Sequence[Place], curves: Sequence[Pieces]) -> list[Look]:
        """Looks for the first place where each of some legs comes too near to something.

        All that takes long looks again and again: so here it gives way where it is overtaken.

        Args:
            starts: the poses where the legs begin.
            curves: the pieces of each.
        """
        give_way()
        if not curves:
            return []
        kept_m = self.clearance_m - self._slack
        contacts, boxes = self._edges.first_contacts(starts, curves, kept_m, 2 * self.clearance_m)
        hits = {leg: Hit(self.parts[part].owner, piece) for leg, (piece, part) in contacts.items()}
        hits |= {leg: Hit(EDGE, 0) for leg in np.flatnonzero(self._outside(np.array(starts))).tolist()}
        return [Look(hits.get(leg), box) for leg, box in enumerate(boxes)]

    def _outside(self, poses: Floats) -> NDArray[np.bool_]:
        """Which of some poses lie outside the ring."""
        if self.ring is None:
            return np.zeros(len(poses), dtype=bool)
        return ~np.asarray(shapely.intersects_xy(self.ring, poses[:, :2]))

    def _signatures(self, boxes: Sequence[Floats]) -> list[tuple[Hashable, ...]]:
        """For each of some lists of boxes, to be compared: all of what stands in them, and which lie in the ring."""
        if not boxes:
            return []
        every = np.concatenate(boxes)
        inside = [True] * len(every) if self.ring is None else shapely.intersects_xy(self.ring, every[:, :2]).tolist()
        near: list[set[int]] = [set() for _ in every]
        for box, part in zip(*(index.tolist() for index in meeting(every, self._boxes)), strict=True):
            near[box].add(self._whose[part])
        signatures: list[tuple[Hashable, ...]] = []
        for low, high in pairwise(accumulate(map(len, boxes), initial=0)):
            # The ring's edge stands first.
            whose = set().union(*near[low:high], () if all(inside[low:high]) else (0,))
            signatures.append((*inside[low:high], *(self._standing[k].key for k in sorted(whose))))
        return signatures

    def recall(self, kept: Sequence[Sequence[Kept[T]]]) -> list[T | None]:
        """Of results that hold for as long as nothing changes in some boxes, those that hold here.

        Args:
            kept: the results for each of some questions.
        """
        found: list[T | None] = [None] * len(kept)
        # The newest one mostly holds.
        for some in (slice(1), slice(1, None)):
            asked = [(i, one) for i, results in enumerate(kept) if found[i] is None for one in results[some]]
            signatures = self._signatures([boxes for _, (boxes, _, _) in asked])
            for (i, (_, signature, result)), here in zip(asked, signatures, strict=True):
                if found[i] is None and signature == here:
                    found[i] = result
        return found

    def remember(self, kept: list[Kept[T]], boxes: Sequence[Bounds], result: T) -> None:
        """Keeps a result that follows from what stands in some boxes, until there are newer ones."""
        kept_in = np.array(boxes).reshape(-1, 4)
        [signature] = self._signatures([kept_in])
        kept.insert(0, (kept_in, signature, result))
        del kept[SEEN:]

    def near_flights(self, owners: Sequence[str], boxes: Sequence[Bounds]) -> list[list[int]]:
        """Which parts but their own stand in boxes that hold all flights over obstacles with their clearance."""
        near: list[list[int]] = [[] for _ in owners]
        places = np.array(boxes).reshape(-1, 4)
        flights, parts = meeting(places, self._boxes)
        meets = shapely.intersects(shapely.box(*places[flights].T), self._shapes[parts])
        for flight, part, met in zip(flights.tolist(), parts.tolist(), meets.tolist(), strict=True):
            if met and self.parts[part].owner != owners[flight]:
                near[flight].append(part)
        return near

    def clear_flights(
        self, near: Sequence[list[int]], entries: Sequence[Floats], exits: Sequence[Floats]
    ) -> list[tuple[NDArray[np.bool_], NDArray[np.bool_]]]:
        """Which straight flights keep the clearance from what is near, and which cross none of it.

        Args:
            near: the parts that stand near the flights over each of some obstacles.
            entries: for each, poses of take-off, shape (n, 3).
            exits: poses of landing.
        """
        counts = [len(poses) for poses in entries]
        places = np.concatenate([*entries, *exits])[:, :2].reshape(2, -1, 2)
        lines = np.asarray(shapely.linestrings(places.swapaxes(0, 1)))
        cuts = list(pairwise(np.cumsum([0, *counts]).tolist()))
        at = np.concatenate([np.repeat(np.arange(*cut), len(parts)) for cut, parts in zip(cuts, near, strict=True)])
        part = np.concatenate([parts * count for count, parts in zip(counts, near, strict=True)])
        crossing, close = np.zeros(len(lines), dtype=bool), np.zeros(len(lines), dtype=bool)
        crossing[at[shapely.intersects(lines[at], self._shapes[part])]] = True
        at, part = at[self._solid[part]], part[self._solid[part]]
        close[at[shapely.dwithin(lines[at], self._shapes[part], self.clearance_m - self._slack)]] = True
        if self.ring is not None:
            crossing |= ~np.asarray(shapely.covers(self.ring, shapely.points(places[0])))
        keeps, passes = ~(close | crossing), ~crossing
        return [(keeps[slice(*cut)], passes[slice(*cut)]) for cut in cuts]

    def surely_hit(
        self, owners: Sequence[str], starts: Floats, lengths_m: Floats, curvatures: Floats, *, ends: bool = False
    ) -> NDArray[np.bool_]:
        """Which of many legs certainly come too near to the parts of some owners, judged by chords.

        Args:
            owners: of the parts.
            starts: poses, shape (n, 3).
            lengths_m: of the pieces of each leg, shape (n, pieces).
            curvatures: of the pieces.
            ends: whether both ends are looked at, too, where clearance need not be kept.
        """
        zone_m, total_m = 2 * self.clearance_m, lengths_m.sum(axis=1, keepdims=True)
        stretches: list[tuple[Floats | float, Floats, bool]] = [(zone_m, total_m - zone_m, True)]
        if ends:
            stretches += [(SURE_M, np.minimum(zone_m, total_m - SURE_M), False)]
            stretches += [(np.maximum(total_m - zone_m, SURE_M), total_m - SURE_M, False)]
        hit = self._outside(starts) if EDGE in owners else np.zeros(len(starts), dtype=bool)
        for from_m, to_m, middle in stretches:
            rest = np.nonzero(~hit)[0]
            part = np.broadcast_to(from_m, total_m.shape)[rest], to_m[rest]
            rows, lines, levels = _chords(starts[rest], lengths_m[rest], curvatures[rest], *part)
            for owner in owners:
                open_yet = ~hit[rest[rows]]
                for level in sorted(set(levels[open_yet].tolist())):
                    at = np.nonzero(open_yet & (levels == level))[0]
                    hit[rest[rows[at]]] = shapely.intersects(self._core(owner, level, middle), lines[at])
        return hit

    def _core(self, owner: str, level: int, middle: bool) -> BaseGeometry:
        """What chords that stray from their arcs by at most CHORDS_M[level] certainly may not meet, prepared.

        In the middle of a leg the clearance is kept, at its ends nothing may be crossed.
        """
        if (owner, level, middle) not in self._cores:
            stray_m = CHORDS_M[level] if level < len(CHORDS_M) else np.inf
            kept_m = self.clearance_m - self._slack - stray_m
            parts = [part for part in self.parts if part.owner == owner]
            shapes: list[BaseGeometry]
            if middle:
                shapes = [shapely.buffer(part.shape, kept_m) for part in parts if part.solid and kept_m > 0.0]
                shapes += [part.shape for part in parts if not part.solid or stray_m <= CURVE_M]
            else:
                shapes = [shapely.buffer(part.shape, -stray_m) if part.filled else part.shape for part in parts]
            core = shapely.union_all(shapes)
            shapely.prepare(core)
            self._cores[owner, level, middle] = core
        return self._cores[owner, level, middle]

    def corners(self, owner: str) -> list[Corner]:
        """The corners to go round."""
        if owner not in self._corners:
            shapes = [part.shape for part in self.parts if part.owner == owner]
            self._corners[owner] = (
                bays(self.ring) if self.ring is not None and owner == EDGE else outer_corners(shapes)
            )
        return self._corners[owner]


def _chords(
    starts: Floats, lengths_m: Floats, curvatures: Floats, from_m: Floats, to_m: Floats
) -> tuple[NDArray[np.intp], NDArray[np.object_], NDArray[np.intp]]:
    """Stretches of many legs as lines of chords: of which legs, the lines, and the level in CHORDS_M of each."""
    points, counted, strays_m = sample_many(starts, lengths_m, curvatures, from_m, to_m)
    index = np.nonzero(counted)[0]
    first = np.diff(index, prepend=-1) > 0
    rows = index[first]
    lines = np.asarray(shapely.linestrings(points[counted], indices=np.cumsum(first) - 1))
    return rows, lines, np.searchsorted(CHORDS_M, strays_m[rows])


def _fenced(ring: Ring | None) -> tuple[Polygon | None, tuple[Standing, ...]]:
    """The ground of a ring, and what bounds it: its edge and blocked areas."""
    return (Polygon(ring.outline), tuple(ring_things(ring))) if ring else (None, ())

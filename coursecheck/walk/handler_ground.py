"""Where a handler can be, and how far it is from place to place: never over an obstacle or a blocked place."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.frames import Frame, Point
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.straight_ways import Flags, Floats, Obstructions

__all__ = ["MOST_LEADS", "Ground", "Place", "grounds_of", "places_of"]

Indices = NDArray[np.intp]

MOST_LEADS = 3  # how many leads a handler may be behind or ahead; assumption
PARTS = 3  # places stand a third of a lead from each other, those far away a whole one
BODY_M = 0.2  # a handler keeps this far from everything; assumption
CORNER_M = 0.25  # and goes round corners at this distance
COARSE_M = 0.05  # a bent tunnel has only so many corners for somebody who runs round it
HURRY_M = 6.0  # who must go farther out of the way than this round something is too late anyway
MOUTH_M = 1.0  # the width of an obstacle where a dog enters it is taken over this length
NOISE_M = 1e-9  # of sums of lengths


class Place(NamedTuple):
    """Where a handler is when the dog takes off for, or enters, a pass.

    Attributes:
        number: the pass.
        side: "left" or "right" of the dog's way.
        far: whether the dog is sent from afar.
        along_m: ahead of the entry (positive), level, or behind it, in metres.
        point: on the ground.
        bearing_deg: the dog's way there.
    """

    number: int
    side: str
    far: bool
    along_m: float
    point: Point
    bearing_deg: float


def places_of(scene: Scene, ground: Ground, figures: Figures) -> tuple[tuple[Place, ...], ...]:
    """For each pass the places that a handler can stand at; those on an obstacle or out of the ring are left out."""
    found = []
    lead = figures["handler-lead"]
    for run in scene.passes:
        frame = scene.way(run).entry.frame
        wide = _half_width_m(frame, scene.shape(run).footprint)
        wanted = [
            (side, far, k * lead / PARTS, sign * (wide + figures[name]))
            for side, sign in (("left", -1.0), ("right", 1.0))
            for far, name in ((False, "handler-near"), (True, "handler-far"))
            for k in range(-MOST_LEADS * PARTS, MOST_LEADS * PARTS + 1, PARTS if far else 1)
        ]
        points = frame.places((along, right) for _, _, along, right in wanted)
        held = ground.holds(np.array(points)).tolist()
        found.append(
            tuple(
                Place(run.number, side, far, along, point, frame.bearing_deg)
                for (side, far, along, _), point, can in zip(wanted, points, held, strict=True)
                if can
            )
        )
    return tuple(found)


def _half_width_m(frame: Frame, footprint: Polygon) -> float:
    """How far an obstacle reaches to the side where it is entered."""
    near = footprint.intersection(Polygon(frame.rectangle((-MOUTH_M, MOUTH_M), (-10.0, 10.0))))
    corners = [frame.locate((x, y)) for part in _parts(near) for x, y in part.exterior.coords]
    return max((abs(right) for _, right in corners), default=0.0)


def _parts(geometry: BaseGeometry) -> list[Polygon]:
    parts = shapely.get_parts(geometry)
    return [part for part in parts if isinstance(part, Polygon)]


@dataclass(frozen=True, eq=False)
class Ground:
    """The ground that a handler may run on.

    Attributes:
        ring: where all of it lies.
        taken: obstacles and blocked places, with a body's width to spare.
        common: the ground with nothing on it but what stands there for every height class: ways that were looked at
            on it need not be looked at for the next class; None: nothing is known of other classes.
    """

    ring: Polygon
    taken: MultiPolygon
    common: Ground | None = None

    @classmethod
    def of(cls, scene: Scene) -> Ground:
        """The ground of one height class."""
        return cls(scene.ring, _taken(scene))

    def holds(self, points: Floats) -> Flags:
        """Whether a handler can stand at each of some points, shape (points, 2)."""
        at = shapely.points(points)
        shapely.prepare(self.taken)
        held: Flags = np.logical_and(shapely.covers(self.ring, at), shapely.disjoint(self.taken, at))
        return held

    @cached_property
    def _corners(self) -> Floats:
        """The corners round which a shortest way can lead, shape (c, 2)."""
        grown = shapely.simplify(shapely.buffer(self.taken, CORNER_M - BODY_M, join_style="mitre"), COARSE_M)
        rings = [shapely.get_coordinates(part.exterior)[:-1] for part in _parts(grown)]
        corners = np.concatenate([np.empty((0, 2)), *rings])
        return corners[self.holds(corners)]

    @cached_property
    def _groups(self) -> tuple[Indices, ...]:
        """The corners by their indices: those of the common ground, in its order, and the others."""
        every = np.arange(len(self._corners))
        if self.common is None:
            return (every,)
        index = {(x, y): i for i, (x, y) in enumerate(self._corners.tolist())}
        shared = [index[x, y] for x, y in self.common._corners.tolist() if (x, y) in index]
        return np.array(shared, dtype=every.dtype), np.setdiff1d(every, shared)

    @cached_property
    def _between_corners(self) -> Floats:
        """The shortest ways between corners, in metres, shape (c, c); Floyd and Warshall."""
        ways = np.empty((len(self._corners), len(self._corners)))
        for some in self._groups:
            ways[:, some] = self._from_corners(self._corners[some], np.ones(len(ways), dtype=bool))
        for k in range(len(ways)):
            np.minimum(ways, ways[:, k, None] + ways[None, k, :], out=ways)
        return ways

    def _straight(self, starts: Floats, ends: Floats) -> Floats:
        """Straight distances, shape (n, m); infinite where something stands in between."""
        free = self._free(starts, ends)
        across, up = (ends[:, i] - starts[:, None, i] for i in (0, 1))
        ways: Floats = np.hypot(across, up, out=np.full(free.shape, np.inf), where=free)
        return ways

    def _free(self, starts: Floats, ends: Floats) -> Flags:
        """Which straight ways touch nothing and stay in the ring, shape (n, m)."""
        key = starts.tobytes(), ends.tobytes()
        if key not in self._known:
            free = self._obstructions.free(starts, ends)
            if self.common is not None:
                free &= self.common._free(starts, ends)
            elif self._bent:
                rows, columns = np.nonzero(free)
                lines = shapely.linestrings(np.stack((starts[rows], ends[columns]), axis=1))
                free[rows, columns] = shapely.covers(self.ring, lines)
            self._known[key] = free
        return self._known[key]

    @cached_property
    def _known(self) -> dict[tuple[bytes, bytes], Flags]:
        """The free ways that were looked at so far, by their ends."""
        return {}

    @cached_property
    def _obstructions(self) -> Obstructions:
        """What stands here beside what is common to all classes."""
        common = set() if self.common is None else set(_parts(self.common.taken))
        return Obstructions(MultiPolygon([part for part in _parts(self.taken) if part not in common]))

    @cached_property
    def _bent(self) -> bool:
        """Whether the ring has a corner that turns in, so that a straight way can lead out of it and in again."""
        return bool(self.ring.convex_hull.area - self.ring.area > 1e-9)

    def ways(self, rows: Sequence[Sequence[Point]]) -> list[Floats]:
        """The shortest ways from each point of a row to each of the next row, in metres; infinite: none in a hurry.

        Args:
            rows: points that lie on this ground.

        Returns:
            One matrix for each two neighbouring rows, shape (points of the one, points of the next).
        """
        points = [np.array(row, dtype=float).reshape(-1, 2) for row in rows]
        legs = list(itertools.pairwise(points))
        found = [self._straight(starts, ends) for starts, ends in legs]
        near = [self._near(*leg, straight) for leg, straight in zip(legs, found, strict=True)]
        none = np.zeros(len(self._corners), dtype=bool)
        wanted = [before | after for before, after in itertools.pairwise([none, *near, none])]
        seen = [self._from_corners(row, some) for row, some in zip(points, wanted, strict=True)]
        for straight, some, starts, ends in zip(found, near, seen, seen[1:], strict=False):
            first, last = (np.flatnonzero(some & np.isfinite(row).any(axis=1)) for row in (starts, ends))
            if first.size and last.size:
                on = np.min(self._between_corners[np.ix_(first, last)][:, :, None] + starts[first, None], axis=0)
                np.minimum(straight, np.min(on[:, :, None] + ends[last, None], axis=0), out=straight)
        return found

    def _from_corners(self, points: Floats, wanted: Flags) -> Floats:
        """Straight ways to points from those corners that are wanted, from the others infinite, shape (c, n)."""
        ways = np.full((len(wanted), len(points)), np.inf)
        for group in self._groups:
            some = group[wanted[group]]
            if some.size:
                ways[some] = self._straight(self._corners[some], points)
        return ways

    def _near(self, starts: Floats, ends: Floats, straight: Floats) -> Flags:
        """The corners round which somebody in a hurry could go from and to places between which something stands.

        The first and the last one lie near the places.
        """
        blocked = ~np.isfinite(straight)
        points = np.concatenate((starts[blocked.any(axis=1)], ends[blocked.any(axis=0)]))
        low, high = (edge(points, axis=0, initial=far) for edge, far in ((np.min, np.inf), (np.max, -np.inf)))
        near: Flags = np.all((self._corners >= low - HURRY_M) & (self._corners <= high + HURRY_M), axis=1)
        return near

    def route(self, start: Point, end: Point) -> tuple[Point, ...]:
        """The shortest way itself, from corner to corner; nothing where there is none.

        Args:
            start: a point on this ground.
            end: another one.
        """
        ends = np.array([start, end], dtype=float)
        if np.isfinite(self._straight(ends[:1], ends[1:])[0, 0]):
            return start, end
        if not self._corners.size:
            return ()
        home = self._straight(self._corners, ends[1:])[:, 0]
        rest = np.min(self._between_corners + home[None, :], axis=1)
        on = self._straight(ends[:1], self._corners)[0] + rest
        if not np.isfinite(on.min()):
            return ()
        at = int(np.argmin(on))
        way = [start, _point(self._corners[at])]
        while home[at] > rest[at] + NOISE_M:
            nearer = rest < rest[at] - NOISE_M  # each corner is nearer home than the one before: it ends
            legs = self._straight(self._corners[at : at + 1], self._corners)[0] + rest
            at = int(np.argmin(np.where(nearer, legs, np.inf)))
            way.append(_point(self._corners[at]))
        return (*way, end)


def grounds_of(scenes: Mapping[str, Scene]) -> dict[str, Ground]:
    """The ground of each height class; most of what stands there is the same for all, and looked at once."""
    taken = {height: _taken(scene) for height, scene in scenes.items()}
    if not taken:
        return {}
    ring, first = next(iter(scenes.values())).ring, next(iter(taken.values()))
    everywhere = set.intersection(*(set(_parts(ground)) for ground in taken.values()))
    common = Ground(ring, MultiPolygon([part for part in _parts(first) if part in everywhere]))
    return {height: Ground(ring, ground, common) for height, ground in taken.items()}


def _taken(scene: Scene) -> MultiPolygon:
    """Obstacles and blocked places, with a body's width to spare."""
    things = [shape.footprint for shape in scene.shapes.values()] + list(scene.blocked.values())
    return MultiPolygon(_parts(shapely.union_all(shapely.buffer(things, BODY_M, join_style="mitre"))))


def _point(row: Floats) -> Point:
    return float(row[0]), float(row[1])

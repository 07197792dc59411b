"""Where a handler can be, and how far it is from place to place: never over an obstacle or a blocked place."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.frames import Frame, Point
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures

__all__ = ["MOST_LEADS", "Ground", "Place", "places_of"]

Floats = NDArray[np.float64]

MOST_LEADS = 3  # how many leads a handler may be behind or ahead; assumption
PARTS = 3  # places stand a third of a lead from each other, those far away a whole one
BODY_M = 0.2  # a handler keeps this far from everything; assumption
CORNER_M = 0.25  # and goes round corners at this distance
COARSE_M = 0.05  # a bent tunnel has only so many corners for somebody who runs round it
HURRY_M = 6.0  # who must go farther out of the way than this round something is too late anyway
MOUTH_M = 1.0  # the width of an obstacle where a dog enters it is taken over this length
NOISE_M = 1e-9  # of sums of lengths


@dataclass(frozen=True, slots=True)
class Place:
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
        made = [
            Place(run.number, side, far, along, frame.place(along, sign * (wide + figures[name])), frame.bearing_deg)
            for side, sign in (("left", -1.0), ("right", 1.0))
            for far, name in ((False, "handler-near"), (True, "handler-far"))
            for along in (
                k * lead / PARTS for k in range(-MOST_LEADS * PARTS, MOST_LEADS * PARTS + 1, PARTS if far else 1)
            )
        ]
        found.append(tuple(place for place in made if ground.holds(place.point)))
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
    """The ground that a handler may run on."""

    ring: Polygon
    taken: MultiPolygon

    @classmethod
    def of(cls, scene: Scene) -> Ground:
        """Everything but obstacles and blocked places, with a body's width to spare."""
        things = [shape.footprint for shape in scene.shapes.values()] + list(scene.blocked.values())
        return cls(
            scene.ring, MultiPolygon(_parts(shapely.union_all(shapely.buffer(things, BODY_M, join_style="mitre"))))
        )

    def holds(self, point: Point) -> bool:
        """Whether a handler can stand there."""
        at = shapely.Point(point)
        return bool(self.ring.covers(at)) and not self.taken.intersects(at)

    @cached_property
    def _corners(self) -> Floats:
        """The corners round which a shortest way can lead, shape (c, 2)."""
        grown = shapely.simplify(shapely.buffer(self.taken, CORNER_M - BODY_M, join_style="mitre"), COARSE_M)
        points = [(x, y) for part in _parts(grown) for x, y in part.exterior.coords[:-1]]
        return np.array([point for point in points if self.holds(point)]).reshape(-1, 2)

    @cached_property
    def _between_corners(self) -> Floats:
        """The shortest ways between corners, in metres, shape (c, c); Floyd and Warshall."""
        ways = self._straight(self._corners, self._corners)
        for k in range(len(ways)):
            np.minimum(ways, ways[:, k, None] + ways[None, k, :], out=ways)
        return ways

    def _straight(self, starts: Floats, ends: Floats) -> Floats:
        """Straight distances, shape (n, m); infinite where something stands in between."""
        pairs = np.empty((len(starts), len(ends), 2, 2))
        pairs[:, :, 0], pairs[:, :, 1] = starts[:, None], ends[None, :]
        lines = shapely.linestrings(pairs.reshape(-1, 2, 2))
        shapely.prepare(self.taken)
        free = ~shapely.intersects(self.taken, lines)
        if self.ring.convex_hull.area - self.ring.area > 1e-9:
            free &= shapely.covers(self.ring, lines)
        far = np.hypot(*np.moveaxis(pairs[:, :, 1] - pairs[:, :, 0], -1, 0))
        return np.where(free.reshape(far.shape), far, np.inf)

    def ways(self, rows: Sequence[Sequence[Point]]) -> list[Floats]:
        """The shortest ways from each point of a row to each of the next row, in metres; infinite: none in a hurry.

        Args:
            rows: points that lie on this ground.

        Returns:
            One matrix for each two neighbouring rows, shape (points of the one, points of the next).
        """
        points = [np.array(row, dtype=float).reshape(-1, 2) for row in rows]
        return [self._shortest(one, other) for one, other in itertools.pairwise(points)]

    def _shortest(self, starts: Floats, ends: Floats) -> Floats:
        """Shortest ways, shape (n, m); corners are looked at for those points alone whose straight way is blocked."""
        found = self._straight(starts, ends)
        blocked = ~np.isfinite(found)
        if not blocked.any() or not self._corners.size:
            return found
        rows, columns = np.flatnonzero(blocked.any(axis=1)), np.flatnonzero(blocked.any(axis=0))
        near = self._near(starts[rows], ends[columns])
        if not near.any():
            return found
        out = self._straight(starts[rows], self._corners[near])
        on = np.min(out[:, :, None] + self._between_corners[np.ix_(near, near)][None], axis=1)
        home = self._straight(ends[columns], self._corners[near])
        round_ = np.min(on[:, None, :] + home[None], axis=2)
        found[np.ix_(rows, columns)] = np.minimum(found[np.ix_(rows, columns)], round_)
        return found

    def _near(self, starts: Floats, ends: Floats) -> NDArray[np.bool_]:
        """The corners round which somebody in a hurry could go: the first and the last one lie near the places."""
        points = np.concatenate((starts, ends))
        low, high = points.min(axis=0) - HURRY_M, points.max(axis=0) + HURRY_M
        near: NDArray[np.bool_] = np.all((self._corners >= low) & (self._corners <= high), axis=1)
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


def _point(row: Floats) -> Point:
    return float(row[0]), float(row[1])

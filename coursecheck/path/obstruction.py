"""What stands in the way of a leg, and whether a curve keeps clear of it.

A leg may cross nothing: no solid part, no bar or row of poles, no blocked area, not the ring's edge. Of all that is
solid, and of the edge, it also keeps the runner's clearance, except within twice the clearance (along the line) of
its two ends: where a dog comes out of one obstacle and goes into the next was fixed by whoever placed them, and the
line cannot keep away from the mouth of the very tunnel that it leaves.

Distances are exact: from straights and circular arcs to the edges of polygons, in closed form.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from coursecheck.course.model import Ring
from coursecheck.equipment.shape import Shape
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.clearance import cross, distances, sample, sample_many
from coursecheck.path.memo import Memo
from coursecheck.path.words import Floats

__all__ = ["EDGE", "Bounds", "Hit", "Obstruction", "Part"]

Bounds = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y."""

EDGE = "the ring's edge"

SMALLEST_CLEARANCE_M = 1e-7  # a runner without clearance may touch, yet touching and crossing must differ
END_M = 1e-7  # a leg begins on the edge of the tunnel that it leaves
CROSSING_M = 1e-9
NOISE_M = 1e-6
POST_M = 0.05  # a part no wider than a post is one disc
FEW_CORNERS = 10
CURVE_M = 0.005  # how far the corners that stand for a curved side may lie inside it


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One thing that stands in the way.

    Attributes:
        owner: id of the obstacle, name of the blocked area, or EDGE.
        shape: a polygon or a line.
        solid: whether clearance is kept; a bar must only not be crossed.
        starts, ends: its edges, shape (n, 2) each.
        key: the same for parts that are the same in every respect.
    """

    owner: str
    shape: BaseGeometry
    solid: bool
    starts: Floats
    ends: Floats
    key: Hashable


def _part(owner: str, shape: BaseGeometry, *, solid: bool = True) -> Part:
    corners = shapely.get_coordinates(shape)
    return Part(owner, shape, solid, corners[:-1], corners[1:], (owner, solid, corners.tobytes()))


@dataclass(frozen=True, slots=True)
class Hit:
    """Where a curve first comes too near to something.

    Attributes:
        owner: what it comes too near to.
        piece: index of the piece of the curve.
    """

    owner: str
    piece: int


class Obstruction:
    """All that stands in the ring, for one runner's clearance."""

    def __init__(
        self, ring: Ring | None, shapes: Mapping[str, Shape], clearance_m: float, memo: Memo | None = None
    ) -> None:
        """What stands in a ring, or in the open where there is none."""
        self.memo = memo or Memo()
        self.clearance_m = max(clearance_m, SMALLEST_CLEARANCE_M)
        self.ring = Polygon(ring.outline) if ring else None
        self.parts = (*_ring_parts(ring), *_obstacle_parts(shapes))
        self._tree = shapely.STRtree([part.shape for part in self.parts])
        self._corners: dict[str, Floats] = {}
        self._slack = min(NOISE_M, self.clearance_m / 2)

    def hit_by(self, start: Floats, pieces: Sequence[tuple[float, float]]) -> Hit | None:
        """The first place where a leg comes too near to something; None where it is clear.

        Args:
            start: the pose where the leg begins, shape (3,).
            pieces: its pieces as (length in metres, curvature in 1/m).
        """
        segments = _row(Pose(*start.tolist()), pieces)
        points, error_m = sample(segments)
        if self.ring is not None and not self.ring.covers(Point(points[0])):
            return Hit(EDGE, 0)
        reach_m = self.clearance_m + error_m
        near = tuple(self.parts[i] for i in np.sort(self._tree.query(LineString(points), "dwithin", reach_m)))
        if not near:
            return None
        key = (start.tobytes(), tuple(pieces), self.clearance_m, tuple(part.key for part in near))
        return self.memo.get("hit", key, lambda: self._first_hit(segments, near))

    def signature(self, bounds: Bounds) -> tuple[Hashable, ...]:
        """All parts of everything that stands within the clearance of a box, to be compared."""
        low_x, low_y, high_x, high_y = bounds
        reach = shapely.box(
            low_x - self.clearance_m, low_y - self.clearance_m, high_x + self.clearance_m, high_y + self.clearance_m
        )
        owners = {self.parts[i].owner for i in self._tree.query(reach)}
        return tuple(part.key for part in self.parts if part.owner in owners)

    def _first_hit(self, segments: Sequence[Segment], near: Sequence[Part]) -> Hit | None:
        """The first piece of a leg that comes too near to one of the parts near it."""
        begins = segments[0].at(END_M).point
        for part in near:
            if part.shape.geom_type == "Polygon" and shapely.intersects_xy(part.shape, *begins):
                return Hit(part.owner, 0)
        starts, ends = (np.concatenate([getattr(part, end) for part in near]) for end in ("starts", "ends"))
        whose = np.repeat(np.arange(len(near)), [len(part.starts) for part in near])
        solid = np.array([part.solid for part in near])[whose]
        wide = np.where(solid, self.clearance_m - self._slack, CROSSING_M)
        stretches = self._stretches(math.fsum(segment.length_m for segment in segments))
        begin = 0.0
        for index, segment in enumerate(segments):
            for low, high, middle in stretches:
                piece = _between(segment, low - begin, high - begin)
                if piece is None:
                    continue
                room = distances(piece, starts, ends) - (wide if middle else CROSSING_M)
                if room.min() < 0.0:
                    return Hit(near[whose[room.argmin()]].owner, index)
            begin += segment.length_m
        return None

    def _stretches(self, total_m: float) -> list[tuple[float, float, bool]]:
        """Stretches of a leg (from, to), and whether the clearance is kept there."""
        zone = 2 * self.clearance_m
        if total_m <= 2 * zone:
            return [(END_M, total_m - END_M, False)]
        return [(END_M, zone, False), (zone, total_m - zone, True), (total_m - zone, total_m - END_M, False)]

    def near_flights(self, owner: str, bounds: Bounds) -> list[Part]:
        """The parts within the clearance of a box that holds all flights over an obstacle, its own left out."""
        reach = shapely.box(*bounds).buffer(self.clearance_m, join_style="mitre")
        found = [self.parts[i] for i in np.sort(self._tree.query(reach, "intersects"))]
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
        rows, renumbered = np.unique(index, return_inverse=True)
        lines = np.asarray(shapely.linestrings(points[middle], indices=renumbered))
        least = np.maximum(self.clearance_m - errors_m[rows] - self._slack, 0.0)
        for part in self.parts:
            if part.owner == owner:
                away_m = np.asarray(shapely.distance(lines, part.shape))
                hit[rows] |= away_m < least if part.solid else away_m == 0.0
                hit[rows] |= (away_m == 0.0) & (errors_m[rows] < CURVE_M)
        return hit

    def corners(self, owner: str) -> Floats:
        """The corners to go round, shape (n, 3): x, y and the radius of the disc that stands for each."""
        if owner not in self._corners:
            shapes = [part.shape for part in self.parts if part.owner == owner]
            self._corners[owner] = (
                _bays(self.ring) if self.ring is not None and owner == EDGE else _outer_corners(shapes)
            )
        return self._corners[owner]


def _bays(ring: Polygon) -> Floats:
    """The corners of the ring that point inwards."""
    outline = shapely.get_coordinates(orient(ring))[:-1]
    before, after = outline - np.roll(outline, 1, axis=0), np.roll(outline, -1, axis=0) - outline
    inwards = outline[cross(before, after) < 0.0]
    return np.column_stack((inwards, np.zeros(len(inwards))))


def _outer_corners(shapes: Sequence[BaseGeometry]) -> Floats:
    """The corners of the hull of all parts of an obstacle; small discs as such, curved sides by a few corners."""
    found: list[tuple[float, float, float]] = []
    hull = shapely.convex_hull(shapely.GeometryCollection(list(shapes)))
    boundary = hull.boundary
    rest = [shape for shape in shapes if not _is_post(shape)]
    for shape in shapes:
        if _is_post(shape) and shapely.intersects(boundary, shape):
            circle = shapely.minimum_bounding_radius(shape)
            found.append((shape.centroid.x, shape.centroid.y, float(circle)))
    if any(shape.geom_type == "Polygon" for shape in rest):
        outline = shapely.convex_hull(shapely.GeometryCollection(rest))
        error_m = CURVE_M if shapely.get_num_coordinates(outline) > FEW_CORNERS else 0.0
        kept = shapely.get_coordinates(shapely.simplify(outline, error_m) if error_m else outline)[:-1]
        found += [(float(x), float(y), error_m) for x, y in kept]
    return np.array(found)


def _is_post(shape: BaseGeometry) -> bool:
    return bool(shape.geom_type == "Polygon" and shapely.minimum_bounding_radius(shape) <= POST_M)


def _row(start: Pose, pieces: Sequence[tuple[float, float]]) -> list[Segment]:
    """Pieces in a row, those without a length kept."""
    segments: list[Segment] = []
    for length_m, curvature in pieces:
        segments.append(Segment(start, length_m, curvature))
        start = segments[-1].end
    return segments


def _between(segment: Segment, low: float, high: float) -> Segment | None:
    """The stretch of a segment between two distances from its start; None where nothing is left."""
    low, high = max(low, 0.0), min(high, segment.length_m)
    if low >= high:
        return None
    return Segment(segment.at(low), high - low, segment.curvature)


def _ring_parts(ring: Ring | None) -> Iterable[Part]:
    if ring is None:
        return
    yield _part(EDGE, LineString([*ring.outline, ring.outline[0]]))
    for blocked in ring.blocked:
        yield _part(
            blocked.name, Polygon(blocked.outline) if blocked.outline else _disc(blocked.centre, blocked.radius_m)
        )


def _disc(centre: tuple[float, float], radius_m: float) -> Polygon:
    """A disc as the polygon around it, no corner further than a tenth of a millimetre off."""
    corners = max(8, math.ceil(math.pi / math.acos(radius_m / (radius_m + 1e-4))))
    angles = 2 * np.pi * np.arange(corners) / corners
    reach = radius_m / math.cos(math.pi / corners)
    return Polygon(np.column_stack((centre[0] + reach * np.cos(angles), centre[1] + reach * np.sin(angles))))


def _obstacle_parts(shapes: Mapping[str, Shape]) -> Iterable[Part]:
    for name in sorted(shapes):
        yield from (_part(name, solid) for solid in shapes[name].solids)
        yield from (_part(name, LineString(bar), solid=False) for bar in shapes[name].bars)

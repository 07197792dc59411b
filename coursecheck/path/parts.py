"""The parts that stand in the way in a ring, and the corners by which to go round them."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from coursecheck.course.model import Ring
from coursecheck.equipment.outlines import blocked_ground
from coursecheck.equipment.shape import Shape
from coursecheck.language import to_say
from coursecheck.path.words import Floats

__all__ = ["CURVE_M", "EDGE", "Corner", "Part", "bays", "obstacle_parts", "outer_corners", "ring_parts"]

EDGE = to_say("the ring's edge")

Corner = tuple[float, float, float]
"""x, y and the radius of the disc that stands for it."""

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
        filled: whether it has an inside.
        edges: its edges, shape (4, n): x and y of one end, of the other.
        key: the same for parts that are the same in every respect.
    """

    owner: str
    shape: BaseGeometry
    solid: bool
    filled: bool
    edges: Floats
    key: Hashable


def _part(owner: str, shape: BaseGeometry, *, solid: bool = True) -> Part:
    corners = shapely.get_coordinates(shape)
    filled = shape.geom_type == "Polygon"
    return Part(
        owner, shape, solid, filled, np.vstack((corners[:-1].T, corners[1:].T)), (owner, solid, corners.tobytes())
    )


def ring_parts(ring: Ring) -> Iterable[Part]:
    """The ring's edge and the blocked areas."""
    yield _part(EDGE, LineString([*ring.outline, ring.outline[0]]))
    for blocked in ring.blocked:
        yield _part(blocked.name, blocked_ground(blocked))


def obstacle_parts(name: str, shape: Shape) -> Iterable[Part]:
    """The solid parts and the bars of an obstacle."""
    yield from (_part(name, solid) for solid in shape.solids)
    yield from (_part(name, LineString(bar), solid=False) for bar in shape.bars)


def bays(ring: Polygon) -> list[Corner]:
    """The corners of the ring that point inwards."""
    outline = shapely.get_coordinates(orient(ring))[:-1]
    before, after = outline - np.roll(outline, 1, axis=0), np.roll(outline, -1, axis=0) - outline
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return [(x, y, 0.0) for x, y in outline[turn < 0.0].tolist()]


def outer_corners(shapes: Sequence[BaseGeometry]) -> list[Corner]:
    """The corners of the hull of all parts of an obstacle; small discs as such, curved sides by a few corners."""
    found: list[Corner] = []
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
    return found


def _is_post(shape: BaseGeometry) -> bool:
    return bool(shape.geom_type == "Polygon" and shapely.minimum_bounding_radius(shape) <= POST_M)

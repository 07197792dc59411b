"""The parts that stand in the way in a ring, and the corners by which to go round them."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from coursecheck.course.model import Ring
from coursecheck.equipment.outlines import blocked_ground
from coursecheck.equipment.shape import Shape
from coursecheck.language import to_say
from coursecheck.path.words import Floats

__all__ = ["CURVE_M", "EDGE", "Corner", "Part", "Standing", "bays", "obstacle", "outer_corners", "ring_things"]

EDGE = to_say("the ring's edge")

Corner = tuple[float, float, float]
"""x, y and the radius of the disc that stands for it."""

POST_M = 0.05  # a part no wider than a post is one disc
FEW_CORNERS = 10
STRAIGHT_M = 1e-6  # a corner no further off a straight is float noise
CURVE_M = 0.005  # how far the corners that stand for a curved side may lie inside it


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One part of something that stands in the way.

    Attributes:
        owner: id of the obstacle, name of the blocked area, or EDGE.
        shape: a polygon or a line.
        solid: whether clearance is kept; a bar must only not be crossed.
        filled: whether it has an inside.
        edges: how many edges it has.
    """

    owner: str
    shape: BaseGeometry
    solid: bool
    filled: bool
    edges: int


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """An obstacle, a blocked area or the ring's edge.

    Attributes:
        parts: its parts.
        key: the same for those that are the same in every respect.
        edges: of all parts in turn, shape (4, n): x and y of one end, of the other.
        edge_boxes: the boxes of the edges, shape (4, n).
        boxes: those of the parts, shape (4, parts).
    """

    parts: tuple[Part, ...]
    key: Hashable
    edges: Floats
    edge_boxes: Floats
    boxes: Floats


def _standing(owner: str, solids: Iterable[BaseGeometry], bars: Iterable[BaseGeometry] = ()) -> Standing:
    shapes = [(shape, True) for shape in solids] + [(shape, False) for shape in bars]
    outlines = [shapely.get_coordinates(shape) for shape, _ in shapes]
    parts = tuple(
        Part(owner, shape, solid, shape.geom_type == "Polygon", len(outline) - 1)
        for (shape, solid), outline in zip(shapes, outlines, strict=True)
    )
    figures = tuple(outline.tobytes() for outline in outlines)
    nothing = np.zeros((0, 2))
    starts = np.concatenate([nothing, *(outline[:-1] for outline in outlines)]).T
    ends = np.concatenate([nothing, *(outline[1:] for outline in outlines)]).T
    return Standing(
        parts,
        (owner, figures, tuple((part.solid, part.filled) for part in parts)),
        np.vstack((starts, ends)),
        np.vstack((np.minimum(starts, ends), np.maximum(starts, ends))),
        shapely.bounds([part.shape for part in parts]).reshape(-1, 4).T,
    )


def ring_things(ring: Ring) -> Iterable[Standing]:
    """The ring's edge and the blocked areas."""
    yield _standing(EDGE, [LineString([*ring.outline, ring.outline[0]])])
    for blocked in ring.blocked:
        yield _standing(blocked.name, [blocked_ground(blocked)])


def obstacle(name: str, shape: Shape) -> Standing:
    """The solid parts and the bars of an obstacle."""
    return _standing(name, shape.solids, map(LineString, shape.bars))


def bays(ring: Polygon) -> list[Corner]:
    """The corners of the ring that point inwards."""
    outline = shapely.get_coordinates(orient(ring))[:-1]
    before, after = outline - np.roll(outline, 1, axis=0), np.roll(outline, -1, axis=0) - outline
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return [(x, y, 0.0) for x, y in outline[(turn < 0.0) & _bent(outline)].tolist()]


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
        found += [(x, y, error_m) for x, y in kept[_bent(kept)].tolist()]
    return found


def _bent(outline: Floats) -> NDArray[np.bool_]:
    """Which points of an outline are corners: wherever the plan lies, those on a straight are none."""
    before, after = np.roll(outline, 1, axis=0), np.roll(outline, -1, axis=0)
    (chord_x, chord_y), (x, y) = (after - before).T, (outline - before).T
    return np.asarray(np.abs(chord_x * y - chord_y * x) > STRAIGHT_M * np.hypot(chord_x, chord_y))


def _is_post(shape: BaseGeometry) -> bool:
    return bool(shape.geom_type == "Polygon" and shapely.minimum_bounding_radius(shape) <= POST_M)

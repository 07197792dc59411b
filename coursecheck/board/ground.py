"""The free ground of an obstacle: where it may stand, turned as it is, as far as its neighbours are concerned."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from statistics import NormalDist
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point, Polygon
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from coursecheck.board.crew import classes_of
from coursecheck.course.model import Course, Pass
from coursecheck.equipment import Shape, build_shapes
from coursecheck.measures.legs import TWO_POINTS
from coursecheck.measures.registry import leg_facets
from coursecheck.measures.scene import Scene
from coursecheck.path.line import Line
from coursecheck.rulebook.model import Limit, Rulebook
from coursecheck.rulebook.resolve import resolve, size_of
from coursecheck.verdict.compare import CLOSE_CHANCE
from coursecheck.verdict.docket import plan_facets, rows_by_id

__all__ = ["free_ground", "free_ground_of"]

_ROUND = 48  # chords of a quarter circle
_SURE = NormalDist().inv_cdf(1.0 - CLOSE_CHANCE)


def free_ground_of(course: Course, book: Rulebook, name: str) -> dict[str, Any]:
    """The free ground for the page: rings of corners."""
    ground = free_ground(course, book, name)
    pieces = [piece for piece in shapely.get_parts(ground) if isinstance(piece, Polygon)]
    rings = [ring for piece in pieces for ring in (piece.exterior, *piece.interiors)]
    return {"rings": [[[round(x, 3), round(y, 3)] for x, y in ring.coords[:-1]] for ring in rings]}


def free_ground(course: Course, book: Rulebook, name: str) -> BaseGeometry:
    """Where the reference point of an obstacle may lie so that it stands free and keeps its distances.

    Distances are those of must-limits between obstacles that follow each other, taken straight from portal to portal
    (or centre to centre where the limit says so), with so much to spare that a straight leg on the edge of the ground
    is not close to its limit: an obstacle that is dragged there is held fast. The judging alone decides, for every
    leg as it is run.

    Args:
        course: the plan; the ground must do for all height classes that it is judged for.
        book: whose limits.
        name: the obstacle's id.
    """
    built: dict[tuple[object, ...], Shape] = {}
    heights = classes_of(course, book)
    return shapely.intersection_all(
        [_for_class(_standing(course, book, height, built), height, book, name) for height in heights]
    )


def _standing(course: Course, book: Rulebook, height: str, built: dict[tuple[object, ...], Shape]) -> Scene:
    """The obstacles as they stand for a height class; no dog runs yet."""
    runner, facets = book.heights[height].runner, plan_facets(course, height)
    shapes = build_shapes(course, lambda kind, size: size_of(book, kind, size, facets), runner.tunnel_line, built)
    return Scene(course, shapes, Line(runner, (), ()), book.length)


def _for_class(scene: Scene, height: str, book: Rulebook, name: str) -> BaseGeometry:
    shape = scene.shapes[name]
    at = shape.obstacle.at
    corners = [(x - at[0], y - at[1]) for x, y in shape.footprint.exterior.coords[:-1]]
    ground: BaseGeometry = shapely.intersection_all([translate(scene.ring, -x, -y) for x, y in corners])
    taken = [other.footprint for id_, other in scene.shapes.items() if id_ != name] + list(scene.blocked.values())
    ground = ground.difference(_swept(taken, np.array(corners)))
    for before, after in zip(scene.passes, scene.passes[1:], strict=False):
        if (before.obstacle == name) != (after.obstacle == name):
            ground = ground.intersection(_ring_round(scene, height, book, (before, after), name))
    return ground


def _swept(places: Sequence[Polygon], corners: NDArray[np.float64]) -> BaseGeometry:
    """Where the obstacle would touch a place, all taken as convex; `corners` (k, 2) from its reference point."""
    points = [(np.array(place.exterior.coords)[:-1, None] - corners).reshape(-1, 2) for place in places]
    which = np.repeat(np.arange(len(places)), [len(group) for group in points])
    hulls = shapely.convex_hull(shapely.multipoints(np.concatenate([np.empty((0, 2)), *points]), indices=which))
    return shapely.union_all(hulls)


def _ring_round(scene: Scene, height: str, book: Rulebook, leg: tuple[Pass, Pass], name: str) -> BaseGeometry:
    """The ground at a legal distance from the neighbour at the other end of a leg."""
    before, _ = leg
    ground: BaseGeometry = scene.ring.buffer(math.hypot(*_extent(scene.ring)))
    at = scene.shapes[name].obstacle.at
    for metric, low, high in _bounds_of_leg(scene.course, scene, height, book, leg):
        start, end = _ends(scene, leg, metric)
        fixed, moving = (end, start) if before.obstacle == name else (start, end)
        centre = Point(fixed[0] - (moving[0] - at[0]), fixed[1] - (moving[1] - at[1]))
        if high < math.inf:
            ground = ground.intersection(centre.buffer(high, quad_segs=_ROUND))
        if low > 0:
            ground = ground.difference(centre.buffer(low, quad_segs=_ROUND))
    return ground


def _extent(ring: Polygon) -> tuple[float, float]:
    x0, y0, x1, y1 = ring.bounds
    return x1 - x0, y1 - y0


def _ends(scene: Scene, leg: tuple[Pass, Pass], metric: str) -> tuple[tuple[float, float], tuple[float, float]]:
    before, after = leg
    if metric == "centres":
        return scene.shape(before).centre, scene.shape(after).centre
    return scene.way(before).exit.centre, scene.way(after).entry.centre


def _bounds_of_leg(
    course: Course, scene: Scene, height: str, book: Rulebook, leg: tuple[Pass, Pass]
) -> Iterator[tuple[str, float, float]]:
    """The must-limits on the distance of a leg: metric, least and most, in metres."""
    facets = {**plan_facets(course, height), **leg_facets(scene, *leg)}
    for rows in rows_by_id(book).values():
        if rows[-1].measure != "leg-distance":
            continue
        row: Limit | None = resolve(rows, [facets]).row
        if row is not None and row.severity == "must" and row.metric in ("line", "centres"):
            low, high = row.min or 0.0, math.inf if row.max is None else row.max
            spare = min(_SURE * TWO_POINTS * book.setting_out_m, (high - low) / 2)
            yield row.metric, low + spare if low else low, high - spare

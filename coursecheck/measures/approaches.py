"""How a dog comes to an obstacle and how it gets away: angles, run-ups, room ahead."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import Point as ShapelyPoint
from shapely import Polygon
from shapely.ops import unary_union

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.distances import ray_to_straights
from coursecheck.geometry.frames import Point, bearing_deg, wrap_deg
from coursecheck.measures.legs import TWO_POINTS, bearing_between
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import PASS, legs, measure, pass_facets
from coursecheck.measures.scene import Scene, rectangle_round

__all__ = ["room_ahead"]

STRIP_HALF_M = 0.3  # half the width of the strip that a dog needs; assumption: a large dog's width and a hand


@measure(
    "approach-angle",
    title="angle of approach",
    unit="deg",
    about="The angle between the way the dog comes and the straight way through the obstacle.",
    metrics={
        "line": "where the dog's line takes off for the obstacle or enters it",
        "centres": "from the middle of the previous exit straight to the middle of this entry",
    },
    facets=PASS,
    never={"kind": ("table",), "pass": ("first",)},
)
def _approach_angle(scene: Scene, ask: Ask) -> Iterator[Value]:
    for before, run in legs(scene):
        start, portal = scene.way(before).exit, scene.way(run).entry
        distance = math.dist(start.centre, portal.centre)
        problem = scene.line.legs[before.number - 1].problem if ask.metric == "line" else None
        if distance == 0.0 or scene.way(run).form == "stop":
            continue
        if ask.metric == "line":
            entry = scene.line.passes[run.number - 1].entry
            coming, points = bearing_deg(entry.heading), (entry.ahead(-1.0).point, entry.point)
        else:
            coming, points = bearing_between(start.centre, portal.centre), (start.centre, portal.centre)
        yield Value(
            measured=None if problem else abs(wrap_deg(coming - portal.bearing_deg)),
            passes=(before.number, run.number),
            obstacles=(before.obstacle, run.obstacle),
            witness=Witness("segment", points),
            facets=(pass_facets(scene, run),),
            spread=_direction_spread(scene, run, distance),
            why_not=problem or "",
        )


def _direction_spread(scene: Scene, run: Pass, distance_m: float) -> float:
    """Degrees for each metre of error: of the straight between two set-out points and of the obstacle's own axis.

    An angle set out by two points d apart, each sigma off sideways, is sqrt(2) sigma / d off (small angles).
    """
    box = rectangle_round(scene.shape(run).footprint)
    longest = max(math.dist(box[0], box[1]), math.dist(box[1], box[2]))
    return math.degrees(math.hypot(TWO_POINTS / distance_m, TWO_POINTS / longest))


@measure(
    "run-out",
    title="free run-out",
    unit="m",
    about="The free ground straight ahead of an obstacle's exit.",
    metrics={
        "ring": "from the exit straight on to the ring's edge",
        "wall": "from the exit straight on to a side of the ring that is a wall; no value where there is none ahead",
        "solid": "from the exit straight on, in a strip 0.6 m wide, to the next solid part or blocked place, or, "
        "where there is none, to the ring's edge",
    },
    facets=PASS,
)
def _run_out(scene: Scene, ask: Ask) -> Iterator[Value]:
    for run in scene.passes:
        free = room_ahead(scene, scene.way(run).exit, ask.metric, own=run.obstacle)
        if free is None:
            continue
        leave = scene.way(run).exit
        yield Value(
            measured=free,
            passes=(run.number,),
            obstacles=(run.obstacle,),
            witness=Witness("segment", (leave.centre, leave.frame.place(free, 0.0))),
            facets=(pass_facets(scene, run),),
            spread=1.0 if ask.metric != "solid" else TWO_POINTS,
        )


def room_ahead(scene: Scene, portal: Portal, metric: str, own: str) -> float | None:
    """Free ground straight ahead of a portal; None where its centre lies outside the ring or nothing is ahead."""
    sides = scene.walls() if metric == "wall" else list(scene.course.ring.sides())
    if not scene.ring.covers(ShapelyPoint(portal.centre)):
        return None
    free = ray_to_straights(portal.centre, portal.bearing_deg, sides)
    if free is None or metric != "solid":
        return free
    strip = Polygon(portal.frame.rectangle((0.0, free), (-STRIP_HALF_M, STRIP_HALF_M)))
    others = [part for name, shape in scene.shapes.items() if name != own for part in shape.solids]
    met = unary_union(
        [strip.intersection(part) for part in (*others, *scene.blocked.values()) if strip.intersects(part)]
    )
    if met.is_empty:
        return free
    corners = [point for geometry in getattr(met, "geoms", [met]) for point in _corners(geometry)]
    return min(max(0.0, portal.frame.locate(corner)[0]) for corner in corners)


def _corners(geometry: object) -> list[Point]:
    if isinstance(geometry, Polygon):
        return [(x, y) for x, y in geometry.exterior.coords]
    return [(x, y) for x, y in getattr(geometry, "coords", [])]

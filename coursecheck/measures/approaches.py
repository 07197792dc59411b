"""How a dog comes to an obstacle and how it gets away: angles, run-ups, room ahead."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from shapely import Point as ShapelyPoint
from shapely import Polygon
from shapely.ops import unary_union

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.distances import ray_to_straights
from coursecheck.geometry.frames import Point, bearing_deg, wrap_deg
from coursecheck.geometry.segments import Segment, reversed_segments
from coursecheck.measures.legs import TWO_POINTS, bearing_between
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import legs, measure, pass_facets
from coursecheck.measures.scene import Scene, rectangle_round

__all__ = ["landing_run_m", "room_ahead", "run_up_m"]

STRAIGHT_DEG = 10.0  # a line that bends by no more than this counts as straight; common practice, no source
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


def _straight_start(pieces: Sequence[Segment]) -> float:
    """How far some pieces run on before they have turned by more than STRAIGHT_DEG off their first direction."""
    limit, turned, run = math.radians(STRAIGHT_DEG), 0.0, 0.0
    for piece in pieces:
        ahead = turned + piece.turn_rad
        if abs(ahead) > limit:
            allowed = math.copysign(limit, piece.curvature) - turned
            return run + allowed / piece.curvature
        turned, run = ahead, run + piece.length_m
    return run


def run_up_m(scene: Scene, before: Pass) -> float:
    """The straight part of a leg before the next take-off or entry; of a straight leg, back to the last exit."""
    index = before.number - 1
    leg, run = scene.line.legs[index], scene.line.passes[index]
    straight = _straight_start(reversed_segments(leg.segments))
    return straight + (run.after_m if straight >= leg.length_m else 0.0)


def landing_run_m(scene: Scene, before: Pass) -> float:
    """The straight part of a leg after landing or exit; of a straight leg, on to the next entry."""
    index = before.number - 1
    leg, run = scene.line.legs[index], scene.line.passes[index + 1]
    straight = _straight_start(leg.segments)
    return straight + (run.before_m if straight >= leg.length_m else 0.0)


@measure(
    "run-up",
    title="straight run-up",
    unit="m",
    about="The straight part of the line before the dog takes off for an obstacle or enters it.",
    metrics={
        "line": "along the dog's line, back from take-off or entry as far as it bends by no more than 10 degrees"
    },
)
def _run_up(scene: Scene, _ask: Ask) -> Iterator[Value]:
    for before, run in legs(scene):
        leg = scene.line.legs[before.number - 1]
        straight = run_up_m(scene, before)
        entry = scene.line.passes[run.number - 1].entry
        yield _straight_value(
            scene, before, run, run, straight, leg.problem, (entry.ahead(-straight).point, entry.point)
        )


@measure(
    "landing-run",
    title="straight run after landing",
    unit="m",
    about="The straight part of the line after the dog has landed or left an obstacle, before it turns.",
    metrics={"line": "along the dog's line, from landing or exit as far as it bends by no more than 10 degrees"},
)
def _landing_run(scene: Scene, _ask: Ask) -> Iterator[Value]:
    for run, after in legs(scene):
        leg = scene.line.legs[run.number - 1]
        straight = landing_run_m(scene, run)
        leave = scene.line.passes[run.number - 1].exit
        yield _straight_value(
            scene, run, after, run, straight, leg.problem, (leave.point, leave.ahead(straight).point)
        )


def _straight_value(
    scene: Scene, before: Pass, after: Pass, of: Pass, straight: float, problem: str | None, ends: tuple[Point, Point]
) -> Value:
    return Value(
        measured=None if problem else straight,
        passes=(before.number, after.number),
        obstacles=(before.obstacle, after.obstacle),
        witness=Witness("segment", ends),
        facets=(pass_facets(scene, of),),
        spread=TWO_POINTS,
        why_not=problem or "",
    )


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

"""How a dog comes to an obstacle and how it gets away: angles, run-ups, room ahead."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import numpy as np
from shapely import Polygon, bounds, get_coordinates, intersection, intersects, intersects_xy, polygons, prepare

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.distances import NOISE_M, boxes_meet, ray_to_straights
from coursecheck.geometry.frames import bearing_deg, wrap_deg
from coursecheck.measures.legs import TWO_POINTS, bearing_between
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import PASS, leg_values, measure, pass_facets, pass_values
from coursecheck.measures.scene import Scene
from coursecheck.measures.tracks import Geometries, geometries
from coursecheck.path.words import Floats

__all__ = ["room_ahead", "rooms_ahead"]

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
    def taken(before: Pass, run: Pass) -> Value | None:
        start, portal = scene.way(before).exit, scene.way(run).entry
        distance = math.dist(start.centre, portal.centre)
        problem = scene.line.legs[before.number - 1].problem if ask.metric == "line" else None
        if distance == 0.0 or scene.way(run).form == "stop":
            return None
        if ask.metric == "line":
            entry = scene.line.passes[run.number - 1].entry
            coming, points = bearing_deg(entry.heading), (entry.ahead(-1.0).point, entry.point)
        else:
            coming, points = bearing_between(start.centre, portal.centre), (start.centre, portal.centre)
        return Value(
            measured=None if problem else abs(wrap_deg(coming - portal.bearing_deg)),
            passes=(before.number, run.number),
            obstacles=(before.obstacle, run.obstacle),
            witness=Witness("segment", points),
            facets=(pass_facets(scene, run),),
            spread=_direction_spread(scene, run, distance),
            why_not=problem or "",
        )

    return leg_values(scene, f"approach-angle {ask.metric}", taken)


def _direction_spread(scene: Scene, run: Pass, distance_m: float) -> float:
    """Degrees for each metre of error: of the straight between two set-out points and of the obstacle's own axis.

    An angle set out by two points d apart, each sigma off sideways, is sqrt(2) sigma / d off (small angles).
    """
    box = scene.boxes[run.obstacle]
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
    ways = [(scene.way(run).exit, run.obstacle) for run in scene.passes]
    rooms = rooms_ahead(scene, ways, ask.metric)

    def taken(run: Pass) -> Value | None:
        leave, free = ways[run.number - 1][0], rooms[run.number - 1]
        if free is None:
            return None
        return Value(
            measured=free,
            passes=(run.number,),
            obstacles=(run.obstacle,),
            witness=Witness("segment", (leave.centre, leave.frame.place(free, 0.0))),
            facets=(pass_facets(scene, run),),
            spread=1.0 if ask.metric != "solid" else TWO_POINTS,
        )

    return pass_values(scene, f"run-out {ask.metric}", taken, rooms)


def room_ahead(scene: Scene, portal: Portal, metric: str, own: str) -> float | None:
    """Free ground straight ahead of a portal of the obstacle `own`, see `rooms_ahead`."""
    return rooms_ahead(scene, [(portal, own)], metric)[0]


def rooms_ahead(scene: Scene, portals: Sequence[tuple[Portal, str]], metric: str) -> list[float | None]:
    """Free ground straight ahead of each portal; None where its centre lies outside the ring or nothing is ahead.

    Args:
        scene: the plan.
        portals: each with the obstacle that it belongs to, which is never in its own way.
        metric: "ring", "wall" or "solid".
    """
    edge = scene.edge("wall" if metric == "wall" else "ring")
    if not edge.sides or not portals:
        return [None] * len(portals)

    def rays(missing: list[int]) -> Iterator[float | None]:
        some = [portals[i][0] for i in missing]
        inside = intersects_xy(scene.ring, np.array([portal.centre for portal in some]))
        for portal, within in zip(some, inside.tolist(), strict=True):
            yield ray_to_straights(portal.centre, portal.bearing_deg, edge.sides) if within else None

    keys = [(portal.centre, portal.bearing_deg, edge) for portal, _ in portals]
    rooms = scene.memo.many("ray", keys, rays)
    ahead = [i for i, free in enumerate(rooms) if free is not None]
    if metric == "solid" and ahead:
        met_m = _first_met_m(scene, [portals[i] for i in ahead], [rooms[i] or 0.0 for i in ahead])
        for i, first_m in zip(ahead, met_m, strict=True):
            rooms[i] = first_m if first_m < math.inf else rooms[i]
    return rooms


def _first_met_m(scene: Scene, portals: Sequence[tuple[Portal, str]], free_m: Sequence[float]) -> list[float]:
    """How far ahead of each portal something solid first reaches into its strip; infinite where nothing does."""
    half = (-STRIP_HALF_M, STRIP_HALF_M)
    figures = [(portal.centre, portal.bearing_deg, free) for (portal, _), free in zip(portals, free_m, strict=True)]

    def strips(missing: list[int]) -> Iterator[tuple[Polygon, list[float]]]:
        corners = np.array([portals[i][0].frame.rectangle((0.0, free_m[i]), half) for i in missing])
        drawn = np.asarray(polygons(corners))
        return zip(drawn, bounds(drawn).tolist(), strict=True)

    ahead = scene.memo.many("strip", figures, strips)
    near = boxes_meet(np.array([box for _, box in ahead]), scene.solid_boxes)
    near &= scene.foreign([(own,) for _, own in portals])

    def measured(missing: list[int]) -> Iterator[float]:
        there = [list(itertools.compress(scene.solids, near[i])) for i in missing]
        parts = geometries(part for solids in there for solid in solids for part in solid.parts)
        sizes = [sum(len(solid.parts) for solid in solids) for solids in there]
        strips = geometries(ahead[i][0] for i in missing)
        prepare(strips)
        into = intersects(strips.repeat(sizes), parts)
        owner, met = np.arange(len(missing)).repeat(sizes)[into], parts[into]
        boxes = bounds(met)
        for k, i in enumerate(missing):
            own = owner == k
            yield _reached_m(portals[i][0], ahead[i][0], met[own], boxes[own])

    keys = [solid.key for solid in scene.solids]
    met = [(*key, *itertools.compress(keys, row)) for key, row in zip(figures, near.tolist(), strict=True)]
    return scene.memo.many("first met", met, measured)


def _reached_m(portal: Portal, strip: Polygon, parts: Geometries, boxes: Floats) -> float:
    """How far ahead of a portal the first of its parts reaches into its strip; infinite where it has none.

    Args:
        portal: the portal.
        strip: the strip ahead of it.
        parts: solid ground that reaches into the strip.
        boxes: the boxes round the parts.
    """
    (x, y), (fx, fy) = portal.centre, portal.frame.forward
    begin = [
        ((left if fx > 0.0 else right) - x) * fx + ((bottom if fy > 0.0 else top) - y) * fy
        for left, bottom, right, top in boxes.tolist()
    ]
    first_m = math.inf
    for i in sorted(range(len(begin)), key=begin.__getitem__):
        if begin[i] > first_m + NOISE_M:  # parts that begin beyond what was met need not be cut
            break
        points = get_coordinates(intersection(strip, parts[i])).tolist()
        first_m = min([first_m, *(max((px - x) * fx + (py - y) * fy, 0.0) for px, py in points)])
    return first_m

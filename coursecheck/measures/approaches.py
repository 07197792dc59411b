"""How a dog comes to an obstacle and how it gets away: angles, run-ups, room ahead."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import bounds, get_coordinates, intersection, intersects_xy, polygons

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.distances import ray_to_straights
from coursecheck.geometry.frames import bearing_deg, wrap_deg
from coursecheck.measures.legs import TWO_POINTS, bearing_between
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.nearest import NOISE_M
from coursecheck.measures.registry import PASS, legs, measure, pass_facets
from coursecheck.measures.scene import Scene
from coursecheck.measures.tracks import Geometries
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
    for run, (leave, _), free in zip(scene.passes, ways, rooms_ahead(scene, ways, ask.metric), strict=True):
        if free is not None:
            yield Value(
                measured=free,
                passes=(run.number,),
                obstacles=(run.obstacle,),
                witness=Witness("segment", (leave.centre, leave.frame.place(free, 0.0))),
                facets=(pass_facets(scene, run),),
                spread=1.0 if ask.metric != "solid" else TWO_POINTS,
            )


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
    sides = scene.walls() if metric == "wall" else scene.sides
    if not sides or not portals:
        return [None] * len(portals)
    inside = intersects_xy(scene.ring, np.array([portal.centre for portal, _ in portals]))
    rooms = [
        ray_to_straights(portal.centre, portal.bearing_deg, sides) if within else None
        for (portal, _), within in zip(portals, inside, strict=True)
    ]
    ahead = [i for i, free in enumerate(rooms) if free is not None]
    if metric == "solid" and ahead:
        met_m = _first_met_m(scene, [portals[i] for i in ahead], [rooms[i] or 0.0 for i in ahead])
        for i, first_m in zip(ahead, met_m.tolist(), strict=True):
            rooms[i] = first_m if first_m < math.inf else rooms[i]
    return rooms


def _first_met_m(scene: Scene, portals: Sequence[tuple[Portal, str]], free_m: Sequence[float]) -> Floats:
    """How far ahead of each portal something solid first reaches into its strip; infinite where nothing does."""
    half = (-STRIP_HALF_M, STRIP_HALF_M)
    corners = [portal.frame.rectangle((0.0, free), half) for (portal, _), free in zip(portals, free_m, strict=True)]
    strips, parts = np.asarray(polygons(np.array(corners))), scene.solid_tree.geometries
    strip, part = scene.solid_tree.query(strips, predicate="intersects")
    foreign = scene.solid_owners[part] != np.array([own for _, own in portals])[strip]
    met: list[list[int]] = [[] for _ in portals]
    for i, j in zip(strip[foreign].tolist(), part[foreign].tolist(), strict=True):
        met[i].append(j)
    keys = [
        (portal.centre, portal.bearing_deg, free, *parts[sorted(there)])
        for (portal, _), free, there in zip(portals, free_m, met, strict=True)
    ]

    def measured(missing: list[int]) -> list[float]:
        which = np.repeat(np.arange(len(missing)), [len(met[i]) for i in missing])
        some = parts[[j for i in missing for j in met[i]]]
        return _reached_m([portals[i][0] for i in missing], strips[missing], which, some)

    return np.array(scene.memo.many("first met", keys, measured))


def _reached_m(
    portals: Sequence[Portal], strips: Geometries, which: NDArray[np.int64], parts: Geometries
) -> list[float]:
    """How far ahead of each portal the first of its parts reaches into its strip; infinite where it has none.

    Args:
        portals: the portals.
        strips: the strip ahead of each.
        which: whose strip each part reaches into.
        parts: the parts.
    """
    origin = np.array([portal.centre for portal in portals])[which]
    forward = np.array([portal.frame.forward for portal in portals])[which]
    first = np.full(len(portals), math.inf)

    def reach(pairs: NDArray[np.int64]) -> None:
        shared = intersection(strips[which[pairs]], parts[pairs])
        points, owner = get_coordinates(shared, return_index=True)
        owner = pairs[owner]
        along = ((points - origin[owner]) * forward[owner]).sum(axis=1)
        np.minimum.at(first, which[owner], np.maximum(along, 0.0))

    # the nearest part by the boxes round them is looked at first: parts that begin beyond it need not be cut
    boxes = bounds(parts).reshape(-1, 2, 2)
    begin = ((np.where(forward > 0.0, boxes[:, 0], boxes[:, 1]) - origin) * forward).sum(axis=1)
    order = np.lexsort((begin, which))
    nearest = np.flatnonzero(np.diff(which[order], prepend=-1))
    reach(order[nearest])
    others = np.delete(order, nearest)
    reach(others[begin[others] <= first[which[others]] + NOISE_M])
    return list(first.tolist())

"""How a dog comes to an obstacle and how it gets away: angles, run-ups, room ahead."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import get_coordinates, get_exterior_ring, intersects_xy

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.distances import NOISE_M, boxes_meet, ray_to_straights
from coursecheck.geometry.frames import bearing_deg, wrap_deg
from coursecheck.measures.legs import TWO_POINTS, bearing_between
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import PASS, leg_values, measure, pass_facets, pass_values
from coursecheck.measures.scene import Scene
from coursecheck.measures.tracks import Geometries, geometries

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
            rooms[i] = min(first_m, rooms[i] or 0.0)
    return rooms


def _first_met_m(scene: Scene, portals: Sequence[tuple[Portal, str]], free_m: Sequence[float]) -> list[float]:
    """How far ahead of each portal something solid first reaches into its strip; infinite where nothing does."""
    half = (-STRIP_HALF_M, STRIP_HALF_M)
    figures = [(portal.centre, portal.bearing_deg, free) for (portal, _), free in zip(portals, free_m, strict=True)]

    def strips(missing: list[int]) -> list[list[float]]:
        corners = np.array([portals[i][0].frame.rectangle((0.0, free_m[i]), half) for i in missing])
        boxes: list[list[float]] = np.concatenate([corners.min(axis=1), corners.max(axis=1)], axis=1).tolist()
        return boxes

    near = boxes_meet(np.array(scene.memo.many("strip", figures, strips)), scene.solid_boxes)
    near &= scene.foreign([(own,) for _, own in portals])

    def measured(missing: list[int]) -> list[float]:
        there = [
            (row, part)
            for row, i in enumerate(missing)
            for solid in itertools.compress(scene.solids, near[i])
            for part in solid.parts
        ]
        owners = np.array([row for row, _ in there], dtype=np.int64)
        return _reached_m([portals[i][0] for i in missing], owners, geometries(part for _, part in there))

    met = [(*key, *itertools.compress(scene.solids, row)) for key, row in zip(figures, near.tolist(), strict=True)]
    return scene.memo.many("first met", met, measured)


def _reached_m(portals: Sequence[Portal], owners: NDArray[np.int64], parts: Geometries) -> list[float]:
    """How far ahead of each portal the first of its parts reaches into its strip; infinite where none does.

    Args:
        portals: where the strips begin.
        owners: of each part, by index, the portal that it may lie ahead of.
        parts: solid ground.
    """
    first_m = np.full(len(portals), math.inf)
    x, y, fx, fy = np.array([(*portal.centre, *portal.frame.forward) for portal in portals])[owners].T
    first_m[owners[intersects_xy(parts, x, y)]] = 0.0
    corners, part = get_coordinates(get_exterior_ring(parts), return_index=True)
    dx, dy = corners[:, 0] - x[part], corners[:, 1] - y[part]
    local = np.stack([dx * fx[part] + dy * fy[part], dx * fy[part] - dy * fx[part]])  # along, right
    side = part[1:] == part[:-1]
    (from_along, from_right), (to_along, to_right) = local[:, :-1][:, side], local[:, 1:][:, side]
    # each side cut down to the strip: between which shares of it does it lie there
    low = np.maximum(np.minimum(from_right, to_right), -STRIP_HALF_M)
    high = np.minimum(np.maximum(from_right, to_right), STRIP_HALF_M)
    across = to_right - from_right
    shares = np.repeat([[0.0], [1.0]], len(across), axis=1)
    np.divide(np.stack([low, high]) - from_right, across, out=shares, where=across != 0.0)
    along = from_along + (to_along - from_along) * shares.clip(0.0, 1.0)
    meets = (low <= high + NOISE_M) & (along.max(axis=0) >= -NOISE_M)
    np.minimum.at(first_m, owners[part[1:][side][meets]], np.maximum(along.min(axis=0)[meets], 0.0))
    reached: list[float] = first_m.tolist()
    return reached

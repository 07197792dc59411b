"""How a dog comes to an obstacle and how it gets away: angles, run-ups, room ahead."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from shapely import intersects_xy

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.distances import NOISE_M, boxes_meet, ray_to_straights
from coursecheck.geometry.frames import bearing_deg, wrap_deg
from coursecheck.measures.legs import TWO_POINTS, apart, axis_spread, bearing_between, direction_spread
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import PASS, leg_values, measure, pass_facets, pass_values
from coursecheck.measures.scene import Scene
from coursecheck.measures.solids import Rim, Solid

__all__ = ["room_ahead", "room_spread", "rooms_ahead"]

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
            spread=apart(before, run, direction_spread(scene, run, distance)),
            why_not=problem or "",
        )

    return leg_values(scene, f"approach-angle {ask.metric}", taken)


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
    edge = scene.edge(ask.metric)

    def taken(run: Pass) -> Value | None:
        way, free = ways[run.number - 1], rooms[run.number - 1]
        if free is None:
            return None
        leave, _ = way
        return Value(
            measured=free,
            passes=(run.number,),
            obstacles=(run.obstacle,),
            witness=Witness("segment", (leave.centre, leave.frame.place(free, 0.0))),
            facets=(pass_facets(scene, run),),
            spread=room_spread(scene, way, ask.metric, free),
        )

    return pass_values(scene, f"run-out {ask.metric}", taken, [(free, edge) for free in rooms])


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


def room_spread(scene: Scene, ahead: tuple[Portal, str], metric: str, free_m: float) -> float:
    """The spread of the free ground ahead of a portal of an obstacle, see `rooms_ahead`.

    Against a side that lies askew, an obstacle that is off sideways or turned changes it, too.
    """
    portal, own = ahead
    sides = scene.edge(metric).sides
    met = (side for side in sides if ray_to_straights(portal.centre, portal.bearing_deg, [side]) == free_m)
    side = next(met, None)
    if side is None:
        return TWO_POINTS
    askew = math.radians(bearing_between(*side) - portal.bearing_deg)
    return math.hypot(1.0, free_m * axis_spread(scene, own) * math.cos(askew)) / abs(math.sin(askew))


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
        return [_reached_m(portals[i][0], itertools.compress(scene.solids, near[i])) for i in missing]

    met = [(*key, *itertools.compress(scene.solids, row)) for key, row in zip(figures, near.tolist(), strict=True)]
    return scene.memo.many("first met", met, measured)


def _reached_m(portal: Portal, solids: Iterable[Solid]) -> float:
    """How far ahead of a portal the first of some solids reaches into its strip; infinite where none does."""
    (x, y), (forward_x, forward_y) = portal.centre, portal.frame.forward
    first_m = math.inf
    for rim in (rim for solid in solids for rim in solid.rims):
        round_x, round_y, radius_m = rim.disc
        along = (round_x - x) * forward_x + (round_y - y) * forward_y
        right = (round_x - x) * forward_y - (round_y - y) * forward_x
        if abs(right) - radius_m <= STRIP_HALF_M + NOISE_M and -radius_m - NOISE_M <= along <= first_m + radius_m:
            first_m = min(first_m, _into_strip_m(portal, rim))
    return first_m


def _into_strip_m(portal: Portal, rim: Rim) -> float:
    """The same of ground within a rim. Few stand so near a strip: single numbers are quicker than arrays."""
    (x, y), (forward_x, forward_y) = portal.centre, portal.frame.forward
    first_m, inside = math.inf, False
    for ends in rim.sides:
        (along, right), (to_along, to_right) = (
            ((ex - x) * forward_x + (ey - y) * forward_y, (ex - x) * forward_y - (ey - y) * forward_x)
            for ex, ey in ends
        )
        # the side cut down to the strip
        low, high = max(min(right, to_right), -STRIP_HALF_M), min(max(right, to_right), STRIP_HALF_M)
        if low > high + NOISE_M:
            continue
        slope = (to_along - along) / (to_right - right) if to_right != right else None
        if slope is None:
            reached = along, to_along
        else:
            reached = along + slope * (low - right), along + slope * (high - right)
            if (right > 0.0) != (to_right > 0.0) and along - slope * right > 0.0:
                inside = not inside
        if max(reached) >= -NOISE_M:
            first_m = min(first_m, max(min(reached), 0.0))
    return 0.0 if inside else first_m

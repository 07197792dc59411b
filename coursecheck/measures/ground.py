"""The ground: the ring's size, gaps between obstacles, ground that two of them share or that is blocked."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator

import numpy as np
from shapely import MultiPolygon, Polygon

from coursecheck.equipment.shape import Shape
from coursecheck.geometry.distances import boxes_meet, nearest_ends
from coursecheck.measures.legs import TWO_POINTS
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import KIND, PAIR, known_values, measure
from coursecheck.measures.scene import Scene, rectangle_round

PASSAGE_REACH_M = 3.0  # wider than this nobody speaks of a passage; common practice, no source
TOUCH_M = 1e-6  # float noise


def _pair_values(
    scene: Scene, what: str, reach_m: float, take: Callable[[Shape, Shape], Value | None]
) -> Iterator[Value]:
    """One value for each pair of obstacles whose footprints come within reach of each other."""
    shapes = list(scene.shapes.values())
    near = np.argwhere(np.triu(boxes_meet(scene.ground_boxes, scene.ground_boxes, reach_m), 1)).tolist()
    pairs = [(shapes[i], shapes[j]) for i, j in near]

    def taken(missing: list[int]) -> Iterator[Value | None]:
        for one, other in (pairs[i] for i in missing):
            yield take(one, other) if one.footprint.dwithin(other.footprint, reach_m) else None

    return known_values(scene, what, pairs, taken)


def _pair_value(one: Shape, other: Shape, measured: float, witness: Witness, spread: float) -> Value:
    kinds = (one.kind.name, other.kind.name)
    return Value(
        measured=measured,
        obstacles=(one.obstacle.id, other.obstacle.id),
        witness=witness,
        facets=({"from": kinds[0], "to": kinds[1]}, {"from": kinds[1], "to": kinds[0]}),
        spread=spread,
    )


@measure(
    "passage",
    title="passage between two obstacles",
    unit="m",
    about="The gap between the solid parts of two obstacles that stand near each other but do not touch.",
    metrics={"solid": "between the nearest solid parts of the two; no value where they are more than 3 m apart"},
    facets=PAIR,
)
def _passage(scene: Scene, _ask: Ask) -> Iterator[Value]:
    def taken(one: Shape, other: Shape) -> Value | None:
        solids = MultiPolygon(one.solids), MultiPolygon(other.solids)
        gap = solids[0].distance(solids[1])
        apart = (
            one.footprint.intersection(other.footprint).area <= TOUCH_M
        )  # else they stand in each other: see overlap
        if not (apart and TOUCH_M < gap <= PASSAGE_REACH_M):
            return None
        (ends,) = nearest_ends([solids[0]], [solids[1]])
        return _pair_value(one, other, gap, Witness("segment", ends), TWO_POINTS)

    return _pair_values(scene, "passage", PASSAGE_REACH_M, taken)


@measure(
    "overlap",
    title="ground that two obstacles share",
    unit="m2",
    about="How much ground two obstacles both cover; 0 where they only touch.",
    metrics={"ground": "shared area of the two footprints"},
    facets=PAIR,
)
def _overlap(scene: Scene, _ask: Ask) -> Iterator[Value]:
    def taken(one: Shape, other: Shape) -> Value:
        shared = one.footprint.intersection(other.footprint)
        area = shared.area if shared.area > TOUCH_M else 0.0
        points = tuple(rectangle_round(shared)) if area else (one.centre, other.centre)
        return _pair_value(one, other, area, Witness("area" if area else "segment", points), 0.0)

    return _pair_values(scene, "overlap", 0.0, taken)


@measure(
    "blocked-ground",
    title="ground on a blocked place",
    unit="m2",
    about="How much of a blocked place (a pillar, a tent, a drain) an obstacle covers; 0 where they only touch.",
    metrics={"ground": "shared area of its footprint and the blocked place; no value where they lie apart"},
    facets=KIND,
)
def _blocked_ground(scene: Scene, _ask: Ask) -> Iterator[Value]:
    keys = [(name, scene.numbers(name), shape) for name, shape in scene.shapes.items()]
    pairs = [(*key, what, ground) for key in keys for what, ground in scene.blocked.items()]
    return known_values(scene, "blocked-ground", pairs, lambda missing: (_on_blocked(*pairs[i]) for i in missing))


def _on_blocked(name: str, numbers: tuple[int, ...], shape: Shape, what: str, ground: Polygon) -> Value | None:
    if not shape.footprint.intersects(ground):
        return None
    shared = shape.footprint.intersection(ground)
    area = shared.area if shared.area > TOUCH_M else 0.0
    return Value(
        measured=area,
        passes=numbers,
        obstacles=(name,),
        witness=Witness("area", tuple(rectangle_round(shared))) if area else Witness("point", (shape.centre,)),
        facets=({"kind": shape.kind.name},),
        note=what,
    )


@measure(
    "neighbour-gap",
    title="distance to the ring beside",
    unit="m",
    about="How far this ring's edge lies from that of another ring beside it, as the plan says.",
    metrics={"open": "from edge to edge, where neither wall nor fence stands between", "all": "from edge to edge"},
    by_height=False,
)
def _neighbour_gap(scene: Scene, ask: Ask) -> Iterator[Value]:
    for other in scene.course.ring.beside:
        if ask.metric == "all" or not other.fence:
            yield Value(measured=other.gap_m, note=other.name)  # the rings are given, not set out


@measure(
    "ring-size",
    title="size of the ring",
    unit="m",
    units={"area": "m2"},
    about="How large the ring is; of a ring that is no rectangle, the smallest rectangle round it.",
    metrics={"long": "the longer side", "short": "the shorter side", "area": "the ground within its outline"},
    by_height=False,
)
def _ring_size(scene: Scene, ask: Ask) -> Iterator[Value]:
    if ask.metric == "area":
        yield Value(measured=scene.ring.area, witness=Witness("area", scene.course.ring.outline))
        return
    corners = scene.memo.get("ring box", scene.course.ring.outline, lambda: rectangle_round(scene.ring))
    sides = sorted((math.dist(a, b), (a, b)) for a, b in itertools.pairwise(corners[:3]))
    length, ends = sides[1 if ask.metric == "long" else 0]
    yield Value(measured=length, witness=Witness("segment", ends))  # the ring is given, not set out

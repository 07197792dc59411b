"""The ring's edge and everything solid: how near obstacles and the line come to them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import numpy as np
from shapely import covers, distance, get_coordinates, get_parts, get_rings, points

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal, Shape
from coursecheck.geometry.distances import farthest_from, nearest_ends
from coursecheck.geometry.frames import Point, wrap_deg
from coursecheck.language import say
from coursecheck.measures.approaches import room_ahead, room_spread
from coursecheck.measures.legs import FLOAT_NOISE_M, TWO_POINTS, bearing_between
from coursecheck.measures.model import Ask, Facets, Value, Witness
from coursecheck.measures.nearest import Near, nearest, nearest_parts, solids_beside
from coursecheck.measures.registry import (
    FLOAT_NOISE_DEG,
    KIND,
    LEG,
    known_values,
    leg_facets,
    legs,
    measure,
    pass_facets,
)
from coursecheck.measures.scene import Scene
from coursecheck.measures.solids import Rim, Solid

ALONG_DEG = 20.0  # as good as parallel to a side; common practice, no source
ONE_POINT = 1.0  # a set-out point against the ring's edge, which stands where it stands
EDGE_METRICS = {
    "ring": "to the ring's edge",
    "wall": "to the sides of the ring that are walls; no value without walls",
}


def _obstacle_facets(scene: Scene, name: str) -> Facets:
    return {"kind": scene.shapes[name].kind.name}


def _parallel(scene: Scene, name: str, side: tuple[Point, Point]) -> str:
    """Whether a long side of an obstacle lies along a side of the ring, give or take 20 degrees; a square has 4."""
    box = scene.boxes[name]
    sides = ((box[0], box[1]), (box[1], box[2]))
    longest = max(math.dist(*ends) for ends in sides)
    long_sides = (ends for ends in sides if math.dist(*ends) >= longest - FLOAT_NOISE_M)
    offs = (abs(wrap_deg(bearing_between(*ends) - bearing_between(*side))) for ends in long_sides)
    return str(any(min(off, 180.0 - off) <= ALONG_DEG + FLOAT_NOISE_DEG for off in offs)).lower()


@measure(
    "edge-distance",
    title="distance to the ring's edge",
    unit="m",
    about="How near the ground of an obstacle that stands inside the ring comes to the ring's edge or to a wall.",
    metrics=EDGE_METRICS,
    facets=("kind", "parallel"),
)
def _edge_distance(scene: Scene, ask: Ask) -> Iterator[Value]:
    edge = scene.edge(ask.metric)
    if edge.sides:
        keys = [(key, edge) for key in scene.shape_keys]
        yield from known_values(scene, "edge-distance", keys, lambda missing: _distances_to(scene, edge, missing))


def _distances_to(scene: Scene, edge: Rim, which: Sequence[int]) -> Iterator[Value | None]:
    """How near some obstacles come to sides of the ring; what reaches out of it is said once, by beyond-ring."""
    names, grounds = list(scene.shapes), scene.grounds[which]
    reaches = _reaches(scene, which)
    near = nearest_ends(grounds, edge.lines)
    on_edge = np.asarray(points(np.array([end for _, end in near])))
    nearest_side = distance(edge.each[None, :], on_edge[:, None]).argmin(axis=1).tolist()
    measured = distance(grounds, edge.lines).tolist()
    for i, (reach, _), free, ends, side in zip(which, reaches, measured, near, nearest_side, strict=True):
        value = Value(
            measured=free,
            obstacles=(names[i],),
            passes=scene.numbers(names[i]),
            witness=Witness("segment", ends),
            facets=({**_obstacle_facets(scene, names[i]), "parallel": _parallel(scene, names[i], edge.sides[side])},),
            spread=ONE_POINT,
        )
        yield None if reach else value


@measure(
    "beyond-ring",
    title="reach over the ring's edge",
    unit="m",
    about="How far the ground that an obstacle covers reaches out of the ring; 0 where it stands inside.",
    metrics={"ground": "from the ring's edge to the farthest place of it outside"},
    facets=KIND,
)
def _beyond_ring(scene: Scene, _ask: Ask) -> Iterator[Value]:
    names = list(scene.shapes)

    def taken(missing: list[int]) -> Iterator[Value]:
        for i, (reach, worst) in zip(missing, _reaches(scene, missing), strict=True):
            yield Value(
                measured=reach,
                obstacles=(names[i],),
                passes=scene.numbers(names[i]),
                witness=Witness("point", (worst,)),
                facets=(_obstacle_facets(scene, names[i]),),
                spread=ONE_POINT if reach else 0.0,
            )

    edge = scene.edge("ring")
    keys = [(key, edge) for key in scene.shape_keys]
    yield from known_values(scene, "beyond-ring", keys, taken)


def _reaches(scene: Scene, which: Sequence[int]) -> list[tuple[float, Point]]:
    """How far some obstacles reach out of the ring, and where; 0, and their centres, of those that stand inside."""
    shapes = list(scene.shapes.values())
    inside = covers(scene.ring, scene.grounds[which]).tolist()
    reaches = [
        (0.0, shapes[i].centre) if within else _reach_out(scene, shapes[i])
        for i, within in zip(which, inside, strict=True)
    ]
    return [(reach, worst) if reach > FLOAT_NOISE_M else (0.0, worst) for reach, worst in reaches]


def _reach_out(scene: Scene, shape: Shape) -> tuple[float, Point]:
    outside = shape.footprint.difference(scene.ring)
    outlines = [get_coordinates(rim).tolist() for rim in get_rings(get_parts(outside))]
    edges = [edge for outline in outlines for edge in itertools.pairwise((x, y) for x, y in outline)]
    return farthest_from(scene.ring, edges) if edges else (0.0, shape.centre)


def _leg_clearance(scene: Scene, before: Pass, after: Pass, near: Near, spread: float) -> Value:
    problem = scene.line.legs[before.number - 1].problem
    return Value(
        measured=None if problem else near[0],
        passes=(before.number, after.number),
        obstacles=(before.obstacle, after.obstacle),
        witness=Witness("segment", near[1:]),
        facets=(leg_facets(scene, before, after),),
        spread=spread,
        why_not=problem or "",
    )


@measure(
    "line-edge",
    title="distance of the line to the ring's edge",
    unit="m",
    about="How near the dog's line comes to the ring's edge or to a wall between two obstacles.",
    metrics=EDGE_METRICS,
    facets=LEG,
)
def _line_edge(scene: Scene, ask: Ask) -> Iterator[Value]:
    edge = scene.edge(ask.metric)
    if not edge.sides:
        return
    between = list(legs(scene))

    def taken(missing: list[int]) -> Iterator[Value | None]:
        run = [i for i in missing if scene.tracks.legs[i]]
        near = dict(zip(run, nearest(scene.tracks, [(i, edge) for i in run]), strict=True))
        for i in missing:
            yield _leg_clearance(scene, *between[i], near[i], ONE_POINT) if i in near else None

    keys = [(leg, edge) for leg in scene.leg_keys]
    yield from known_values(scene, "line-edge", keys, taken)


@measure(
    "line-solid",
    title="distance of the line to what stands beside it",
    unit="m",
    about="How near the dog's line comes to solid parts of other obstacles and to blocked places between two passes.",
    metrics={"line": "to the nearest solid part of an obstacle that is neither just left nor next, or blocked place"},
    facets=LEG,
)
def _line_solid(scene: Scene, _ask: Ask) -> Iterator[Value]:
    between, solids = list(legs(scene)), scene.solids
    if not (between and solids):
        return
    foreign = scene.foreign([(before.obstacle, after.obstacle) for before, after in between])
    beside = solids_beside(scene.tracks, scene.leg_keys, solids, scene.solid_boxes, foreign)

    def taken(missing: list[int]) -> Iterator[Value | None]:
        near = [sorted(itertools.compress(solids, beside[i]), key=lambda solid: solid.name) for i in missing]
        found = nearest_parts(scene.tracks, list(zip(missing, near, strict=True)))
        for i, closest in zip(missing, found, strict=True):
            yield _beside_value(scene, *between[i], *closest) if closest else None

    keys = [(leg, *itertools.compress(solids, row)) for leg, row in zip(scene.leg_keys, beside.tolist(), strict=True)]
    yield from known_values(scene, "line-solid", keys, taken)


def _beside_value(scene: Scene, before: Pass, after: Pass, near: Near, solid: Solid) -> Value:
    value = _leg_clearance(scene, before, after, near, TWO_POINTS)
    met = (solid.name,) if solid.obstacle else ()
    return value._replace(obstacles=(*value.obstacles, *met), note=say("beside {name}", name=solid.name))


@measure(
    "start-room",
    title="room before the first obstacle",
    unit="m",
    about="The free ground straight before the first obstacle, where the dog is set up.",
    metrics=EDGE_METRICS,
    facets=("kind", "to", "pass", "reverse"),
    never={"pass": ("last",)},
)
def _start_room(scene: Scene, ask: Ask) -> Iterator[Value]:
    if scene.passes:
        first = scene.passes[0]
        entry = scene.way(first).entry
        back = Portal(entry.centre, entry.half_width_m, entry.frame.turned().bearing_deg, entry.cone_deg)
        yield from _room(scene, ask, first, back)


@measure(
    "finish-room",
    title="room after the last obstacle",
    unit="m",
    about="The free ground straight ahead of the last obstacle, where the dog comes to a stop.",
    metrics=EDGE_METRICS,
    facets=("kind", "from", "pass", "reverse"),
)
def _finish_room(scene: Scene, ask: Ask) -> Iterator[Value]:
    if scene.passes:
        last = scene.passes[-1]
        yield from _room(scene, ask, last, scene.way(last).exit)


def _room(scene: Scene, ask: Ask, run: Pass, portal: Portal) -> Iterator[Value]:
    free = room_ahead(scene, portal, ask.metric, own=run.obstacle)
    if free is not None:
        yield Value(
            measured=free,
            passes=(run.number,),
            obstacles=(run.obstacle,),
            witness=Witness("segment", (portal.centre, portal.frame.place(free, 0.0))),
            facets=(pass_facets(scene, run),),
            spread=room_spread(scene, (portal, run.obstacle), ask.metric, free),
        )

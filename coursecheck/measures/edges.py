"""The ring's edge and everything solid: how near obstacles and the line come to them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from shapely import MultiLineString, covers, distance, get_parts, intersects_xy, points
from shapely import Point as ShapelyPoint

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal, Shape
from coursecheck.geometry.distances import nearest_ends
from coursecheck.geometry.frames import Point, wrap_deg
from coursecheck.language import say
from coursecheck.measures.approaches import room_ahead
from coursecheck.measures.legs import TWO_POINTS, bearing_between
from coursecheck.measures.model import Ask, Facets, Value, Witness
from coursecheck.measures.nearest import Near, nearest, nearest_parts
from coursecheck.measures.registry import KIND, LEG, leg_facets, legs, measure, pass_facets
from coursecheck.measures.scene import Scene

ALONG_DEG = 20.0  # as good as parallel to a side; common practice, no source
ONE_POINT = 1.0  # a set-out point against the ring's edge, which stands where it stands
EDGE_METRICS = {
    "ring": "to the ring's edge",
    "wall": "to the sides of the ring that are walls; no value without walls",
}


def _sides(scene: Scene, metric: str) -> Sequence[tuple[Point, Point]]:
    return scene.walls() if metric == "wall" else scene.sides


def _obstacle_facets(scene: Scene, name: str) -> Facets:
    return {"kind": scene.shapes[name].kind.name}


def _parallel(scene: Scene, name: str, side: tuple[Point, Point]) -> str:
    """Whether an obstacle's long side lies along a side of the ring, give or take 20 degrees."""
    box = scene.boxes[name]
    long_side = max((box[0], box[1]), (box[1], box[2]), key=lambda ends: math.dist(*ends))
    off = abs(wrap_deg(bearing_between(*long_side) - bearing_between(*side)))
    return str(min(off, 180.0 - off) <= ALONG_DEG).lower()


@measure(
    "edge-distance",
    title="distance to the ring's edge",
    unit="m",
    about="How near the ground of an obstacle that stands inside the ring comes to the ring's edge or to a wall.",
    metrics=EDGE_METRICS,
    facets=("kind", "parallel"),
)
def _edge_distance(scene: Scene, ask: Ask) -> Iterator[Value]:
    sides = _sides(scene, ask.metric)
    if not sides:
        return
    edge = MultiLineString(sides)
    # what reaches out of the ring is said once, by beyond-ring
    inside = [name for name, within in zip(scene.shapes, covers(scene.ring, scene.grounds), strict=True) if within]
    grounds = np.array([scene.shapes[name].footprint for name in inside], dtype=object)
    near = nearest_ends(grounds, edge)
    on_edge = np.asarray(points(np.array([end for _, end in near]).reshape(-1, 2)))
    nearest_side = distance(get_parts(edge)[None, :], on_edge[:, None]).argmin(axis=1).tolist()
    measured = distance(grounds, edge).tolist()
    for name, free, ends, side in zip(inside, measured, near, nearest_side, strict=True):
        along = _parallel(scene, name, sides[side])
        yield Value(
            measured=free,
            obstacles=(name,),
            passes=scene.numbers(name),
            witness=Witness("segment", ends),
            facets=({**_obstacle_facets(scene, name), "parallel": along},),
            spread=ONE_POINT,
        )


@measure(
    "beyond-ring",
    title="reach over the ring's edge",
    unit="m",
    about="How far the ground that an obstacle covers reaches out of the ring; 0 where it stands inside.",
    metrics={"ground": "from the ring's edge to the farthest corner outside"},
    facets=KIND,
)
def _beyond_ring(scene: Scene, _ask: Ask) -> Iterator[Value]:
    inside = covers(scene.ring, scene.grounds) if scene.shapes else ()
    for (name, shape), within in zip(scene.shapes.items(), inside, strict=True):
        reach, worst = (0.0, shape.centre) if within else _reach_out(scene, shape)
        yield Value(
            measured=reach,
            obstacles=(name,),
            passes=scene.numbers(name),
            witness=Witness("point", (worst,)),
            facets=(_obstacle_facets(scene, name),),
            spread=ONE_POINT if reach else 0.0,
        )


def _reach_out(scene: Scene, shape: Shape) -> tuple[float, Point]:
    """How far the farthest corner of an obstacle lies out of the ring, and that corner."""
    corners = [(x, y) for x, y in shape.footprint.exterior.coords if not intersects_xy(scene.ring, x, y)]
    return max(
        ((scene.ring.distance(ShapelyPoint(corner)), corner) for corner in corners), default=(0.0, shape.centre)
    )


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
    sides = _sides(scene, ask.metric)
    run = [leg for leg in legs(scene) if scene.tracks.legs[leg[0].number - 1]]
    if sides and run:
        edge = MultiLineString(sides)
        found = nearest(scene.tracks, [(before.number - 1, edge) for before, _ in run])
        for (before, after), near in zip(run, found, strict=True):
            yield _leg_clearance(scene, before, after, near, ONE_POINT)


@measure(
    "line-solid",
    title="distance of the line to what stands beside it",
    unit="m",
    about="How near the dog's line comes to solid parts of other obstacles and to blocked places between two passes.",
    metrics={"line": "to the nearest solid part of an obstacle that is neither just left nor next, or blocked place"},
    facets=LEG,
)
def _line_solid(scene: Scene, _ask: Ask) -> Iterator[Value]:
    named = sorted(scene.solids, key=lambda owned: owned[0])
    names = np.array([name for name, _ in named])
    counted = np.array([(names != before.obstacle) & (names != after.obstacle) for before, after in legs(scene)])
    found = nearest_parts(scene.tracks, [part for _, part in named], counted) if counted.size else ()
    for (before, after), closest in zip(legs(scene), found, strict=False):
        if closest is not None:
            near, name = closest[0], named[closest[1]][0]
            value = _leg_clearance(scene, before, after, near, TWO_POINTS)
            met = (name,) if name in scene.shapes else ()
            yield value._replace(obstacles=(*value.obstacles, *met), note=say("beside {name}", name=name))


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
            spread=ONE_POINT,
        )

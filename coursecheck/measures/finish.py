"""Start and finish against each other and the ring's exit; what lies ahead of directions that nobody takes."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from coursecheck.equipment import KINDS
from coursecheck.equipment.shape import Portal, Shape
from coursecheck.geometry.crossings import TOUCH_M
from coursecheck.geometry.distances import nearest_ends
from coursecheck.language import say
from coursecheck.measures.approaches import room_spread, rooms_ahead
from coursecheck.measures.legs import TWO_POINTS, apart
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import PAIR, known_values, measure, pass_facets
from coursecheck.measures.scene import Scene

GAP_REACH_M = 3.0  # farther apart than this a tunnel does not stand beside a contact; common practice, no source

NO_CONTACTS = tuple(kind.name for kind in KINDS.values() if kind.family != "contact")
NO_TUNNELS = tuple(kind.name for kind in KINDS.values() if kind.family != "tunnel")


@measure(
    "start-finish",
    title="distance between the first and the last obstacle",
    unit="m",
    about="How far the start and the finish are apart, so that one dog does not meet the next.",
    metrics={
        "centres": "straight, between the centres of the first and the last obstacle",
        "edges": "straight, between the nearest points of the ground that the two cover",
    },
    facets=PAIR,
)
def _start_finish(scene: Scene, ask: Ask) -> Iterator[Value]:
    if len(scene.passes) < 2:
        return
    first, last = scene.passes[0], scene.passes[-1]
    ends = (scene.shape(first).centre, scene.shape(last).centre)
    if ask.metric == "edges":
        (ends,) = nearest_ends([scene.shape(first).footprint], [scene.shape(last).footprint])
    yield Value(
        measured=math.dist(*ends),
        passes=(first.number, last.number),
        obstacles=(first.obstacle, last.obstacle),
        witness=Witness("segment", ends),
        facets=({"from": scene.shape(first).kind.name, "to": scene.shape(last).kind.name},),
        spread=apart(first, last, TWO_POINTS),
    )


@measure(
    "same-obstacle",
    title="first and last obstacle the same one",
    unit="count",
    about="Whether the course begins and ends on the same obstacle.",
    metrics={"pass": "1 where the first and the last number name the same obstacle, else 0"},
    by_height=False,
)
def _same_obstacle(scene: Scene, _ask: Ask) -> Iterator[Value]:
    if scene.passes:
        first, last = scene.passes[0], scene.passes[-1]
        yield Value(
            float(first.obstacle == last.obstacle), (first.number, last.number), (first.obstacle, last.obstacle)
        )


@measure(
    "gate-distance",
    title="distance from the last obstacle to the exit",
    unit="m",
    about="How far it is from the last obstacle to the way out of the ring.",
    metrics={"last": "straight, from the exit of the last obstacle to the middle of the ring's exit"},
    facets=("kind", "from", "pass", "reverse"),
)
def _gate_distance(scene: Scene, _ask: Ask) -> Iterator[Value]:
    gate = scene.course.ring.exit
    if gate is None or not scene.passes:
        return
    last = scene.passes[-1]
    middle = ((gate[0][0] + gate[1][0]) / 2, (gate[0][1] + gate[1][1]) / 2)
    ends = (scene.way(last).exit.centre, middle)
    yield Value(
        measured=math.dist(*ends),
        passes=(last.number,),
        obstacles=(last.obstacle,),
        witness=Witness("segment", ends),
        facets=(pass_facets(scene, last),),
        spread=1.0,
    )


@measure(
    "off-course-run-out",
    title="free run-out where no number leads",
    unit="m",
    about="The free ground straight ahead of an obstacle in each direction that the sequence does not take it.",
    metrics={
        "ring": "from the exit straight on to the ring's edge",
        "wall": "from the exit straight on to a side of the ring that is a wall; no value where there is none ahead",
        "solid": "from the exit straight on, in a strip 0.6 m wide, to the next solid part, blocked place or edge",
    },
    facets=("kind", "reverse"),
)
def _off_course_run_out(scene: Scene, ask: Ask) -> Iterator[Value]:
    taken = {(run.obstacle, run.reverse) for run in scene.passes}
    free = [(name, reverse) for name in scene.shapes for reverse in (False, True) if (name, reverse) not in taken]
    ways = [(scene.shapes[name].way(reverse=reverse).exit, name) for name, reverse in free]
    for (name, reverse), way, room in zip(free, ways, rooms_ahead(scene, ways, ask.metric), strict=True):
        if room is not None:
            value = _ahead(scene, name, way[0], room, reverse=reverse)
            yield value._replace(spread=room_spread(scene, way, ask.metric, room))


def _ahead(scene: Scene, name: str, portal: Portal, free_m: float, *, reverse: bool) -> Value:
    return Value(
        measured=free_m,
        obstacles=(name,),
        passes=scene.numbers(name),
        witness=Witness("segment", (portal.centre, portal.frame.place(free_m, 0.0))),
        facets=({"kind": scene.shapes[name].kind.name, "reverse": str(reverse).lower()},),
        note=say("against its bearing") if reverse else say("along its bearing"),
    )


@measure(
    "contact-gap",
    title="gap between a tunnel and a contact obstacle",
    unit="m",
    about="The gap between a tunnel and a contact obstacle that it stands beside.",
    metrics={"edges": "between the nearest edges of the two; no value under it, nor where they are over 3 m apart"},
    facets=("kind", *PAIR),
    never={"kind": NO_CONTACTS, "from": NO_TUNNELS, "to": NO_CONTACTS},
)
def _contact_gap(scene: Scene, _ask: Ask) -> Iterator[Value]:
    tunnels = [shape for shape in scene.shapes.values() if shape.kind.family == "tunnel"]
    contacts = [shape for shape in scene.shapes.values() if shape.kind.family == "contact"]
    pairs = list(itertools.product(tunnels, contacts))
    yield from known_values(scene, "contact-gap", pairs, lambda missing: (_gap_value(*pairs[i]) for i in missing))


def _gap_value(tunnel: Shape, contact: Shape) -> Value | None:
    gap = tunnel.footprint.distance(contact.footprint)
    under = gap <= TOUCH_M and tunnel.footprint.intersection(contact.footprint).area > TOUCH_M
    if under or gap > GAP_REACH_M:
        return None
    (ends,) = nearest_ends([tunnel.footprint], [contact.footprint])
    return Value(
        measured=gap,
        obstacles=(tunnel.obstacle.id, contact.obstacle.id),
        witness=Witness("segment", ends),
        facets=({"kind": contact.kind.name, "from": tunnel.kind.name, "to": contact.kind.name},),
        spread=TWO_POINTS,
    )

"""The start: room to set the dog up, what it faces there, and a first jump that is turned round at once."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Point as ShapelyPoint

from coursecheck.equipment.shape import Portal
from coursecheck.geometry.distances import ray_to_straights
from coursecheck.geometry.frames import Point, heading_rad
from coursecheck.geometry.segments import Pose
from coursecheck.language import say
from coursecheck.measures.approaches import room_ahead
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.legs import Leg
from coursecheck.walk.looks import opening_off_deg
from coursecheck.walk.names import name_of, side_name, turned_words
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["Facing", "facing_at_start", "start"]


@dataclass(frozen=True, slots=True)
class Facing:
    """What a dog looks at that is set up behind the first obstacle.

    Attributes:
        side: the side of the ring straight over the obstacle, in words.
        what: "wall" or "open", as the side is; "entrance" or "exit" where that gate lies ahead.
        distance_m: from the obstacle to the side, or to the middle of the gate.
        point: there.
    """

    side: str
    what: str
    distance_m: float
    point: Point


def start(scene: Scene, legs: tuple[Leg, ...], figures: Figures) -> Iterator[Remark]:
    """The remarks on the start."""
    if not scene.passes:
        return
    found = [_setting_up(scene, figures), _facing_out(scene, figures), _wrapped_start(scene, legs, figures)]
    yield from filter(None, found)


def _setting_up(scene: Scene, figures: Figures) -> Remark | None:
    first = scene.passes[0]
    entry = scene.way(first).entry
    back = Portal(entry.centre, entry.half_width_m, entry.frame.turned().bearing_deg, entry.cone_deg)
    free = room_ahead(scene, back, "solid", own=first.obstacle)
    if free is None or scene.way(first).form == "stop":
        return None
    return remark(
        "setting-up",
        [Condition(free, "at-most", "setting-up")],
        figures,
        passes=(first.number,),
        obstacles=(first.obstacle,),
        facts=(Fact("room behind", free, "m"),),
        witness=Witness("segment", (back.centre, back.frame.place(free, 0.0))),
        sentence=say(
            "Only {free:.1f} m straight behind {name} to set the dog up.", free=free, name=name_of(scene, first)
        ),
        weight=max(0.0, 1.0 - free / 6.0),
    )


def facing_at_start(scene: Scene, figures: Figures) -> Facing | None:
    """What the dog faces when it is set up: a gate near the straight on, or else the side of the ring there.

    Args:
        scene: the plan.
        figures: the figures of the model.

    Returns:
        None where there is no sequence, or the first obstacle stands outside the ring.
    """
    if not scene.passes:
        return None
    entry, ring = scene.way(scene.passes[0]).entry, scene.course.ring
    if not scene.ring.covers(ShapelyPoint(entry.centre)):
        return None
    hits = [
        (free, i)
        for i, side in enumerate(ring.sides())
        if (free := ray_to_straights(entry.centre, entry.bearing_deg, [side])) is not None
    ]
    free, index = min(hits)
    look, side = Pose(*entry.centre, heading_rad(entry.bearing_deg)), side_name(ring, index)
    for name, ends in (("entrance", ring.entrance), ("exit", ring.exit)):
        if ends is not None:
            gate = _opening(*ends)
            if opening_off_deg(look, gate) <= figures["start-look"]:
                return Facing(side, name, math.dist(entry.centre, gate.centre), gate.centre)
    return Facing(side, "wall" if index in ring.solid else "open", free, look.ahead(free).point)


def _opening(one: Point, other: Point) -> Portal:
    """A gate between two posts."""
    (ax, ay), (bx, by) = one, other
    return Portal(((ax + bx) / 2, (ay + by) / 2), math.dist(one, other) / 2, bearing_between(one, other) - 90.0, 90.0)


def _facing_out(scene: Scene, figures: Figures) -> Remark | None:
    """Beyond an open side or a gate other rings and other dogs may be: a caution, common practice, no source."""
    facing = facing_at_start(scene, figures)
    if facing is None or facing.what == "wall":
        return None
    first = scene.passes[0]
    if facing.what == "open":
        there = say("the open {side}", side=facing.side)
    else:
        there = say("the entrance") if facing.what == "entrance" else say("the exit")
    return remark(
        "start-facing-out",
        [Condition(facing.distance_m, "at-most", "start-open")],
        figures,
        passes=(first.number,),
        obstacles=(first.obstacle,),
        facts=(Fact("distance", facing.distance_m, "m"),),
        witness=Witness("segment", (scene.way(first).entry.centre, facing.point)),
        sentence=say(
            "The start faces out of the ring: set up behind {name} the dog looks at {what}, {distance:.1f} m ahead, "
            "and at what goes on beyond it.",
            name=name_of(scene, first),
            what=there,
            distance=facing.distance_m,
        ),
        weight=0.3,
    )


def _wrapped_start(scene: Scene, legs: tuple[Leg, ...], figures: Figures) -> Remark | None:
    """The first jump is turned round at once: it saves room before it, and costs length."""
    if not legs or legs[0].problem is not None or scene.way(scene.passes[0]).form != "flight":
        return None
    leg = legs[0]
    cost = leg.length_m - math.dist(scene.way(leg.before).exit.centre, leg.entry.centre)
    return remark(
        "wrapped-start",
        [Condition(abs(leg.off_deg), "at-least", "wrap")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("turn", leg.off_deg, "deg"), Fact("longer than straight", cost, "m")),
        witness=Witness("path", scene.track(leg.before)),
        sentence=say(
            "The start is wrapped: {last} lies back, {turn} of the way over {first}. The dog is set up on ground "
            "that the course runs over anyway, which saves space; the line is {cost:.1f} m longer than the straight "
            "between the two.",
            last=name_of(scene, leg.after),
            turn=turned_words(leg.off_deg),
            first=name_of(scene, leg.before),
            cost=cost,
        ),
        weight=0.5,
    )

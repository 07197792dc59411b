"""Edges: the finish, and walls and blocked places near the line."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import LineString, MultiLineString
from shapely import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from coursecheck.geometry.distances import ray_to_straights
from coursecheck.geometry.frames import Point, bearing_deg, wrap_deg
from coursecheck.language import say
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.legs import Leg
from coursecheck.walk.names import name_of, place_name
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["edges"]

AWRY_DEG = (15.0, 75.0)  # between along a wall and head-on against it; assumption


def edges(scene: Scene, legs: tuple[Leg, ...], speed_home_mps: float | None, figures: Figures) -> Iterator[Remark]:
    """The remarks on the finish, walls and blocked places.

    Args:
        scene: the plan.
        legs: its legs.
        speed_home_mps: how fast the dog comes home; None where that is not known.
        figures: the figures of the model.
    """
    for i, leg in enumerate(legs):
        yield from _near(scene, leg, figures)
        yield from filter(None, [_carrying_on(scene, leg, legs[i - 1] if i else leg, figures)])
    if legs:
        yield from filter(None, [_bent_home(scene, legs[-1], figures)])
    if speed_home_mps is not None and scene.pace is not None:
        yield from filter(None, [_stopping(scene, speed_home_mps, scene.pace.brake_mps2, figures)])


def _near(scene: Scene, leg: Leg, figures: Figures) -> Iterator[Remark]:
    """Where a leg comes near to a wall or a blocked place."""
    track = LineString(scene.track(leg.before))
    things: list[tuple[str, str, BaseGeometry]] = [
        ("near-blocked", place_name(name), ground) for name, ground in scene.blocked.items()
    ]
    if scene.walls():
        things.append(("near-wall", say("the wall"), MultiLineString(scene.walls())))
    for kind, name, ground in things:
        near = nearest_points(track, ground)
        yield from filter(None, [_beside(scene, leg, kind, name, near, figures)])


def _beside(
    scene: Scene, leg: Leg, kind: str, name: str, near: tuple[ShapelyPoint, ShapelyPoint], figures: Figures
) -> Remark | None:
    distance = near[0].distance(near[1])
    return remark(
        kind,
        [Condition(distance, "at-most", "near-wall")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("distance", distance, "m"),),
        witness=Witness("segment", ((near[0].x, near[0].y), (near[1].x, near[1].y))),
        sentence=say(
            "From {first} to {last} the line comes within {distance:.1f} m of {what}.",
            first=name_of(scene, leg.before),
            last=name_of(scene, leg.after),
            distance=distance,
            what=name,
        ),
        weight=max(0.0, 1.0 - distance / 2.0),
    )


def _carrying_on(scene: Scene, leg: Leg, came: Leg, figures: Figures) -> Remark | None:
    """A wall before a dog that carries straight on, at the speed it came by: v^2 / 2b is what it needs to stop."""
    if leg.motion is None or came.motion is None or scene.pace is None or scene.way(leg.before).form == "stop":
        return None
    ahead = _wall_ahead(scene, leg.carry.point, bearing_deg(leg.carry.heading))
    flies = came is not leg and scene.way(leg.before).form == "flight"
    speed = came.motion.fastest_mps if flies else leg.motion.leaves_mps
    if ahead is None or speed <= 0.0:
        return None
    free, needs = ahead[0], speed**2 / (2.0 * scene.pace.brake_mps2)
    return remark(
        "wall-ahead",
        [Condition(free / needs, "at-most", "stopping-room")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("room", free, "m"), Fact("stopping distance", needs, "m"), Fact("speed", speed, "m/s")),
        witness=Witness("segment", (leg.carry.point, leg.carry.ahead(free).point)),
        sentence=say(
            "Straight on from {name} a wall stands {free:.1f} m ahead: a dog at {speed:.1f} m/s that is not turned "
            "in time needs {needs:.1f} m to stop.",
            name=name_of(scene, leg.before),
            free=free,
            speed=speed,
            needs=needs,
        ),
        weight=0.9,
    )


def _bent_home(scene: Scene, leg: Leg, figures: Figures) -> Remark | None:
    """The way home is no straight run over the last obstacles."""
    bend = leg.left_deg + leg.right_deg
    if leg.problem is not None:
        return None
    return remark(
        "bent-home",
        [Condition(bend, "at-least", "home-turn")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("turn", bend, "deg"),),
        witness=Witness("path", scene.track(leg.before)),
        sentence=say(
            "The way home is not straight: the line bends by {bend:.0f}° before {name}.",
            bend=bend,
            name=name_of(scene, leg.after),
        ),
        weight=0.3,
    )


def _stopping(scene: Scene, speed_mps: float, brake_mps2: float, figures: Figures) -> Remark | None:
    """A wall or a barrier before a dog that brakes from the last landing on: v^2 / 2b is what it needs."""
    last = scene.passes[-1]
    exit_pose, leave = scene.line.passes[-1].exit, scene.way(last).exit
    if scene.way(last).form == "stop":
        return None
    heading = bearing_deg(exit_pose.heading)
    ahead = _wall_ahead(scene, exit_pose.point, heading)
    if ahead is None:
        return None
    free, wall = ahead
    needs = speed_mps**2 / (2.0 * brake_mps2)
    meets = abs(wrap_deg(bearing_between(*wall) - heading))
    meets = min(meets, 180.0 - meets)
    slanting = AWRY_DEG[0] <= meets <= AWRY_DEG[1]
    end = scene.line.passes[-1].exit.ahead(free).point
    return remark(
        "finish-at-a-wall",
        [Condition(free / needs if needs > 0.0 else math.inf, "at-most", "stopping-room")],
        figures,
        passes=(last.number,),
        obstacles=(last.obstacle,),
        facts=(
            Fact("room", free, "m"),
            Fact("stopping distance", needs, "m"),
            Fact("speed", speed_mps, "m/s"),
            Fact("angle to the wall", meets, "deg"),
        ),
        witness=Witness("segment", (leave.centre, end)),
        sentence=say(
            "The finish runs at a slant into a wall: {free:.1f} m of room after {name}, and a dog at {speed:.1f} m/s "
            "needs {needs:.1f} m to stop."
            if slanting
            else "The finish runs into a wall: {free:.1f} m of room after {name}, and a dog at {speed:.1f} m/s needs "
            "{needs:.1f} m to stop.",
            free=free,
            name=name_of(scene, last),
            speed=speed_mps,
            needs=needs,
        ),
        weight=1.0,
    )


def _wall_ahead(scene: Scene, start: Point, bearing: float) -> tuple[float, tuple[Point, Point]] | None:
    """The first wall straight ahead and how far it is."""
    hits = [(free, wall) for wall in scene.walls() if (free := ray_to_straights(start, bearing, [wall])) is not None]
    return min(hits, default=None)

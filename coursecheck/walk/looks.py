"""Looking across the ground: whether an opening lies ahead, whether the way to it is free, and what hides it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Set

from shapely import LineString
from shapely import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from coursecheck.equipment.shape import Portal
from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Pose
from coursecheck.measures.scene import Scene
from coursecheck.walk.legs import off_straight_deg
from coursecheck.walk.names import obstacle_name, place_name

__all__ = ["HIDES", "free_look", "hidden_by", "opening_off_deg"]

HIDES = ("tunnel", "a-frame", "wall", "table")  # what a dog cannot look over or through; assumption
SHORT_M = 0.05  # a look at an opening ends this far before it, so that it does not touch what it is part of


def opening_off_deg(start: Pose, opening: Portal) -> float:
    """How far off the straight on the nearest part of an opening lies, in degrees; 0: going straight meets it."""
    left, right = (off_straight_deg(start, end) for end in opening.ends)
    if left * right <= 0.0 and abs(left) + abs(right) < 180.0:
        return 0.0
    return min(abs(left), abs(right))


def free_look(scene: Scene, start: Point, end: Point, but: Set[str]) -> bool:
    """Whether the straight from a place to shortly before another meets no obstacle and no blocked place.

    Args:
        scene: the plan.
        start: the one place.
        end: the other.
        but: the ids of obstacles that do not count.
    """
    look = _look(start, end)
    if look is None:
        return True
    if not scene.ring.covers(look):
        return False
    grounds = [shape.footprint for name, shape in scene.shapes.items() if name not in but]
    return not any(_meets(look, ground) for ground in (*grounds, *scene.blocked.values()))


def hidden_by(scene: Scene, start: Point, end: Point, but: Set[str]) -> str:
    """The first solid thing that stands in the way of a look, in words; nothing where none does.

    Args:
        scene: the plan.
        start: the one place.
        end: the other.
        but: the ids of obstacles that do not count.
    """
    look = _look(start, end)
    if look is None:
        return ""
    at = ShapelyPoint(start)
    met = [(ground.distance(at), name) for name, ground in _solid(scene, but) if _meets(look, ground)]
    return min(met, default=(0.0, ""))[1]


def _solid(scene: Scene, but: Set[str]) -> Iterator[tuple[str, BaseGeometry]]:
    """What can be looked neither over nor through, with its name in words."""
    for name, shape in scene.shapes.items():
        if shape.kind.name in HIDES and name not in but:
            yield obstacle_name(scene, name), shape.footprint
    for name, ground in scene.blocked.items():
        yield place_name(name), ground


def _look(start: Point, end: Point) -> LineString | None:
    """The straight from a place to shortly before another; None where the two are as good as one."""
    length = math.dist(start, end)
    if length <= SHORT_M:
        return None
    share = 1.0 - SHORT_M / length
    return LineString([start, (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))])


def _meets(look: LineString, ground: BaseGeometry) -> bool:
    return bool(look.crosses(ground) or look.within(ground))

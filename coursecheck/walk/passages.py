"""Passages: where two things that stand near each other leave room between them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, MultiPolygon
from shapely import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.distances import nearest_ends
from coursecheck.geometry.frames import Point
from coursecheck.language import say
from coursecheck.measures.scene import Scene
from coursecheck.measures.tracks import geometries
from coursecheck.walk.names import obstacle_name, place_name, side_name

__all__ = ["Passage", "passages_between_grounds", "passages_between_solids"]

NOISE_M = 1e-6


@dataclass(frozen=True, slots=True)
class Passage:
    """The narrowest place between two things.

    Attributes:
        one, other: the two in words.
        ends: a point of each, as near to each other as can be.
        obstacles: the ids of those of the two that are obstacles.
    """

    one: str
    other: str
    ends: tuple[Point, Point]
    obstacles: tuple[str, ...]

    @property
    def width_m(self) -> float:
        """From one to the other."""
        return math.dist(*self.ends)

    @property
    def middle(self) -> Point:
        """Halfway between."""
        (ax, ay), (bx, by) = self.ends
        return (ax + bx) / 2, (ay + by) / 2

    @property
    def line(self) -> LineString:
        """From one to the other."""
        return LineString(self.ends)


def passages_between_solids(scene: Scene, reach_m: float) -> tuple[Passage, ...]:
    """Passages for a dog, which may run over bars: between solid parts, blocked places and walls.

    Args:
        scene: the plan.
        reach_m: how wide a passage may be at most.
    """
    solids = {name: MultiPolygon(shape.solids) for name, shape in scene.shapes.items()}
    return tuple(_passages(scene, solids, reach_m))


def passages_between_grounds(scene: Scene, reach_m: float) -> tuple[Passage, ...]:
    """Passages for a person, who goes over no obstacle: between whole obstacles, blocked places and walls.

    Args:
        scene: the plan.
        reach_m: how wide a passage may be at most.
    """
    return tuple(_passages(scene, {name: shape.footprint for name, shape in scene.shapes.items()}, reach_m))


def _passages(scene: Scene, obstacles: Mapping[str, BaseGeometry], reach_m: float) -> Iterator[Passage]:
    """Between any two things that nothing stands between."""
    ring = scene.course.ring
    ids = {obstacle_name(scene, name): name for name in obstacles}
    things: dict[str, BaseGeometry] = {words: obstacles[name] for words, name in ids.items()}
    things |= {place_name(name): ground for name, ground in scene.blocked.items()}
    things |= {
        say("the wall on the {side}", side=side_name(ring, i)): LineString(side)
        for i, side in enumerate(ring.sides())
        if i in ring.solid
    }
    grounds: dict[str, BaseGeometry] = {obstacle_name(scene, name): s.footprint for name, s in scene.shapes.items()}
    names, bodies = list(things), geometries(things.values())
    between = geometries(grounds.get(name, thing) for name, thing in things.items())
    ones, others = np.triu_indices(len(names), 1)
    beside = shapely.dwithin(bodies[ones], bodies[others], reach_m)
    beside &= ~shapely.intersects(bodies[ones], bodies[others])
    for i, j in zip(ones[beside].tolist(), others[beside].tolist(), strict=True):
        one, other = names[i], names[j]
        its_ids = tuple(ids[words] for words in (one, other) if words in ids)
        found = Passage(one, other, _nearest(bodies[i], bodies[j]), its_ids)
        stands = shapely.intersects(between, found.line)
        stands[[i, j]] = False
        if not stands.any():
            yield found


def _nearest(first: BaseGeometry, second: BaseGeometry) -> tuple[Point, Point]:
    """The two nearest points; those halfway where two sides run alongside each other, so that a twin gets its own."""
    least = first.distance(second) + NOISE_M  # where two straight sides are nearest, a corner of one of them is
    pairs = _from_corners(first, second, least)
    pairs += [(end, corner) for corner, end in _from_corners(second, first, least)]
    once = {tuple(round(c, 6) for end in pair for c in end): pair for pair in pairs}
    (ax, ay), (bx, by) = np.mean(list(once.values()), axis=0).tolist()
    if max(first.distance(ShapelyPoint(ax, ay)), second.distance(ShapelyPoint(bx, by))) > NOISE_M:
        return min(once.values())  # there are several places as narrow as each other
    return (ax, ay), (bx, by)


def _from_corners(thing: BaseGeometry, other: BaseGeometry, reach_m: float) -> list[tuple[Point, Point]]:
    """The corners of a thing that are within reach of another, each with the point of that which is nearest to it."""
    corners = np.asarray(shapely.points(shapely.get_coordinates(thing)))
    near = corners[shapely.distance(corners, other) <= reach_m]
    return nearest_ends(near, other)

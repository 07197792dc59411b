"""Where the judge can stand and see each contact zone and each weave entry.

Everything solid counts as if it were as high as an eye: what is called free here is free on the ground, too.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from coursecheck.equipment.outlines import rectangle
from coursecheck.equipment.shape import Shape
from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import outline
from coursecheck.language import say
from coursecheck.measures.scene import Scene
from coursecheck.measures.tracks import geometries

__all__ = ["KEEP_OFF_M", "SIGHT_M", "Standing", "View", "standing_places", "targets", "views_from"]

# Common practice, no source.
KEEP_OFF_M = 2.0  # from the line of any dog
BESIDE_M = 0.5  # from obstacles and from the ring's edge
SIGHT_M = 15.0  # from where a paw on a contact zone can still be judged
STEP_M = 1.0  # between the places that are tried
ZONE_M = 0.45  # from the end of a plank to the middle of its contact zone


@dataclass(frozen=True, slots=True)
class Target:
    """Something that the judge has to see: what it is, the passes it belongs to, where, and what hides it itself."""

    words: str
    passes: tuple[int, ...]
    point: Point
    obstacle: str
    hidden_by: BaseGeometry | None = None


@dataclass(frozen=True, slots=True)
class View:
    """A target seen from a place: how far away."""

    words: str
    passes: tuple[int, ...]
    point: Point
    distance_m: float


@dataclass(frozen=True, slots=True)
class Standing:
    """A place to stand, and what is seen from there without anything in between."""

    place: Point
    views: tuple[View, ...]


def standing_places(scenes: Mapping[str, Scene]) -> tuple[tuple[Standing, ...], tuple[str, ...]]:
    """As few places as it takes, each as near as it can be to what is seen from it.

    Args:
        scenes: the plan for each height class; a place keeps off the lines of all of them.

    Returns:
        The places in the order in which they are needed, and what is seen from none.
    """
    scene = list(scenes.values())[-1]
    wanted = list(targets(scene))
    spots = _spots(scenes)
    if not wanted or not len(spots):
        return (), tuple(target.words for target in wanted)
    seen = np.array([_seen(scene, target, spots) for target in wanted])
    reach = np.array([np.hypot(*(spots - target.point).T) for target in wanted])
    chosen = _cover(seen, reach)
    owner = {
        i: min((s for s in chosen if seen[i, s]), key=lambda s: reach[i, s], default=None) for i in range(len(wanted))
    }
    places = []
    for spot in chosen:
        mine = [i for i, who in owner.items() if who == spot]
        if mine:
            best = _nearest(seen[mine], reach[mine])
            views = (View(wanted[i].words, wanted[i].passes, wanted[i].point, float(reach[i, best])) for i in mine)
            places.append(Standing((float(spots[best][0]), float(spots[best][1])), tuple(views)))
    unseen = tuple(target.words for i, target in enumerate(wanted) if owner[i] is None)
    return tuple(sorted(places, key=lambda place: min(view.passes for view in place.views))), unseen


def targets(scene: Scene) -> Iterator[Target]:
    """Each contact zone and weave entry that some pass uses, in the order of the course."""
    found: dict[tuple[str, Point], Target] = {}
    for run in scene.passes:
        shape = scene.shape(run)
        for words, target in _of_pass(shape, reverse=run.reverse):
            key = (run.obstacle, target)
            old = found.get(key)
            numbers = (*(old.passes if old else ()), run.number)
            label = say(
                "{numbers} {kind}: {what}",
                numbers=", ".join(map(str, numbers)),
                kind=say(shape.kind.title),
                what=words if old is None else say("contact"),
            )
            hides = _other_half(shape, target) if shape.kind.family == "contact" else None
            found[key] = Target(label, numbers, target, run.obstacle, hides)
    yield from found.values()


def _of_pass(shape: Shape, *, reverse: bool) -> Iterator[tuple[str, Point]]:
    way = shape.way(reverse=reverse)
    if shape.kind.family == "contact":
        yield say("up contact"), way.entry.frame.place(ZONE_M, 0.0)
        yield say("down contact"), way.exit.frame.place(-ZONE_M, 0.0)
    elif shape.kind.family == "weaves" and shape.sizes["poles"] > 1:  # one pole alone has no gap to go in by
        ends = [point for _, point in shape.marks]
        first, second = ends[::-1] if reverse else ends
        half = shape.sizes["spacing"] / 2 / math.dist(first, second)
        yield say("entry"), (first[0] + half * (second[0] - first[0]), first[1] + half * (second[1] - first[1]))


def _other_half(shape: Shape, target: Point) -> BaseGeometry:
    """The half of a plank obstacle beyond its middle, as seen from a zone."""
    along, _ = shape.obstacle.frame.locate(target)
    half_m = max(abs(shape.obstacle.frame.locate(point)[0]) for _, point in shape.marks)
    width = shape.sizes["width"] / 2
    reach = (0.0, half_m) if along < 0 else (-half_m, 0.0)
    return rectangle(shape.obstacle.frame, reach, (-width, width))


def views_from(scene: Scene, place: Point) -> tuple[View, ...]:
    """What is seen from a place, whoever stands there."""
    spot = np.array([place])
    return tuple(
        View(target.words, target.passes, target.point, math.dist(place, target.point))
        for target in targets(scene)
        if _seen(scene, target, spot)[0]
    )


def _spots(scenes: Mapping[str, Scene]) -> np.ndarray:
    """Places that can be tried, as rows of coordinates."""
    scene = next(iter(scenes.values()))
    lines = [shapely.LineString(outline(s.line.segments(), 1e-2)) for s in scenes.values() if s.line.passes]
    grounds = [s.footprint for one in scenes.values() for s in one.shapes.values()]
    taken = [*(line.buffer(KEEP_OFF_M) for line in lines), *(g.buffer(BESIDE_M) for g in dict.fromkeys(grounds))]
    room = scene.ring.buffer(-BESIDE_M)
    if room.is_empty:
        return np.empty((0, 2))
    left, bottom, right, top = room.bounds
    xs, ys = np.arange(math.ceil(left), right + 1e-9, STEP_M), np.arange(math.ceil(bottom), top + 1e-9, STEP_M)
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    free = shapely.contains_xy(room, *grid.T)
    free[_met(np.asarray(shapely.points(grid)), [*taken, *scene.blocked.values()])] = False
    return np.asarray(grid[free])


def _seen(scene: Scene, target: Target, spots: np.ndarray) -> np.ndarray:
    """From which places a target is seen, near enough and with nothing in between."""
    hiding: list[BaseGeometry] = [
        solid
        for name, shape in scene.shapes.items()
        if shape.kind.family != "weaves" and name != target.obstacle
        for solid in shape.solids
    ]
    hiding += [*scene.blocked.values(), *([target.hidden_by] if target.hidden_by is not None else [])]
    seen = np.hypot(*(spots - target.point).T) <= SIGHT_M
    near = np.flatnonzero(seen)
    ends = np.broadcast_to(np.array(target.point), (len(near), 2))
    looks = np.asarray(shapely.linestrings(np.stack([spots[near], ends], axis=1)))
    seen[near[_met(looks, hiding)]] = False
    return np.asarray(seen)


def _met(some: np.ndarray, things: Sequence[BaseGeometry]) -> np.ndarray:
    """The indices of those that meet any of some things."""
    return np.unique(shapely.STRtree(some).query(geometries(things), predicate="intersects")[1])


def _cover(seen: np.ndarray, reach: np.ndarray) -> list[int]:
    """Places that together see everything that any place sees: each time the one that adds most, then the nearest."""
    left: np.ndarray = np.asarray(seen.any(axis=1))
    chosen: list[int] = []
    while left.any():
        gain = (seen & left[:, None]).sum(axis=0)
        far = np.where(seen & left[:, None], reach, 0.0).max(axis=0)
        spot = int(np.lexsort((np.round(far, 6), -gain))[0])
        chosen.append(spot)
        left = left & ~seen[:, spot]
    return chosen


def _nearest(seen: np.ndarray, reach: np.ndarray) -> int:
    """Of the places that see all of these targets the one whose farthest target is nearest."""
    return int(np.argmin(np.round(np.where(seen.all(axis=0), reach.max(axis=0), np.inf), 6)))

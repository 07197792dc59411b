"""What a plan consists of, piece by piece, for the files that other programs read. Metres, in the ring's frame."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from shapely import Polygon

from coursecheck.equipment.shape import Shape
from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Segment, outline
from coursecheck.measures.scene import Scene
from coursecheck.reports.lettering import start_and_finish

__all__ = ["CHORD_M", "Feature", "features", "obstacle_features"]

CHORD_M = 1e-3  # where a format has no arcs, chords stay this near to them


@dataclass(frozen=True, slots=True)
class Feature:
    """A piece of a plan.

    Attributes:
        part: what it is: ring, wall, entrance, exit, blocked, start, finish, footprint, solid, bar, mark, number,
            line.
        form: "area" (a closed outline), "stroke" (an open run of points), "point" or "track" (exact segments).
        points: of an area its corners, not closed; of a track points whose chords stay within CHORD_M.
        name: the obstacle's id, or the name of a blocked place.
        words: what a point is called, or the number that stands at it.
        numbers: the passes that it belongs to.
        segments: the exact pieces of a track.
    """

    part: str
    form: Literal["area", "stroke", "point", "track"]
    points: tuple[Point, ...]
    name: str = ""
    words: str = ""
    numbers: tuple[int, ...] = ()
    segments: tuple[Segment, ...] = ()


def features(scene: Scene, *, line: bool) -> Iterator[Feature]:
    """Everything that stands on the ground, in the order in which it is drawn, and the dog's line where wanted."""
    yield from _ring(scene)
    for shape in scene.shapes.values():
        yield from obstacle_features(shape, scene)
    for words, ends in start_and_finish(scene):
        yield Feature(words, "stroke", ends)
    if line:
        yield from _line(scene)


def _ring(scene: Scene) -> Iterator[Feature]:
    ring = scene.course.ring
    yield Feature("ring", "area", ring.outline)
    for wall in scene.walls():
        yield Feature("wall", "stroke", wall)
    for name, gate in (("entrance", ring.entrance), ("exit", ring.exit)):
        if gate is not None:
            yield Feature(name, "stroke", gate)
    for name, ground in scene.blocked.items():
        yield Feature("blocked", "area", _corners(ground), name)


def obstacle_features(shape: Shape, scene: Scene) -> Iterator[Feature]:
    """The pieces of one obstacle, the largest first, then its named points and the numbers of its passes."""
    name = shape.obstacle.id
    numbers = scene.numbers(name)
    yield Feature("footprint", "area", _corners(shape.footprint), name, numbers=numbers)
    for solid in shape.solids:
        if not solid.equals(shape.footprint):
            yield Feature("solid", "area", _corners(solid), name, numbers=numbers)
    for bar in shape.bars:
        yield Feature("bar", "stroke", bar, name, numbers=numbers)
    for words, point in shape.marks:
        yield Feature("mark", "point", (point,), name, words, numbers)
    for run in scene.passes:
        if run.obstacle == name:
            yield Feature("number", "point", (scene.way(run).entry.centre,), name, str(run.number), (run.number,))


def _line(scene: Scene) -> Iterator[Feature]:
    """The line, pass by pass and leg by leg; a leg that no dog can run says so."""
    for i, run in enumerate(scene.line.passes):
        name = scene.passes[i].obstacle
        yield _track(run.segments, f"pass {run.number}", (run.number,), name)
        for leg in scene.line.legs[i : i + 1]:
            words = f"leg {leg.number} to {leg.number + 1}" + (f": {leg.problem}" if leg.problem else "")
            if leg.segments:
                yield _track(leg.segments, words, (leg.number, leg.number + 1))


def _track(segments: tuple[Segment, ...], words: str, numbers: tuple[int, ...], name: str = "") -> Feature:
    return Feature("line", "track", tuple(outline(segments, CHORD_M)), name, words, numbers, segments)


def _corners(ground: Polygon) -> tuple[Point, ...]:
    return tuple((x, y) for x, y in ground.exterior.coords[:-1])

"""The scene: everything of one plan and one height class that can be measured."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, bounds, oriented_envelope, prepare
from shapely.geometry.base import BaseGeometry

from coursecheck.course.model import Course, Pass
from coursecheck.equipment.outlines import blocked_ground
from coursecheck.equipment.shape import Shape, Way
from coursecheck.geometry.frames import Point
from coursecheck.measures.solids import Rim, Solid, boxes_round
from coursecheck.measures.tracks import CHORD_M, Geometries, Tracks, geometries, tracks_of
from coursecheck.path.line import LengthRule, Line
from coursecheck.path.memo import Memo
from coursecheck.path.profile import Profile
from coursecheck.path.speed import Pace, profile_of

if TYPE_CHECKING:
    from coursecheck.measures.model import Value

__all__ = ["CHORD_M", "Facets", "Scene", "rectangle_round"]

Facets = Mapping[str, str]
"""What selectors of a rulebook can see of a subject: kind, from, to, pass, reverse."""


@dataclass(frozen=True, eq=False)
class Scene:
    """One plan for one height class.

    Attributes:
        course: the plan.
        shapes: the obstacles on the ground, by id.
        line: the computed line through all passes.
        length: how the course length is measured.
        pace: how fast the dogs of the class are, or None where that is not known.
        memo: keeps what was measured by the exact figures that it follows from, for the next scene like this one.
    """

    course: Course
    shapes: Mapping[str, Shape]
    line: Line
    length: LengthRule = field(default_factory=LengthRule)
    pace: Pace | None = None
    memo: Memo = field(default_factory=Memo)

    @cached_property
    def ring(self) -> Polygon:
        """The ring's ground."""
        return self.memo.get("ring", self.course.ring.outline, lambda: _prepared(self.course.ring.outline))

    @property
    def passes(self) -> tuple[Pass, ...]:
        """The sequence."""
        return self.course.passes

    def shape(self, run: Pass) -> Shape:
        """The obstacle of a pass, on the ground."""
        return self.shapes[run.obstacle]

    def way(self, run: Pass) -> Way:
        """The way of a pass through its obstacle."""
        return self.shape(run).way(reverse=run.reverse)

    def numbers(self, obstacle: str) -> tuple[int, ...]:
        """The numbers of the passes over an obstacle."""
        return self._numbers.get(obstacle, ())

    @cached_property
    def _numbers(self) -> dict[str, tuple[int, ...]]:
        numbers: dict[str, tuple[int, ...]] = {}
        for run in self.passes:
            numbers[run.obstacle] = (*numbers.get(run.obstacle, ()), run.number)
        return numbers

    @cached_property
    def tracks(self) -> Tracks:
        """The pieces of the line, to be drawn."""
        return tracks_of(self.line, self.memo)

    def track(self, before: Pass) -> tuple[Point, ...]:
        """Points along the leg after a pass, with landing and take-off; their chords stay within CHORD_M of it.

        Never fewer than two: where the dog takes off where it lands, the same place twice.
        """
        return self.tracks.points[before.number - 1] or (self.line.passes[before.number - 1].exit.point,) * 2

    @cached_property
    def pass_keys(self) -> list[object]:
        """What stands for each pass in keys of the memo.

        It is the same for the same number over exactly the same obstacle and along the same pieces, with the same
        kinds of obstacles before and after it.
        """
        kinds = [None, *(self.shape(run).kind.name for run in self.passes), None]
        pieces = [
            (self.tracks.key(own), run.before_m, run.after_m)
            for own, run in zip(self.tracks.runs, self.line.passes, strict=True)
        ]
        figures = [
            (run, self.shape(run), along, before, after)
            for run, along, before, after in zip(self.passes, pieces, kinds, kinds[2:], strict=False)
        ]
        return self.memo.many("pass", figures, lambda missing: [object() for _ in missing])

    @cached_property
    def leg_keys(self) -> list[object]:
        """What stands for each leg in keys of the memo: the same for the same passes along the same pieces."""
        figures = [
            (*passes, self.tracks.key(pieces), leg.problem)
            for passes, pieces, leg in zip(
                itertools.pairwise(self.pass_keys), self.tracks.grounds, self.line.legs, strict=True
            )
        ]
        return self.memo.many("leg", figures, lambda missing: [object() for _ in missing])

    @cached_property
    def shape_keys(self) -> list[tuple[object, ...]]:
        """What stands for each obstacle in keys of the memo: with the numbers of its passes."""
        return [(shape, self.numbers(name)) for name, shape in self.shapes.items()]

    @cached_property
    def facets(self) -> dict[tuple[int, ...], Facets]:
        """What was seen of passes and legs so far, by their numbers."""
        return {}

    @cached_property
    def lengths(self) -> dict[LengthRule, Value]:
        """The course lengths that were measured so far, by their rule."""
        return {}

    @cached_property
    def spans(self) -> list[tuple[float, float]]:
        """From where to where along the line each pass lies, in metres from the first entry."""
        lengths = [run.length_m for run in self.line.passes]
        gaps = [leg.length_m for leg in self.line.legs]
        starts = list(itertools.accumulate((a + b for a, b in zip(lengths, gaps, strict=False)), initial=0.0))
        return [(start, start + length) for start, length in zip(starts, lengths, strict=False)]

    @cached_property
    def profile(self) -> Profile | None:
        """The speed profile along the line; None without a pace or a line through the whole sequence."""
        if self.pace is None or not self.passes or self.line.problems:
            return None
        tracks, kinds = self.tracks, [self.shape(run).kind.name for run in self.passes]
        legs = [*tracks.grounds, range(0)][: len(kinds)]
        keys = [(key, tracks.key(leg)) for key, leg in zip(self.pass_keys, legs, strict=True)]
        return profile_of(self.line, kinds, self.pace, self.memo, keys)

    @cached_property
    def sides(self) -> tuple[tuple[Point, Point], ...]:
        """The sides of the ring."""
        return tuple(self.course.ring.sides())

    @cached_property
    def grounds(self) -> Geometries:
        """The ground that each obstacle covers, in their order."""
        return geometries(shape.footprint for shape in self.shapes.values())

    @cached_property
    def ground_boxes(self) -> NDArray[np.float64]:
        """The boxes round the ground of each: left, bottom, right, top."""
        return np.asarray(bounds(self.grounds))

    @cached_property
    def boxes(self) -> dict[str, list[Point]]:
        """The smallest rectangle round each obstacle, see `rectangle_round`."""
        boxes = self.memo.many(
            "box", list(self.shapes.values()), lambda some: _corners(oriented_envelope(self.grounds[some]))
        )
        return dict(zip(self.shapes, boxes, strict=True))

    @cached_property
    def solids(self) -> tuple[Solid, ...]:
        """What a dog cannot run through: the solid parts of each obstacle that has any, and the blocked places."""
        shapes = [shape for shape in self.shapes.values() if shape.solids]
        obstacles = self.memo.many(
            "solid",
            shapes,
            lambda missing: [
                Solid(shape.obstacle.id, shape.solids, True) for shape in map(shapes.__getitem__, missing)
            ],
        )
        places = [
            self.memo.get("solid", (name, ground), partial(Solid, name, (ground,), False))
            for name, ground in self.blocked.items()
        ]
        return (*obstacles, *places)

    @cached_property
    def solid_boxes(self) -> NDArray[np.float64]:
        """The boxes round them: left, bottom, right, top."""
        boxes = self.memo.many(
            "solid box", self.solids, lambda missing: boxes_round([self.solids[i].parts for i in missing])
        )
        return np.array(boxes).reshape(-1, 4)

    def foreign(self, owners: Sequence[Sequence[str]]) -> NDArray[np.bool_]:
        """Which solids belong to none of some obstacles, for each group of these; shape (groups, solids)."""
        own = {solid.name: i for i, solid in enumerate(self.solids) if solid.obstacle}
        foreign = np.ones((len(owners), len(self.solids)), dtype=bool)
        cells = [(row, own[name]) for row, names in enumerate(owners) for name in names if name in own]
        foreign[tuple(np.array(cells, dtype=np.int64).reshape(-1, 2).T)] = False
        return foreign

    def edge(self, metric: str) -> Rim:
        """The whole edge of the ring, or, for the metric "wall", its walls; for the same ring it is the same one."""
        ring = self.course.ring
        figures = (ring.outline, ring.solid if metric == "wall" else None)
        return self.memo.get("edge", figures, lambda: Rim(tuple(self.walls() if metric == "wall" else self.sides)))

    def walls(self) -> list[tuple[Point, Point]]:
        """The sides of the ring that are walls."""
        return [side for i, side in enumerate(self.sides) if i in self.course.ring.solid]

    @cached_property
    def blocked(self) -> dict[str, Polygon]:
        """The ground of the blocked places, by name; an apostrophe more tells apart places of the same name."""
        places: dict[str, Polygon] = {}
        for place in self.course.ring.blocked:
            name = place.name
            while name in places:
                name += "'"
            places[name] = blocked_ground(place)
        return places


def _prepared(outline: tuple[Point, ...]) -> Polygon:
    ring = Polygon(outline)
    prepare(ring)
    return ring


def rectangle_round(ground: BaseGeometry) -> list[Point]:
    """The corners, first one repeated, of the smallest rectangle round some ground."""
    return _corners([oriented_envelope(ground)])[0]


def _corners(boxes: Iterable[BaseGeometry]) -> list[list[Point]]:
    corners = []
    for box in boxes:
        if not isinstance(box, Polygon):
            raise TypeError("ground without an area")
        corners.append([(x, y) for x, y in box.exterior.coords])
    return corners

"""The scene: everything of one plan and one height class that can be measured."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, bounds, oriented_envelope, prepare
from shapely.geometry.base import BaseGeometry

from coursecheck.course.model import Course, Pass
from coursecheck.equipment.outlines import blocked_ground
from coursecheck.equipment.shape import Shape, Way
from coursecheck.geometry.frames import Point
from coursecheck.measures.tracks import CHORD_M, Geometries, Tracks, geometries, tracks_of
from coursecheck.path.line import LengthRule, Line
from coursecheck.path.memo import Memo
from coursecheck.path.profile import Profile
from coursecheck.path.speed import Pace, profile_of

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
        """Points along the leg after a pass, with landing and take-off; their chords stay within CHORD_M of it."""
        return self.tracks.points[before.number - 1]

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
    def solids(self) -> tuple[tuple[str, Polygon], ...]:
        """All solid parts with the obstacle that they belong to, and the blocked places with their names."""
        parts = [(name, part) for name, shape in self.shapes.items() for part in shape.solids]
        return (*parts, *self.blocked.items())

    @cached_property
    def solid_owners(self) -> NDArray[np.str_]:
        """The obstacle that each of those parts belongs to; "" for blocked places."""
        owned = len(self.solids) - len(self.blocked)
        return np.array([name if i < owned else "" for i, (name, _) in enumerate(self.solids)], dtype=np.str_)

    @cached_property
    def solid_parts(self) -> Geometries:
        """The same parts."""
        return geometries(part for _, part in self.solids)

    @cached_property
    def solid_boxes(self) -> NDArray[np.float64]:
        """The boxes round them: left, bottom, right, top."""
        return np.asarray(bounds(self.solid_parts))

    @cached_property
    def solid_keys(self) -> list[object]:
        """What stands for each of them in keys of the memo; among those of one obstacle the number tells it."""
        owned = [(shape, i) for shape in self.shapes.values() for i in range(len(shape.solids))]
        return [*owned, *self.blocked.items()]

    def edge_key(self, metric: str) -> object:
        """What stands for the ring in keys of the memo: for its "ring" of sides, or for its "wall"s alone."""
        return self._edge_keys[metric]

    @cached_property
    def _edge_keys(self) -> dict[str, object]:
        ring = self.course.ring
        figures = [(ring.outline, None), (ring.outline, ring.solid)]
        keys = self.memo.many("edge", figures, lambda missing: [object() for _ in missing])
        return dict(zip(("ring", "wall"), keys, strict=True))

    def walls(self) -> list[tuple[Point, Point]]:
        """The sides of the ring that are walls."""
        return [side for i, side in enumerate(self.sides) if i in self.course.ring.solid]

    @cached_property
    def blocked(self) -> dict[str, Polygon]:
        """The ground of the blocked places, by name; a number tells apart places of the same name."""
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

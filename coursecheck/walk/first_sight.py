"""When the dog first sees the next entry: looking back along the line from where it takes off or goes in."""

from __future__ import annotations

import bisect
import itertools
import math
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.frames import Point, bearing_deg, wrap_deg
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.legs import Leg, pass_spans_m
from coursecheck.walk.looks import HIDES

__all__ = ["Sight", "first_sights"]

SHORT_M = 0.1  # a look begins and ends this far from its ends: they lie on the edge of what could hide
NEAR_M = 1.0  # nearer than this the direction of a point says nothing
STEP_M = 0.1  # how far apart looks are taken; where the sight begins is then found between two of them
FINE_M = 1e-4  # and this near
NOISE_M = 1e-6  # of places along the line


@dataclass(frozen=True, slots=True)
class Sight:
    """When the dog first sees the next entry without losing it again.

    Attributes:
        seen_s: how long before take-off or entry.
        point: where the dog is then.
        whole: it has been in sight since before the obstacle just left.
    """

    seen_s: float
    point: Point
    whole: bool


def first_sights(scene: Scene, legs: tuple[Leg, ...], figures: Figures) -> tuple[Sight | None, ...]:
    """The first sight of the next entry on every leg; None where the pace is not known."""
    profile = scene.profile
    if profile is None:
        return (None,) * len(legs)
    eyes = _Eyes(scene, figures["view"])
    found = []
    for leg in legs:
        arrives_m, from_m = eyes.spans[leg.after.number - 1][0], eyes.spans[leg.before.number - 1][0]
        seen_m = eyes.since_m(arrives_m, from_m, leg.entry.centre)
        seen_s = profile.time_at(arrives_m) - profile.time_at(seen_m)
        found.append(Sight(max(0.0, seen_s), eyes.pose(seen_m).point, seen_m <= from_m + NOISE_M))
    return tuple(found)


@dataclass(frozen=True, eq=False)
class _Eyes:
    """What a dog sees from places along the line.

    Attributes:
        scene: the plan.
        view_deg: how far to either side of its way it looks.
    """

    scene: Scene
    view_deg: float

    @cached_property
    def spans(self) -> list[tuple[float, float]]:
        """From where to where along the line each pass lies."""
        return pass_spans_m(self.scene)

    @cached_property
    def _blind(self) -> list[tuple[float, float]]:
        """Where along the line a dog sees nothing: in a tunnel, and going up an A-frame."""
        blind = []
        for run, (start, end) in zip(self.scene.passes, self.spans, strict=True):
            kind = self.scene.shape(run).kind
            if kind.family == "tunnel":
                blind.append((start, end))
            elif kind.name == "a-frame":
                blind.append((start, (start + end) / 2))
        return blind

    @cached_property
    def _pieces(self) -> tuple[tuple[Segment, ...], list[float]]:
        """The pieces of the line and where along it each begins."""
        pieces = tuple(self.scene.line.segments())
        return pieces, list(itertools.accumulate((piece.length_m for piece in pieces[:-1]), initial=0.0))

    def pose(self, along_m: float) -> Pose:
        """Where the dog is and which way it runs."""
        pieces, starts = self._pieces
        index = max(0, bisect.bisect_left(starts, along_m - NOISE_M) - 1)
        return pieces[index].at(along_m - starts[index])

    def since_m(self, arrives_m: float, from_m: float, target: Point) -> float:
        """From where on along the line a target is in sight, at the earliest from the pass before on."""
        seen = arrives_m
        while seen > from_m + NOISE_M:
            before = max(from_m, seen - STEP_M)
            if not self._sees(before, target):
                return self._between(before, seen, target)
            seen = before
        return from_m

    def _between(self, hidden_m: float, seen_m: float, target: Point) -> float:
        """Where the sight begins, between a place without and a place with it."""
        while seen_m - hidden_m > FINE_M:
            middle = (hidden_m + seen_m) / 2
            if self._sees(middle, target):
                seen_m = middle
            else:
                hidden_m = middle
        return seen_m

    def _sees(self, along_m: float, target: Point) -> bool:
        """Whether a target lies within the view, with nothing in between."""
        if any(start + NOISE_M < along_m < end - NOISE_M for start, end in self._blind):
            return False
        here = self.pose(along_m)
        distance = math.dist(here.point, target)
        if distance <= NEAR_M:
            return True
        towards = bearing_between(here.point, target)
        if abs(wrap_deg(towards - bearing_deg(here.heading))) > self.view_deg:
            return False
        (x, y), short = here.point, SHORT_M / distance
        dx, dy = target[0] - x, target[1] - y
        look = LineString(((x + short * dx, y + short * dy), (x + (1 - short) * dx, y + (1 - short) * dy)))
        hidden = self._hidden_from(along_m)
        return not (hidden.crosses(look) or hidden.contains(look))

    def _hidden_from(self, along_m: float) -> BaseGeometry:
        """What hides: everything solid but the obstacle that the dog is on or over, unless that is a tunnel."""
        for run, (start, end) in zip(self.scene.passes, self.spans, strict=True):
            if start - NOISE_M <= along_m <= end + NOISE_M and self.scene.shape(run).kind.family != "tunnel":
                return self._solid_but(run.obstacle)
        return self._solid_but("")

    def _solid_but(self, name: str) -> BaseGeometry:
        if name not in self._solids:
            shapes = [shape for key, shape in self.scene.shapes.items() if key != name and shape.kind.name in HIDES]
            solids = [part for shape in shapes for part in shape.solids]
            self._solids[name] = shapely.union_all([*solids, *self.scene.blocked.values()])
            shapely.prepare(self._solids[name])
        return self._solids[name]

    @cached_property
    def _solids(self) -> dict[str, BaseGeometry]:
        return {}

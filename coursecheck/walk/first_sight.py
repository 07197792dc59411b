"""When the dog first sees the next entry: looking back along the line from where it takes off or goes in."""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.frames import Point, bearing_deg, wrap_deg
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.legs import Leg
from coursecheck.walk.looks import HIDES
from coursecheck.walk.straight_ways import Flags, Floats

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
        arrives_m, from_m = scene.spans[leg.after.number - 1][0], scene.spans[leg.before.number - 1][0]
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
    def _blind(self) -> Floats:
        """From where to where along the line a dog sees nothing, in a tunnel or going up an A-frame, shape (2, k)."""
        blind = []
        for run, (start, end) in zip(self.scene.passes, self.scene.spans, strict=True):
            kind = self.scene.shape(run).kind
            if kind.family == "tunnel":
                blind.append((start, end))
            elif kind.name == "a-frame":
                blind.append((start, (start + end) / 2))
        return np.array(blind).reshape(-1, 2).T

    @cached_property
    def _over(self) -> tuple[tuple[str, ...], Floats]:
        """The obstacles that hide nothing where the dog is on or over them, and from where to where, shape (2, k).

        The last one stands for none.
        """
        over = [
            (run.obstacle, span)
            for run, span in zip(self.scene.passes, self.scene.spans, strict=True)
            if self.scene.shape(run).kind.family != "tunnel"
        ]
        names, spans = zip(*over, ("", (-math.inf, math.inf)), strict=True)
        return names, np.array(spans).T

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
        places = [arrives_m]
        while places[-1] > from_m + NOISE_M:
            places.append(max(from_m, places[-1] - STEP_M))
        lost = np.flatnonzero(~self._sees(places[1:], target))
        return self._between(places[lost[0] + 1], places[lost[0]], target) if lost.size else from_m

    def _between(self, hidden_m: float, seen_m: float, target: Point) -> float:
        """Where the sight begins, between a place without and a place with it."""
        while seen_m - hidden_m > FINE_M:
            middle = (hidden_m + seen_m) / 2
            if self._sees([middle], target)[0]:
                seen_m = middle
            else:
                hidden_m = middle
        return seen_m

    def _sees(self, along_m: Sequence[float], target: Point) -> Flags:
        """From which places along the line a target lies within the view, with nothing in between."""
        places, poses = np.array(along_m), [self.pose(along) for along in along_m]
        start, end = self._blind
        blind = (start + NOISE_M < places[:, None]) & (places[:, None] < end - NOISE_M)
        seen: Flags = np.array([self._in_view(pose, target) for pose in poses], dtype=bool)
        seen &= ~blind.any(axis=1)
        far = np.array([math.dist(pose.point, target) for pose in poses])
        looks = np.flatnonzero(seen & (far > NEAR_M))
        starts = np.array([poses[i].point for i in looks]).reshape(-1, 2)
        way, short = target - starts, (SHORT_M / far[looks])[:, None]
        seen[looks] = ~self._hidden(
            places[looks], np.stack((starts + short * way, starts + (1 - short) * way), axis=1)
        )
        return seen

    def _in_view(self, pose: Pose, target: Point) -> bool:
        if math.dist(pose.point, target) <= NEAR_M:
            return True
        towards = bearing_between(pose.point, target)
        return abs(wrap_deg(towards - bearing_deg(pose.heading))) <= self.view_deg

    def _hidden(self, places: Floats, looks: Floats) -> Flags:
        """Whether anything solid hides, but the obstacle that the dog is on or over, unless that is a tunnel."""
        names, (start, end) = self._over
        on = (start - NOISE_M <= places[:, None]) & (places[:, None] <= end + NOISE_M)
        first = on.argmax(axis=1)
        hidden = np.zeros(len(places), dtype=bool)
        for i in set(first.tolist()):
            some = first == i
            solid, lines = self._solid_but(names[i]), shapely.linestrings(looks[some])
            hidden[some] = shapely.crosses(solid, lines) | shapely.contains(solid, lines)
        return hidden

    def _solid_but(self, name: str) -> BaseGeometry:
        but = name if name and self.scene.shapes[name].kind.name in HIDES else ""
        if but not in self._solids:
            shapes = [shape for key, shape in self.scene.shapes.items() if key != but and shape.kind.name in HIDES]
            solids = [part for shape in shapes for part in shape.solids]
            self._solids[but] = shapely.union_all([*solids, *self.scene.blocked.values()])
            shapely.prepare(self._solids[but])
        return self._solids[but]

    @cached_property
    def _solids(self) -> dict[str, BaseGeometry]:
        return {}

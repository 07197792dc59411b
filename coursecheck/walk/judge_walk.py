"""The judge's own walk: from where every contact zone and weave entry is seen, and the time to get there."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from coursecheck.geometry.frames import Point
from coursecheck.measures.scene import Scene
from coursecheck.measures.standing import Standing, standing_places
from coursecheck.walk.figures import DOUBT, Figures
from coursecheck.walk.handler_ground import Ground

__all__ = ["JudgeWalk", "Stop", "judge_walk"]


@dataclass(frozen=True, slots=True)
class Stop:
    """Where the judge is while the dog is at some passes.

    Attributes:
        place: on the ground.
        seen: what is seen from there in turn.
        passes: the passes that it belongs to, ascending.
        way_m: the way from the stop before, round what stands there; 0 for the first stop.
        time_s: the time for that, from the last thing seen there to the first one here; None where it is not known.
        hurried: whether the judge would have to be faster than the figure `judge-speed`.
        uncertain: whether that would change with a figure 15 % higher or lower.
    """

    place: Point
    seen: tuple[str, ...]
    passes: tuple[int, ...]
    way_m: float
    time_s: float | None
    hurried: bool
    uncertain: bool


@dataclass(frozen=True, slots=True)
class JudgeWalk:
    """The stops of the judge in the order of the course, and what is seen from none of them."""

    stops: tuple[Stop, ...]
    unseen: tuple[str, ...]

    @property
    def way_m(self) -> float:
        """The whole way."""
        return math.fsum(stop.way_m for stop in self.stops)


def judge_walk(scenes: Mapping[str, Scene], ground: Ground, figures: Figures) -> JudgeWalk:
    """The judge's walk; its times are those of the class with the least time in between, the fastest of all.

    Args:
        scenes: the plan for each height class; places keep off the lines of all of them.
        ground: that of the last class, where the judge may walk.
        figures: the figures of the model.
    """
    standings, unseen = standing_places(scenes)
    rows = _rows(standings)
    stops: list[Stop] = []
    for place, seen, passes in rows:
        if not stops:
            stops.append(Stop(place, seen, passes, 0.0, None, hurried=False, uncertain=False))
            continue
        before = stops[-1]
        way = float(ground.ways([[before.place], [place]])[0][0, 0])
        way = way if math.isfinite(way) else math.dist(before.place, place)
        times = [t for scene in scenes.values() if (t := _between_s(scene, before.passes[-1], passes[0])) is not None]
        time = min(times, default=None)
        slow, own, quick = (_too_far(way, time, figures["judge-speed"] * f) for f in (1.0 - DOUBT, 1.0, 1.0 + DOUBT))
        stops.append(Stop(place, seen, passes, way, time, own, slow != quick))
    return JudgeWalk(tuple(stops), unseen)


def _too_far(way_m: float, time_s: float | None, speed_mps: float) -> bool:
    return time_s is not None and way_m > speed_mps * time_s


def _rows(standings: tuple[Standing, ...]) -> list[tuple[Point, tuple[str, ...], tuple[int, ...]]]:
    """The things to see in the order of the passes; those seen in turn from one place together."""
    things = sorted(
        (number, i, view.words, standing.place)
        for standing in standings
        for i, view in enumerate(standing.views)
        for number in view.passes
    )
    rows: list[tuple[Point, list[str], list[int]]] = []
    for number, _, words, place in things:
        if not rows or rows[-1][0] != place:
            rows.append((place, [], []))
        rows[-1][1].append(words)
        rows[-1][2].append(number)
    return [(place, tuple(dict.fromkeys(seen)), tuple(dict.fromkeys(passes))) for place, seen, passes in rows]


def _between_s(scene: Scene, before: int, after: int) -> float | None:
    """From the dog's exit of one pass to its entry of a later one; nothing between ends of the same pass."""
    profile = scene.profile
    if profile is None:
        return None
    spans = scene.spans
    leave, enter = spans[before - 1][1], spans[after - 1][0]
    return max(0.0, profile.time_at(enter) - profile.time_at(leave))

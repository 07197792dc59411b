"""What the run will be like: expected times, and where a dog is fastest and slowest.

Every figure here hangs on the pace of the height class, which the rulebook holds as an assumption.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from coursecheck.course.model import Pass
from coursecheck.geometry.frames import Point
from coursecheck.language import say
from coursecheck.measures.counts import missing_words
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import LEG, leg_facets, leg_values, measure
from coursecheck.measures.scene import Scene
from coursecheck.path.speed import run_time_range_s

__all__ = ["Expectation", "expect"]


@dataclass(frozen=True, slots=True)
class Expectation:
    """How a height class is expected to run a plan.

    Attributes:
        height: the height class.
        fast_s, typical_s, slow_s: running times.
        fastest_mps, slowest_mps: the highest speed, and the lowest one after the first 5 m.
        fastest_at, slowest_at: where that is, in words.
        fastest_point, slowest_point: where that is, in the ring's frame.
    """

    height: str
    fast_s: float
    typical_s: float
    slow_s: float
    fastest_mps: float
    slowest_mps: float
    fastest_at: str
    slowest_at: str
    fastest_point: Point
    slowest_point: Point


def expect(height: str, scene: Scene) -> Expectation | None:
    """The expectation for a scene; None without a pace, a sequence, or a line through all of it."""
    profile, pace = scene.profile, scene.pace
    if profile is None or pace is None:
        return None
    fast_s, typical_s, slow_s = run_time_range_s(profile, pace)
    spans = scene.spans
    (fastest, slowest), (distances_m, speeds_mps, _) = profile.extremes(), profile.figures
    return Expectation(
        height=height,
        fast_s=fast_s,
        typical_s=typical_s,
        slow_s=slow_s,
        fastest_mps=float(speeds_mps[fastest]),
        slowest_mps=float(speeds_mps[slowest]),
        fastest_at=_place_words(spans, float(distances_m[fastest])),
        slowest_at=_place_words(spans, float(distances_m[slowest])),
        fastest_point=profile.point(fastest),
        slowest_point=profile.point(slowest),
    )


def _place_words(spans: Sequence[tuple[float, float]], distance_m: float) -> str:
    """Where along the line a distance lies, in words."""
    for number, (enter, leave) in enumerate(spans, 1):
        if distance_m < enter:
            return say("from {first} to {last}", first=number - 1, last=number)
        if distance_m <= leave:
            return say("at {number}", number=number)
    return say("at {number}", number=len(spans))


@measure(
    "run-time",
    title="expected running time",
    unit="s",
    about="How long a typical dog of the height class is expected to run; the figures of its pace are assumptions.",
    metrics={"typical": "along the dog's line by its pace", "fast": "a fast dog of the class", "slow": "a slow one"},
)
def _run_time(scene: Scene, ask: Ask) -> Iterator[Value]:
    if missing := missing_words(scene):
        yield Value(measured=None, why_not=missing)
    elif scene.profile is not None and scene.pace is not None:
        fast, typical, slow = run_time_range_s(scene.profile, scene.pace)
        yield Value(measured={"fast": fast, "typical": typical, "slow": slow}[ask.metric])


@measure(
    "leg-time",
    title="expected time to the next obstacle",
    unit="s",
    about="How long a typical dog is expected to take from one obstacle to the next: no handler has more.",
    metrics={"typical": "along the dog's line by its pace, from landing or exit to take-off or entry"},
    facets=LEG,
)
def _leg_time(scene: Scene, _ask: Ask) -> Iterator[Value]:
    if scene.profile is None:
        return
    spans = scene.spans
    left = scene.profile.times_at([leave for _, leave in spans[:-1]])
    come = scene.profile.times_at([enter for enter, _ in spans[1:]])
    # to the nanosecond, so that the float noise of the way before does not make another figure of it
    seconds = [round(end - start, 9) for start, end in zip(left, come, strict=True)]

    def taken(before: Pass, after: Pass) -> Value:
        return Value(
            measured=seconds[before.number - 1],
            passes=(before.number, after.number),
            obstacles=(before.obstacle, after.obstacle),
            witness=Witness("path", scene.track(before)),
            facets=(leg_facets(scene, before, after),),
        )

    yield from leg_values(scene, "leg-time", taken, seconds)

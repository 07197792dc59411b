"""The run from start to finish as a strip: how fast a typical dog is, and how it turns, along the course."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from functools import cache

from coursecheck.language import say
from coursecheck.measures.scene import Scene
from coursecheck.path.profile import Profile
from coursecheck.reports.svg import element, escaped, figure, line, path, polygon, text
from coursecheck.resources import folder
from coursecheck.units import FOOT_M

__all__ = ["draw_strip"]

WIDTH_MM = 176.0
LEFT_MM, RIGHT_MM = 12.0, 3.0
SPEED_TOP_MM, SPEED_MM = 9.0, 26.0
TURN_MIDDLE_MM, TURN_MM = 47.0, 9.0  # half the height of the turns
HEIGHT_MM = 66.0
STEP_M = 0.5  # between the points of the speed curve
TIGHTEST_M = 1.0  # the turn radius that fills the height
NUMBER_MM = 3.2


def draw_strip(scene: Scene, height: str) -> str | None:
    """The strip of one height class; None where its pace or a line through the whole course is missing.

    Args:
        scene: the plan with its line and its pace.
        height: the height class, for the words.

    Returns:
        One `svg` element in millimetres that names nothing outside itself.
    """
    profile = scene.profile
    if profile is None or not profile.distance_m:
        return None
    total = profile.distance_m[-1]
    mm = (WIDTH_MM - LEFT_MM - RIGHT_MM) / total
    top_mps = math.ceil(max(profile.speed_mps))
    words = say(
        "Speed and turns along the course, class {height}: a typical dog by the assumed pace of its class",
        height=height,
    )
    return element(
        "svg",
        element("title", escaped(words)),
        element("style", _style()),
        element("g", *_obstacles(scene, mm)),
        element("g", *_speed(profile, mm, top_mps)),
        element("g", *_turns(scene, mm)),
        element("g", *_distances(total, mm, scene.course.units)),
        xmlns="http://www.w3.org/2000/svg",
        class_="strip",
        role="img",
        viewBox=f"0 0 {figure(WIDTH_MM)} {figure(HEIGHT_MM)}",
        width=f"{figure(WIDTH_MM)}mm",
        height=f"{figure(HEIGHT_MM)}mm",
    )


@cache
def _style() -> str:
    return (folder("reports") / "strip.css").read_text(encoding="utf-8")


def _obstacles(scene: Scene, mm: float) -> Iterator[str]:
    """A band for each obstacle from take-off to landing, its number above; numbers that are close share two rows."""
    start, last_x, low = 0.0, -math.inf, False
    for i, run in enumerate(scene.line.passes):
        left, right = LEFT_MM + start * mm, LEFT_MM + (start + run.length_m) * mm
        top, bottom = SPEED_TOP_MM - 1.0, TURN_MIDDLE_MM + TURN_MM
        yield polygon([(left, top), (right, top), (right, bottom), (left, bottom)], "pass")
        x = (left + right) / 2
        low = x - last_x < NUMBER_MM * 0.62 * len(str(run.number)) + 0.8 and not low
        yield text(str(run.number), (x, 6.0 if not low else 2.6), "number")
        last_x = x
        start += run.length_m + (scene.line.legs[i].length_m if i < len(scene.line.legs) else 0.0)


def _speed(profile: Profile, mm: float, top_mps: int) -> Iterator[str]:
    """The curve over its scale."""
    foot = SPEED_TOP_MM + SPEED_MM
    for speed in range(0, top_mps + 1, 1 if top_mps <= 6 else 2):
        y = foot - speed / top_mps * SPEED_MM
        yield line((LEFT_MM, y), (WIDTH_MM - RIGHT_MM, y), "rule")
        yield text(str(speed), (LEFT_MM - 2.0, y), "figure")
    yield text("m/s", (3.4, SPEED_TOP_MM + SPEED_MM / 2), "figure")
    yield path(
        [(LEFT_MM + d * mm, foot - v / top_mps * SPEED_MM) for d, v in _thinned(profile)],
        class_="speed",
    )


def _thinned(profile: Profile) -> Iterator[tuple[float, float]]:
    """Distance and speed at every half metre or so, and at the ends."""
    due = 0.0
    for distance, speed in zip(profile.distance_m, profile.speed_mps, strict=True):
        if distance >= due:
            yield distance, speed
            due = distance + STEP_M
    yield profile.distance_m[-1], profile.speed_mps[-1]


def _turns(scene: Scene, mm: float) -> Iterator[str]:
    """A block for each arc: its height the tightness, above the middle to the left, below to the right."""
    along, turned = 0.0, []
    for piece in scene.line.segments():
        if piece.curvature:
            left, right = LEFT_MM + along * mm, LEFT_MM + (along + piece.length_m) * mm
            reach = math.copysign(min(1.0, abs(piece.curvature) * TIGHTEST_M) * TURN_MM, piece.curvature)
            turned.append(
                [
                    (left, TURN_MIDDLE_MM),
                    (right, TURN_MIDDLE_MM),
                    (right, TURN_MIDDLE_MM - reach),
                    (left, TURN_MIDDLE_MM - reach),
                ]
            )
        along += piece.length_m
    yield from (polygon(corners, "turn") for corners in turned)
    yield line((LEFT_MM, TURN_MIDDLE_MM), (WIDTH_MM - RIGHT_MM, TURN_MIDDLE_MM), "axis")
    yield text(say("left"), (5.4, TURN_MIDDLE_MM - TURN_MM / 2), "figure")
    yield text(say("right"), (5.4, TURN_MIDDLE_MM + TURN_MM / 2), "figure")


def _distances(total_m: float, mm: float, units: str) -> Iterator[str]:
    """The scale along the course."""
    unit = 1.0 if units == "m" else FOOT_M
    y = TURN_MIDDLE_MM + TURN_MM + 1.5
    steps: Sequence[int] = (10, 20, 25, 50, 100, 200, 500, 1000, 2000)
    step = next((n for n in steps if n * unit * mm >= 11.0), steps[-1])
    yield line((LEFT_MM, y), (LEFT_MM + total_m * mm, y), "axis")
    for length in itertools.takewhile(lambda n: n * unit <= total_m, itertools.count(0, step)):
        x = LEFT_MM + length * unit * mm
        yield line((x, y), (x, y + 1.2), "axis")
        yield text(f"{length}", (x, y + 3.2), "figure")
    yield text(say("{units} from the first take-off", units=units), (WIDTH_MM / 2, y + 6.8), "figure")

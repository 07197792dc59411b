"""Plans for the course as a whole: its length and time, what is in it and how often, how it swings."""

from __future__ import annotations

import itertools

from coursecheck.course.model import Obstacle
from coursecheck.examples.layout import Asked, Sketch, chain, measured_by, name_of, place, rows_of, sketch

USUAL_M = 5.5
LONG_M = 12.0
USUAL_PACE_MPS = 4.0


@measured_by("course-length")
def _course_length(_asked: Asked, wanted: float) -> Sketch:
    legs = max(1, round(wanted / LONG_M))
    gap = wanted / legs
    return sketch(rows_of(["jump"] * (legs + 1), gap, width_m=4 * gap + 0.1, apart_m=gap))


@measured_by("run-time")
def _run_time(asked: Asked, wanted: float) -> Sketch:
    return _course_length(asked, wanted * USUAL_PACE_MPS)


@measured_by("passes", "obstacles")
def _passes(asked: Asked, wanted: float) -> Sketch:
    count = max(0, round(wanted))
    if not asked.of:
        return sketch(rows_of(["jump"] * max(count, 1), USUAL_M))
    counted = list(itertools.islice(itertools.cycle(asked.of), count))
    between = next(kind for kind in ("jump", "tunnel", "table") if kind not in asked.of)
    kinds = [kind for pair in zip([between] * (count + 1), [*counted, between], strict=True) for kind in pair]
    return sketch(rows_of(kinds, USUAL_M))


@measured_by("weave-poles")
def _weave_poles(_asked: Asked, wanted: float) -> Sketch:
    poles, rows = max(2, round(wanted)), []
    while poles > 0:
        rows.append(min(poles, 12))
        poles -= 12
    obstacles: list[Obstacle] = []
    entry = (0.0, 0.0)
    for i, count in enumerate(rows):
        obstacle, leave = place(name_of(i), "weaves", entry, 90.0, {"poles": float(count)})
        obstacles.append(obstacle)
        entry = (leave[0] + USUAL_M, leave[1])
    return sketch(obstacles)


@measured_by("succession")
def _succession(asked: Asked, wanted: float) -> Sketch:
    named = list(itertools.islice(itertools.cycle(asked.of or ("jump",)), max(0, round(wanted))))
    between = next(kind for kind in ("jump", "tunnel", "table") if kind not in asked.of)
    return sketch(rows_of([between, *named, between], USUAL_M, width_m=40.0))


@measured_by("repeats")
def _repeats(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.of[0] if asked.of else "jump", (0.0, 0.0))
    others = [place(name_of(i), "jump", (leave[0], 7.0 * i), 270.0)[0] for i in range(1, max(1, round(wanted)))]
    words = [word for other in others for word in ("a", other.id)]
    return sketch([first, *others], [*words, "a"])


@measured_by("side-changes")
def _side_changes(_asked: Asked, wanted: float) -> Sketch:
    count = max(0, round(wanted))
    if count == 0:
        return sketch(chain(["jump"] * 3, [USUAL_M] * 2))
    jumps = [place(name_of(i), "jump", (5.0 * i, 6.0 * (i % 2)), 90.0)[0] for i in range(count + 2)]
    return sketch(jumps)


@measured_by("self-crossings")
def _self_crossings(_asked: Asked, wanted: float) -> Sketch:
    obstacles = [place("a", "jump", (-6.0, 0.0))[0]]
    for i in range(max(0, round(wanted))):
        x, first = 12.0 * i, 1 + 3 * i
        spots = ((x, 0.0, 90.0), (x, 6.0, 270.0), (x, -5.0, 90.0))
        obstacles += [place(name_of(first + k), "jump", (sx, sy), b)[0] for k, (sx, sy, b) in enumerate(spots)]
    last = 12.0 * max(0, round(wanted))
    return sketch([*obstacles, place(name_of(len(obstacles)), "jump", (last, 0.0))[0]])


@measured_by("first-kind", "last-kind")
def _end_kind(asked: Asked, _wanted: float) -> Sketch:
    return sketch(chain([asked.answer, "jump", asked.answer], [USUAL_M, USUAL_M]))

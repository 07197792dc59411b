"""Where something stands in the way the line takes the shorter side, whichever looks shorter at first."""

import math
from dataclasses import replace

import pytest

from coursecheck.course.model import Blocked
from tests.path.line_plans import RUNNER, line_of, plan

FAR_M = 60.0  # beyond the ring's edge
THIN_M = 0.02

# Two obstacles and, last of three, what stands between them: coming out straight ahead the dog would have to turn a
# full circle more on the shorter side, leaving at an angle it need not.
BETWEEN = {
    "a seesaw": (
        0.4,
        ("a", "tunnel", 6.37, 29.59, -32, {"length": 3.0, "bend": 60.0}),
        ("b", "jump", 14.15, 28.33, 217),
        ("stray", "seesaw", 12.33, 32.08, 22),
    ),
    "a bent tunnel": (
        0.1,
        ("a", "jump", 13.28, 28.57, 163),
        ("b", "spread", 14.08, 21.36, 246),
        ("stray", "tunnel", 17.93, 25.14, 205, {"length": 3.0, "bend": 90.0}),
    ),
    "a jump": (
        0.4,
        ("a", "long-jump", 6.52, 28.79, -24),
        ("b", "spread", 14.21, 28.84, 120),
        ("stray", "jump", 8.73, 32.62, 109),
    ),
    "a tunnel before the weaves": (
        0.1,
        ("a", "long-jump", 6.48, 5.39, 34),
        ("b", "weaves", 6.98, 13.33, -20, {"poles": 6}),
        ("stray", "tunnel", 9.05, 8.67, 271, {"length": 3.0, "bend": 90.0}),
    ),
}


def closed(course, side):
    """The course with a thin wall from what stands between to the ring's edge, to the left (1) or right (-1)."""
    a, b, stray = (obstacle.at for obstacle in course.obstacles)
    ahead = math.dist(a, b)
    x, y = (b[0] - a[0]) / ahead, (b[1] - a[1]) / ahead
    foot = stray[0] - THIN_M * x, stray[1] - THIN_M * y
    far = -side * FAR_M * y, side * FAR_M * x
    thick = 2 * THIN_M * x, 2 * THIN_M * y
    outline = [foot]
    for dx, dy in (far, thick, (-far[0], -far[1])):
        outline.append((outline[-1][0] + dx, outline[-1][1] + dy))
    return replace(course, ring=replace(course.ring, blocked=(Blocked("wall", tuple(outline)),)))


@pytest.mark.parametrize("name", BETWEEN)
def test_closing_one_side_of_what_stands_between_never_shortens_the_line(name):
    clearance_m, a, b, stray = BETWEEN[name]
    course, runner = plan(a, b, stray, run=["a", "b"]), replace(RUNNER, clearance_m=clearance_m)
    sides = [line_of(closed(course, side), runner) for side in (1, -1)]
    free = line_of(course, runner)
    assert [line.problems for line in (free, *sides)] == [()] * 3
    assert free.length_m <= min(line.length_m for line in sides) + 1e-3

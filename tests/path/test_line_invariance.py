"""The line goes with the course: moved, turned and mirrored; more room never makes it longer."""

import math
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from coursecheck.path.optimum import line_through
from coursecheck.path.runner import Runner
from coursecheck.path.states import point_node
from tests.path.line_plans import RUNNER, line_of, plan, random_plan
from tests.plans import mirrored, moved

slow = settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
seeds = st.integers(0, 10_000)
SAME_M = 1e-5  # where a leg's length jumps next to the optimum, grids settle the state to some hundredths of a mm


def places(line):
    """Where the line runs: entries and exits of all passes."""
    return [p for run in line.passes for p in (run.entry.point, run.exit.point)]


@slow
@given(seed=seeds, angle=st.floats(-180, 180), shift=st.tuples(st.floats(-50, 50), st.floats(-50, 50)))
def test_a_moved_and_turned_course_has_the_moved_line(seed, angle, shift):
    course = random_plan(seed)
    fixed, other = line_of(course), line_of(moved(course, angle, shift))
    assert other.length_m == pytest.approx(fixed.length_m, abs=SAME_M)
    a = math.radians(-angle)
    for (x, y), seen in zip(places(fixed), places(other), strict=True):
        there = (x * math.cos(a) - y * math.sin(a) + shift[0], x * math.sin(a) + y * math.cos(a) + shift[1])
        assert math.dist(there, seen) < 1e-2


@slow
@given(seed=seeds)
def test_a_mirrored_course_has_the_mirrored_line(seed):
    course = random_plan(seed)
    if any(o.kind == "weaves" for o in course.obstacles):
        return  # the rule about the first pole is not mirrored with the course
    fixed, other = line_of(course), line_of(mirrored(course))
    assert other.length_m == pytest.approx(fixed.length_m, abs=SAME_M)


SMALL = Runner(turn_radius_m=1.0, takeoff_m=0.7, landing_m=0.6)
MEDIUM = Runner(turn_radius_m=1.25, takeoff_m=1.0, landing_m=0.9)
LARGE = Runner(turn_radius_m=1.5, takeoff_m=1.3, landing_m=1.1)
JUMP = ("a", "jump", 20.0, 20.0, 0.0)
WALLS = ("right", "wall", 21.6, 19.5, 80.0), ("left", "wall", 18.4, 19.5, 100.0)
BACK_AND_ON = ["a", "a reverse", "b"]
TIGHT = {
    "back beside a wall": (MEDIUM, plan(JUMP, ("w", "wall", 21.2, 22.1, 80.0), run=["a", "a reverse"])),
    "back, the wall further on": (LARGE, plan(JUMP, ("w", "wall", 21.2, 22.5, 80.0), run=["a", "a reverse"])),
    "again beside a wall": (LARGE, plan(JUMP, ("w", "wall", 21.2, 22.0, 80.0), run=["a", "a"])),
    "between walls": (LARGE, plan(JUMP, *WALLS, ("b", "jump", 20.0, 22.9, 180.0), run=["a", "b", "a"])),
    "back, then to a jump that looks back": (SMALL, plan(JUMP, ("b", "jump", 20.0, 21.8, 180.0), run=BACK_AND_ON)),
    "back, then on": (MEDIUM, plan(JUMP, ("b", "jump", 20.0, 22.4, 0.0), run=BACK_AND_ON)),
    "back, then on, closer": (SMALL, plan(JUMP, ("b", "jump", 20.0, 21.5, 0.0), run=BACK_AND_ON)),
    "two jumps close together": (RUNNER, plan(JUMP, ("b", "jump", 20.0, 22.0, 0.0))),
}


@pytest.mark.parametrize("name", TIGHT)
def test_whether_there_is_a_line_does_not_hang_on_where_the_plan_lies(name):
    # The plans are symmetrical, or nearly so: which of two equals is looked at first is float noise.
    runner, course = TIGHT[name]
    lines = [
        line_of(moved(course, *move), runner) for move in ((0, (0, 0)), (37.3, (3.37, -1.91)), (213.7, (-8.8, 2.3)))
    ]
    assert [line.problems for line in lines] == [()] * 3
    assert [line.length_m for line in lines] == pytest.approx([lines[0].length_m] * 3, abs=1e-3)


gates = st.lists(
    st.tuples(st.floats(0, 30), st.floats(0, 30), st.floats(-3, 3), st.floats(0.2, 1.0)), min_size=3, max_size=6
)


def nodes_of(gates, wider=1.0, scale=1.0):
    return [point_node(x * scale, y * scale, half * wider * scale, turn) for x, y, turn, half in gates]


def apart(gates):
    return all(math.dist(p[:2], q[:2]) > 5.0 for i, p in enumerate(gates) for q in gates[:i])


@slow
@given(gates=gates.filter(apart), wider=st.floats(1.05, 2.0))
def test_wider_gates_never_lengthen_the_line(gates, wider):
    assert line_through(nodes_of(gates, wider), 0.8).legs_m <= line_through(nodes_of(gates), 0.8).legs_m * 1.001


@slow
@given(gates=gates.filter(apart), smaller=st.floats(0.3, 0.95))
def test_a_smaller_turn_radius_never_lengthens_the_line(gates, smaller):
    assert line_through(nodes_of(gates), smaller).legs_m <= line_through(nodes_of(gates), 1.0).legs_m * 1.001


@slow
@given(gates=gates.filter(apart), scale=st.floats(0.5, 3.0))
def test_scaling_the_gates_and_the_radius_scales_the_line(gates, scale):
    plain = line_through(nodes_of(gates), 0.8).legs_m
    assert line_through(nodes_of(gates, scale=scale), 0.8 * scale).legs_m == pytest.approx(scale * plain, rel=1e-4)


def whole(line, runner):
    """Whether there is a line, and all of its flights have their full length."""
    flights = [(run.before_m, run.after_m) for run in line.passes[1:-1]]
    full = ((0.0, 0.0), (runner.takeoff_m, runner.landing_m))
    return not line.problems and all(flight in full for flight in flights)


@slow
@given(seed=seeds)
@example(seed=3400)
@example(seed=3475)
def test_less_clearance_never_lengthens_the_line(seed):
    course = random_plan(seed, count=4, strays=2)
    runners = [replace(RUNNER, clearance_m=clearance_m) for clearance_m in (0.1, 0.4)]
    near, far = (line_of(course, runner) for runner in runners)
    if whole(far, RUNNER) and not near.problems:
        assert near.length_m <= far.length_m * 1.001

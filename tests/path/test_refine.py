"""A line in the open is at its best: no small move of any take-off, crossing or direction makes it shorter."""

import math
import random

import pytest

from coursecheck.equipment import build_shapes
from coursecheck.geometry.segments import Pose
from coursecheck.path.curves import words_between
from coursecheck.path.grip import Grip
from coursecheck.path.legs import Leg
from coursecheck.path.obstruction import Obstruction
from coursecheck.path.optimum import Chain, line_through
from coursecheck.path.runner import Runner
from coursecheck.path.states import Node, chain_of_passes, point_node, track_node
from coursecheck.path.touch import touching
from tests.path.line_plans import plan, random_plan

RUNNERS = (Runner(0.8, 1.0, 1.0, (0.0, 0.9)), Runner(1.2, 1.2, 1.2), Runner(1.5, 1.5, 1.5, (0.2, 0.6)))
NOISE_M = 1e-10
STEPS = (1e-3, 1e-5)  # metres and radians


def length_of(grips, states, radius_m):
    total = math.fsum(grip.own(state).cost_m for grip, state in zip(grips, states, strict=True))
    for k in range(len(grips) - 1):
        start, end = grips[k].exit(states[k]).place, grips[k + 1].entry(states[k + 1]).place
        total += min(word.length_m for word in words_between(start, end, radius_m))
    return total


def chain_of(course, runner):
    """The chain of a course in the open."""
    nodes, links = chain_of_passes(course.passes, build_shapes(course), runner)
    nowhere = Obstruction(None, {}, 0.0)
    return Chain(nodes, [Leg(runner.turn_radius_m, nowhere) for _ in links], [""] * len(nodes), nowhere)


@pytest.mark.parametrize("seed", range(24))
def test_no_small_move_makes_a_line_in_the_open_shorter(seed):
    runner = RUNNERS[seed % len(RUNNERS)]
    course = random_plan(seed, count=8, wild_deg=40.0)
    chain = chain_of(course, runner)
    best = chain.best()
    grips = [Grip(node) for node in chain.nodes]
    states = [tuple(state) for state in best.states.tolist()]
    assert best.total_m == pytest.approx(length_of(grips, states, runner.turn_radius_m), abs=1e-9)
    for k, (offset, direction) in enumerate(states):
        low, high = chain.nodes[k].band_of(offset)
        for step in STEPS:
            for across, turn in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)):
                moved = grips[k].clipped(min(max(offset + step * across, low), high), direction + step * turn)
                there = [*states[:k], moved, *states[k + 1 :]]
                assert length_of(grips, there, runner.turn_radius_m) >= best.total_m - NOISE_M


def close_plan(seed):
    """Jumps so close to each other and so turned that the arcs of a leg often leave no room for a straight."""
    rng = random.Random(seed)  # noqa: S311 - plans, not secrets
    x, y, obstacles = 5.0, 5.0, []
    for i in range(5):
        obstacles.append((f"o{i}", "jump", x, y, rng.uniform(-50, 50)))
        far, way = rng.uniform(3.4, 4.6), rng.uniform(-0.5, 0.5)
        x, y = x + far * math.sin(way), y + far * math.cos(way)
    return plan(*obstacles)


def touches(curve):
    """Whether nothing but arcs is left of a short curve."""
    return curve.loop_rad < math.pi and all(length_m < 1e-3 for length_m, bend in curve.pieces if bend == 0.0)


def test_no_small_move_makes_a_line_shorter_whose_circles_touch():
    runner, seen = RUNNERS[1], 0
    rng = random.Random(0)  # noqa: S311 - moves, not secrets
    for seed in range(120):
        course = close_plan(seed)
        chain = chain_of(course, runner)
        best = chain.best()
        touching = [k for k, curve in enumerate(best.curves) if touches(curve)]
        seen += len(touching)
        grips, states = [Grip(node) for node in chain.nodes], [tuple(state) for state in best.states.tolist()]
        for k in touching:
            for step in (*STEPS, 1e-4) * 40:
                there = [
                    grips[i].clipped(*(value + step * rng.uniform(-1, 1) for value in state))
                    if i in (k, k + 1)
                    else state
                    for i, state in enumerate(states)
                ]
                assert length_of(grips, there, runner.turn_radius_m) >= best.total_m - 1e-9
    assert seen >= 8


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize(("radius_m", "ahead_m"), [(1.0, 1.0), (1.5, 1.1), (2.0, 1.3)])
def test_where_circles_touch_the_line_goes_as_far_aside_as_two_arcs_can(radius_m, ahead_m, mirrored):
    # From a pose to one ahead of it that looks the same way, two arcs reach 2 r - sqrt(4 r^2 - h^2) aside at most:
    # the centres, 2 r apart, lie h apart along the way and 2 r less that across it. A closed form.
    side = -1.0 if mirrored else 1.0
    gate = Node(Pose(0.0, ahead_m, math.pi / 2), Pose(0.0, ahead_m, math.pi / 2), bands=((-0.6, 0.6),))
    start, end = Pose(0.0, 0.0, math.pi / 2), Pose(side * 20.0, ahead_m + 4.0, math.pi / 2 - side * math.pi / 2)
    best = line_through([track_node(start, start), gate, track_node(end, end)], radius_m)
    aside_m = 2 * radius_m - math.sqrt(4 * radius_m**2 - ahead_m**2)
    assert 0.2 < aside_m < 0.6
    assert best.states[1][0] == pytest.approx(side * aside_m, abs=1e-7)


def test_circles_that_lie_on_each_other_have_a_finite_tension():
    # Turned round on the spot: the left circle of the one pose is the right one of the other.
    grip = Grip(point_node(0.0, 0.0))
    circles = touching(grip.exit((0.0, 0.0)), grip.entry((0.0, math.pi)), 1.0, 1.5)
    assert circles.gap_m == pytest.approx(-3.0, abs=1e-6)
    assert all(map(math.isfinite, circles.tension()[:-1]))

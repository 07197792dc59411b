"""A line in the open is at its best: no small move of any take-off, crossing or direction makes it shorter."""

import math

import pytest

from coursecheck.equipment import build_shapes
from coursecheck.path.curves import words_between
from coursecheck.path.grip import Grip
from coursecheck.path.legs import Leg
from coursecheck.path.obstruction import Obstruction
from coursecheck.path.optimum import Chain
from coursecheck.path.runner import Runner
from coursecheck.path.states import chain_of_passes
from tests.path.line_plans import random_plan

RUNNERS = (Runner(0.8, 1.0, 1.0, (0.0, 0.9)), Runner(1.2, 1.2, 1.2), Runner(1.5, 1.5, 1.5, (0.2, 0.6)))
NOISE_M = 1e-10
STEPS = (1e-3, 1e-5)  # metres and radians


def length_of(grips, states, radius_m):
    total = math.fsum(grip.own(state).cost_m for grip, state in zip(grips, states, strict=True))
    for k in range(len(grips) - 1):
        start, end = grips[k].exit(states[k]).place, grips[k + 1].entry(states[k + 1]).place
        total += min(word.length_m for word in words_between(start, end, radius_m))
    return total


@pytest.mark.parametrize("seed", range(24))
def test_no_small_move_makes_a_line_in_the_open_shorter(seed):
    runner = RUNNERS[seed % len(RUNNERS)]
    course = random_plan(seed, count=8, wild_deg=40.0)
    nodes, links = chain_of_passes(course.passes, build_shapes(course), runner)
    nowhere = Obstruction(None, {}, 0.0)
    chain = Chain(nodes, [Leg(runner.turn_radius_m, nowhere) for _ in links], [""] * len(nodes), nowhere)
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

"""The chosen line against the exhaustive optimum over a fine grid of states, on random courses in the open."""

import numpy as np
import pytest

from coursecheck.equipment import build_shapes
from coursecheck.path.legs import Leg
from coursecheck.path.nodes import Nodes
from coursecheck.path.obstruction import Obstruction
from coursecheck.path.optimum import Chain
from coursecheck.path.runner import Runner
from coursecheck.path.states import chain_of_passes
from coursecheck.path.words import solve
from tests.path.line_plans import random_plan

COURSES = 200
BATCHES = 8
RUNNERS = (
    Runner(0.7, 0.8, 1.5, (0.0, 0.6)),
    Runner(1.0, 1.5, 1.5, (0.0, 0.9)),
    Runner(1.5, 1.5, 2.0, (0.33, 1.0)),
    Runner(2.0, 2.0, 2.0, (0.0, 0.1)),
)


def exhaustive(nodes, radius_m):
    """The shortest chain of all over 5 offsets and a direction every 5 degrees."""
    table = Nodes(nodes)
    grids = [node.grid(5, np.radians(5.0)) for node in nodes]
    places = [table.poses(np.full(len(grid), k), grid) for k, grid in enumerate(grids)]
    total = nodes[0].own_cost(grids[0])
    for k in range(len(nodes) - 1):
        leave, come = places[k][1], places[k + 1][0]
        lengths = [solve(np.broadcast_to(pose, come.shape), come, radius_m).lengths_m.min(axis=0) for pose in leave]
        total = (total[:, None] + np.array(lengths)).min(axis=0) + nodes[k + 1].own_cost(grids[k + 1])
    return float(total.min())


@pytest.mark.parametrize("batch", range(BATCHES))
def test_never_more_than_a_thousandth_above_the_exhaustive_optimum(batch):
    for seed in range(batch, COURSES, BATCHES):
        runner = RUNNERS[seed % len(RUNNERS)]
        course = random_plan(seed, count=5, wild_deg=40.0)
        nodes, links = chain_of_passes(course.passes, build_shapes(course), runner)
        nowhere = Obstruction(None, {}, 0.0)
        chain = Chain(nodes, [Leg(runner.turn_radius_m, nowhere) for _ in links], [""] * len(nodes), nowhere)
        best = chain.best()
        if chain.nodes != nodes:
            continue  # a flight was shortened for want of room: another question than the grid's
        assert best.total_m <= 1.001 * exhaustive(nodes, runner.turn_radius_m)

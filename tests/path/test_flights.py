"""What is kept of the flights of a course follows from what stands near them, and from nothing else."""

import numpy as np
import pytest

from coursecheck.equipment import build_shapes
from coursecheck.path.flights import Flights
from coursecheck.path.obstruction import Obstruction
from coursecheck.path.states import chain_of_passes
from tests.path.line_plans import RUNNER, plan

CLEARANCE_M = 0.3
KINDS = ("jump", "spread", "wall", "long-jump", "tyre")


@pytest.mark.parametrize("bearing", [0, 17, 45, 90, 200.5])
@pytest.mark.parametrize("kind", KINDS)
def test_all_flights_over_an_obstacle_and_their_clearance_lie_in_its_box(kind, bearing):
    course = plan(("a", "jump", 5, 5, 0), ("b", kind, 20, 20, bearing), ("c", "jump", 35, 35, 0))
    nodes, _ = chain_of_passes(course.passes, build_shapes(course), RUNNER)
    flights = Flights(nodes, ["a", "b", "c"], Obstruction(None, {}, CLEARANCE_M))
    flights.begin([1])
    takeoffs, landings = flights.table.poses(1, nodes[1].grid(9, 0.05))
    ends = np.concatenate([takeoffs, landings])[:, :2]
    low_x, low_y, high_x, high_y = flights.boxes[1]
    assert (ends >= np.array([low_x, low_y]) + CLEARANCE_M - 1e-9).all()
    assert (ends <= np.array([high_x, high_y]) - CLEARANCE_M + 1e-9).all()

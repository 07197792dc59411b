"""Turn radius to nothing: the line is the taut string through the gates.

Oracles: a convex solver (the string is the least sum of distances of points on the gates); reflection at one gate
(Heron); the shortest tour that touches the three sides of a triangle (Fagnano: the triangle of the feet of the
heights, 2 x area / circumradius long).
"""

import math
import random
from itertools import pairwise

import cvxpy as cp
import numpy as np
import pytest

from coursecheck.path.optimum import line_through
from coursecheck.path.states import point_node

SHARP_M = 1e-9


def gate(a, b):
    """A node that may be run through anywhere between two points, in any direction."""
    heading = math.atan2(b[0] - a[0], a[1] - b[1])  # across the gate
    return point_node((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, math.dist(a, b) / 2, heading)


def taut(ends):
    share = cp.Variable(len(ends))
    points = [np.array(a) + share[i] * (np.array(b) - np.array(a)) for i, (a, b) in enumerate(ends)]
    length = sum(cp.norm(q - p) for p, q in pairwise(points))
    problem = cp.Problem(cp.Minimize(length), [share >= 0, share <= 1])
    problem.solve(solver=cp.CLARABEL, tol_gap_abs=1e-10, tol_gap_rel=1e-10, tol_feas=1e-10)
    return problem.value


@pytest.mark.parametrize("seed", range(6))
def test_the_taut_string_of_a_convex_solver(seed):
    rng = random.Random(seed)  # noqa: S311 - plans, not secrets
    ends = []
    for _ in range(10):
        x, y, turn, half = rng.uniform(0, 30), rng.uniform(0, 30), rng.uniform(-3, 3), rng.uniform(0.3, 1.5)
        dx, dy = half * math.cos(turn), half * math.sin(turn)
        ends.append(((x - dx, y - dy), (x + dx, y + dy)))
    line = line_through([gate(a, b) for a, b in ends], SHARP_M)
    assert line.legs_m == pytest.approx(taut(ends), abs=1e-6)


def test_one_gate_reflects_as_a_mirror_does():
    # Heron: from 3 m to 5 m off the gate's line, 6 m further along it
    nodes = [point_node(0.0, 3.0), gate((-10.0, 0.0), (10.0, 0.0)), point_node(6.0, 5.0)]
    assert line_through(nodes, SHARP_M).legs_m == pytest.approx(math.hypot(6.0, 8.0), abs=1e-6)


def test_past_its_end_a_gate_is_touched_at_its_end():
    nodes = [point_node(0.0, 3.0), gate((-10.0, 0.0), (1.0, 0.0)), point_node(6.0, 5.0)]
    straight = math.hypot(1.0, 3.0) + math.hypot(5.0, 5.0)
    assert line_through(nodes, SHARP_M).legs_m == pytest.approx(straight, abs=1e-6)


def test_fagnano_the_shortest_tour_of_a_triangle():
    # sides 13, 14, 15; area 84, circumradius 8.125; the foot of the height on the side of 14 is at 5
    a, b, c = (0.0, 0.0), (14.0, 0.0), (5.0, 12.0)
    foot = point_node(5.0, 0.0)
    assert line_through([foot, gate(b, c), gate(c, a), foot], SHARP_M).legs_m == pytest.approx(168 / 8.125, abs=1e-6)
    for x in (4.0, 6.0):
        elsewhere = point_node(x, 0.0)
        assert line_through([elsewhere, gate(b, c), gate(c, a), elsewhere], SHARP_M).legs_m > 168 / 8.125 + 1e-3

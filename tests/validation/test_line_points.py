"""Lines of bounded curvature through points in order, gate width nothing, against published lengths.

C. Y. Kaya, "Markov-Dubins path via optimal control theory", arXiv 1704.04895, and "Markov-Dubins interpolating
curves", arXiv 1801.06325; the lengths are those of the public test suites of the authors of later solvers. The first
and the last direction are given, the others are free. The fourth published length is 2.2e-8 too long.
"""

import math

import pytest

from coursecheck.geometry.segments import Pose
from coursecheck.path.optimum import line_through
from coursecheck.path.states import point_node, track_node

PI = math.pi
FIRST = [(0, 0, -PI / 3), (-0.1, 0.3), (0.2, 0.8), (1, 1, -PI / 6)]
SECOND = [(0, 0, -PI / 3), (-0.1, 0.3), (0.2, 0.8), (1, 1), (0.5, 0.5), (0.5, 0, -PI / 6)]
THIRD = [(0.5, 1.2, 5 * PI / 6), (0, 0.8), (0, 0.4), (0.1, 0), (0.4, 0.2), (0.5, 0.5), (0.6, 1), (1, 0.8), (1, 0)]
THIRD += [(1.4, 0.2), (1.2, 1), (1.5, 1.2), (2, 1.5), (1.5, 0.8), (1.5, 0), (1.7, 0.6), (1.9, 1), (2, 0.5), (1.9, 0)]
THIRD += [(2.5, 0.6, 0)]
FOURTH = [(0.5, 1.2, 5 * PI / 6), (0, 0.5), (0.5, 0.5), (1, 0.5), (1.5, 0.5), (2, 0.5), (2, 0), (1.5, 0), (1, 0)]
FOURTH += [(0.5, 0), (0, 0), (0, -0.5, 0)]

PUBLISHED = [
    (3, FIRST, 3.4155788580751487, 1e-9),
    (3, SECOND, 6.2780345503093136, 1e-9),
    (5, THIRD, 11.916212654285486, 1e-9),
    (3, FOURTH, 7.4675621973384, 1e-7),
]


@pytest.mark.parametrize("step_deg", [10.0, 4.0])
@pytest.mark.parametrize(("curvature", "points", "length", "tolerance"), PUBLISHED)
def test_published_lengths_through_points(curvature, points, length, tolerance, step_deg):
    nodes = [track_node(Pose(*p), Pose(*p)) if len(p) == 3 else point_node(*p) for p in points]
    best = line_through(nodes, 1 / curvature, math.radians(step_deg))
    assert best.legs_m == pytest.approx(length, abs=tolerance)

"""Lines of random feasible courses, shapely as the judge of clearance, ring and bars; radius and joins by themselves.

Near the two ends of a leg, within twice the clearance along it, only crossing is forbidden: see path/obstruction.py.
"""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely

from coursecheck.equipment import build_shapes
from coursecheck.path.compute import compute_line
from tests.path.line_plans import RUNNER, random_plan

CHORD_M = 1e-4  # between samples and the curve; also the depth to which a sampled chord may cut in
BATCHES = 10  # the last two in crowded rings, where every other leg goes round something
COURSES = 50  # each batch; 500 courses altogether
CROWDED = 8


def samples(segments, low, high):
    """Points along a leg between two distances from its start."""
    total = sum(s.length_m for s in segments)
    high = min(high, total)
    points, begin = [], 0.0
    for segment in segments:
        a, b = max(low - begin, 0.0), min(high - begin, segment.length_m)
        if a <= b:
            steps = max(2, math.ceil((b - a) / 0.02))
            points += [segment.at(a + (b - a) * i / steps).point for i in range(steps + 1)]
        begin += segment.length_m
    return np.array(points)


def judge_leg(leg, course, shapes, runner):
    ring = shapely.Polygon(course.ring.outline)
    total = leg.length_m
    zone = 2 * runner.clearance_m
    whole = samples(leg.segments, 1e-6, total - 1e-6)
    if len(whole) < 2:
        return
    path = shapely.LineString(whole)
    assert ring.covers(path)
    middle = samples(leg.segments, zone, total - zone) if total > 2 * zone else np.empty((0, 2))
    for shape in shapes.values():
        for bar in shape.bars:
            assert not path.crosses(shapely.LineString(bar))
        for solid in shape.solids:
            assert path.intersection(solid).length < CHORD_M
            if len(middle):
                away = shapely.distance(shapely.points(middle), solid).min()
                assert away >= runner.clearance_m - 2e-6
    if len(middle):
        assert shapely.distance(shapely.points(middle), ring.exterior).min() >= runner.clearance_m - 2e-6
    assert max((abs(s.curvature) for s in leg.segments), default=0.0) <= 1 / runner.turn_radius_m + 1e-9


def judge_joins(line):
    for before, after in pairwise(line.segments()):
        assert math.dist(before.end.point, after.start.point) < 1e-9
        assert abs(math.remainder(before.end.heading - after.start.heading, 2 * math.pi)) < 1e-9


@pytest.mark.parametrize("batch", range(BATCHES))
def test_every_line_keeps_clearance_ring_radius_and_joins(batch):
    problems = 0
    for seed in range(batch * COURSES, (batch + 1) * COURSES):
        crowd = {"count": 4, "strays": 6} if batch >= CROWDED else {"count": 5}
        course = random_plan(seed, wild_deg=60.0, **crowd)
        shapes = build_shapes(course)
        line = compute_line(course, shapes, RUNNER)
        judge_joins(line)
        for leg in line.legs:
            if leg.problem is None:
                judge_leg(leg, course, shapes, RUNNER)
            problems += leg.problem is not None
    assert problems <= COURSES // 10  # the courses are feasible, but for a few that turn too wildly

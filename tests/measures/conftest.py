"""A small bench for measuring: obstacles by hand on a large ring, with hand-made straight lines between them."""

import math
from itertools import pairwise

import pytest

from coursecheck.course.model import Course, Obstacle, Pass, Ring
from coursecheck.equipment import build_shapes
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.measures import MEASURES, Ask, Scene
from coursecheck.path.line import LegLine, Line, PassLine
from coursecheck.path.runner import Runner
from coursecheck.path.speed import Pace

RUNNER = Runner(turn_radius_m=1.5, takeoff_m=1.0, landing_m=1.0)
PACE = Pace(6.0, 8.0, 4.0, 6.0, {"weaves": 2.0}, {"table": 5.0}, uncertainty=0.2)


def straight_line(passes, shapes, problem=None):
    """A line that flies straight over each obstacle and runs straight from landing to take-off.

    It does not join smoothly where obstacles are not in a row: enough to measure by, and every figure is known.
    """
    runs = []
    for run in passes:
        way = shapes[run.obstacle].way(reverse=run.reverse)
        if way.form == "track":
            runs.append(PassLine(run.number, way.track))
            continue
        heading = math.pi / 2 - math.radians(way.entry.bearing_deg)
        start = Pose(*way.entry.centre, heading).ahead(-RUNNER.takeoff_m)
        depth = math.dist(way.entry.centre, way.exit.centre)
        flight = Segment(start, RUNNER.takeoff_m + depth + RUNNER.landing_m)
        runs.append(PassLine(run.number, (flight,), RUNNER.takeoff_m, RUNNER.landing_m))
    legs = []
    for before, after in pairwise(runs):
        (ax, ay), (bx, by) = before.exit.point, after.entry.point
        piece = Segment(Pose(ax, ay, math.atan2(by - ay, bx - ax)), math.hypot(bx - ax, by - ay))
        legs.append(LegLine(before.number, (piece,), problem))
    return Line(RUNNER, tuple(runs), tuple(legs))


@pytest.fixture
def bench():
    """Makes a scene: obstacles as (id, kind, x, y, bearing[, sizes]) in the order they are taken."""

    def make(*obstacles, run=None, ring=None, line=None, problem=None, store=None, **course):
        things = tuple(Obstacle(o[0], o[1], (o[2], o[3]), o[4], o[5] if len(o) > 5 else {}) for o in obstacles)
        words = [o[0] for o in obstacles] if run is None else run
        passes = tuple(Pass(i, word.split()[0], "reverse" in word.split()) for i, word in enumerate(words, 1))
        ring = ring or Ring(((-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0)))
        plan = Course("bench", "none", "agility", "1", ring, things, passes, store=store, **course)
        shapes = build_shapes(plan)
        return Scene(plan, shapes, line or straight_line(passes, shapes, problem), pace=PACE)

    return make


@pytest.fixture
def take():
    """Measures a scene: the values of a measure by name, metric and kinds."""

    def measure(scene, name, metric, of=()):
        assert MEASURES[name].knows(metric)
        return list(MEASURES[name].take(scene, Ask(metric, of)))

    return measure

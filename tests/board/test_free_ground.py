"""The free ground of an obstacle says where it may stand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon

from coursecheck import load_plan, measure_course
from coursecheck.board.ground import free_ground, free_ground_of
from coursecheck.equipment import build_shape
from coursecheck.resources import sample

PLAN, BOOK = load_plan(sample("saltmarsh"))
SCENES = measure_course(PLAN, BOOK)
NAMES = [obstacle.id for obstacle in PLAN.obstacles]
GROUNDS = {name: free_ground(PLAN, BOOK, name) for name in NAMES}


@given(name=st.sampled_from(NAMES), x=st.floats(0.0, 30.0), y=st.floats(0.0, 40.0))
def test_an_obstacle_on_its_free_ground_is_in_the_ring_and_touches_no_other(name, x, y):
    if not GROUNDS[name].contains(Point(x, y)):
        return
    scene = SCENES["large"]
    sizes = scene.shapes[name].sizes
    ground = build_shape(replace(PLAN.obstacle(name), at=(x, y)), lambda _kind, size: sizes[size]).footprint
    assert scene.ring.buffer(1e-6).contains(ground)
    for other, shape in scene.shapes.items():
        assert other == name or ground.intersection(shape.footprint).area < 1e-6


@pytest.mark.parametrize("name", NAMES)
def test_an_obstacle_of_a_legal_plan_stands_on_its_free_ground(name):
    rings = free_ground_of(PLAN, BOOK, name)["rings"]
    assert any(Polygon(ring).buffer(1e-3).contains(Point(PLAN.obstacle(name).at)) for ring in rings)

"""How near obstacles and the line come to the edge, to walls and to what stands beside the line."""

import math

import pytest

from coursecheck.course.model import Blocked, Ring
from coursecheck.geometry.frames import Frame

HALL = Ring(((0.0, 0.0), (20.0, 0.0), (20.0, 40.0), (0.0, 40.0)), solid=frozenset({2, 3}))


@pytest.mark.parametrize(("metric", "metres"), [("ring", 2.0 - 1.1), ("wall", 18.0 - 1.1)])
def test_from_a_wing_to_the_edge_and_to_the_wall(bench, take, metric, metres):
    scene = bench(("a", "jump", 18, 10, 0), ring=HALL)
    (value,) = take(scene, "edge-distance", metric)
    assert value.measured == pytest.approx(metres)
    assert value.witness.type == "segment"


ALONG = [(0, "true"), (90, "true"), (20, "true"), (110, "true"), (45, "false")]


@pytest.mark.parametrize(("bearing", "along"), ALONG)
@pytest.mark.parametrize("turned", [0.0, 17.3, 230.1])
def test_a_square_lies_along_an_edge_with_any_of_its_sides(bench, take, bearing, along, turned):
    frame = Frame((0.0, 0.0), turned)
    ring = Ring(tuple(frame.places([(0.0, 0.0), (0.0, 30.0), (30.0, 30.0), (30.0, 0.0)])))
    scene = bench(("t", "table", *frame.place(15.0, 2.0), turned + bearing), ring=ring)
    assert take(scene, "edge-distance", "ring")[0].facets[0]["parallel"] == along


def test_without_walls_there_is_no_distance_to_them(bench, take):
    scene = bench(("a", "jump", 0, 0, 0))
    assert take(scene, "edge-distance", "wall") == []
    assert take(scene, "line-edge", "wall") == []


@pytest.mark.parametrize(("x", "reach"), [(10.0, 0.0), (18.9, 0.0), (19.4, 0.5), (25.0, 6.1)])
def test_how_far_an_obstacle_reaches_over_the_edge(bench, take, x, reach):
    scene = bench(("a", "jump", x, 10, 0), ring=HALL)
    assert take(scene, "beyond-ring", "ground")[0].measured == pytest.approx(reach)


NOTCHED = Ring(((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (20.0, 20.0), (20.0, 30.0), (0.0, 30.0)))


def test_a_plank_across_a_corner_of_the_edge_reaches_out_with_its_middle(bench, take):
    # its outer edge is (x - 20) + (y - 20) = 3 + 0.3 / 2 * sqrt(2): the middle is as far from either side
    scene = bench(("w", "dog-walk", 21.5, 21.5, 135), ring=NOTCHED)
    reach = 1.5 + 0.15 / math.sqrt(2)
    (value,) = take(scene, "beyond-ring", "ground")
    assert value.measured == pytest.approx(reach)
    assert value.witness.points[0] == pytest.approx((20 + reach, 20 + reach))
    assert take(scene, "edge-distance", "ring") == []


@pytest.mark.parametrize("off_deg", [0.0, 5.0, 17.3, 31.0])
def test_an_obstacle_that_touches_an_edge_stands_inside_whichever_way_the_edge_lies(bench, take, off_deg):
    turned = Frame((0.0, 0.0), off_deg)
    ring = Ring(tuple(turned.places([(0.0, 0.0), (0.0, 30.0), (30.0, 30.0), (30.0, 0.0)])))
    scene = bench(("a", "jump", *turned.place(15.0, 0.225), off_deg + 90.0), ring=ring)
    assert take(scene, "beyond-ring", "ground")[0].measured == 0.0
    (value,) = take(scene, "edge-distance", "ring")
    assert value.measured == pytest.approx(0.0, abs=1e-9)


def test_the_line_along_an_edge(bench, take):
    scene = bench(("a", "jump", 18.5, 10, 0), ("b", "jump", 18.5, 20, 0), ring=HALL)
    assert take(scene, "line-edge", "ring")[0].measured == pytest.approx(1.5)
    assert take(scene, "line-edge", "wall")[0].measured == pytest.approx(18.5)


def test_the_line_beside_a_wing_and_beside_a_pillar(bench, take):
    ring = Ring(HALL.outline, HALL.solid, blocked=(Blocked("pillar", centre=(8.0, 15.0), radius_m=0.4),))
    beside = ("x", "jump", 12.1, 15, 0)
    scene = bench(("a", "jump", 10, 10, 0), ("b", "jump", 10, 20, 0), beside, run=["a", "b"], ring=ring)
    (value,) = take(scene, "line-solid", "line")
    assert value.measured == pytest.approx(1.0)
    assert value.obstacles == ("a", "b", "x")
    far = bench(("a", "jump", 10, 10, 0), ("b", "jump", 10, 20, 0), run=["a", "b"], ring=ring)
    (value,) = take(far, "line-solid", "line")
    assert value.measured == pytest.approx(1.6, abs=1e-3)
    assert value.note == "beside pillar"


def test_room_before_the_start_and_after_the_finish(bench, take):
    scene = bench(("a", "jump", 10, 6, 0), ("b", "jump", 10, 30, 0), ring=HALL)
    assert take(scene, "start-room", "ring")[0].measured == pytest.approx(6.0)
    assert take(scene, "finish-room", "ring")[0].measured == pytest.approx(10.0)
    assert take(scene, "finish-room", "wall")[0].measured == pytest.approx(10.0)
    assert take(scene, "start-room", "wall") == []

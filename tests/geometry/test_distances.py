"""Distances from a piece of a line to a straight are exact; shapely on a fine polyline is the judge."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from coursecheck.geometry.distances import (
    boxes_meet,
    farthest_from,
    nearest_on_piece,
    piece_to_straight,
    ray_to_straights,
)
from coursecheck.geometry.segments import Pose, Segment, outline

near = st.floats(-5, 5)
poses = st.builds(Pose, near, near, st.floats(-math.pi, math.pi))
pieces = st.builds(
    Segment, poses, st.floats(0.1, 5), st.one_of(st.just(0.0), st.floats(0.2, 1.2), st.floats(-1.2, -0.2))
)


@given(pieces, near, near, near, near)
def test_the_distance_is_that_of_a_fine_polyline(piece, ax, ay, bx, by):
    assume(math.dist((ax, ay), (bx, by)) > 1e-3)
    distance, on_piece, on_straight = piece_to_straight(piece, (ax, ay), (bx, by))
    judge = LineString(outline([piece], 1e-7)).distance(LineString([(ax, ay), (bx, by)]))
    assert distance == pytest.approx(judge, abs=1e-6)
    assert math.dist(on_piece, on_straight) == pytest.approx(distance)


def test_an_arc_faces_a_straight_with_its_bulge():
    arc = Segment(Pose(2.0, 0.0, math.pi / 2), math.pi * 2, 0.5)  # half a circle of radius 2 round the origin
    distance, on_arc, on_straight = piece_to_straight(arc, (-5.0, 3.0), (5.0, 3.0))
    assert distance == pytest.approx(1.0)
    assert on_arc == pytest.approx((0.0, 2.0))
    assert on_straight == pytest.approx((0.0, 3.0))


def test_where_they_cross_the_distance_is_nothing():
    assert piece_to_straight(Segment(Pose(0.0, 0.0, 0.0), 4.0), (2.0, -1.0), (2.0, 1.0))[0] == 0.0


def test_a_point_beyond_an_arc_is_nearest_to_its_end():
    arc = Segment(Pose(1.0, 0.0, math.pi / 2), math.pi / 2, 1.0)
    assert nearest_on_piece(arc, (3.0, -3.0)) == (1.0, 0.0)


@given(st.lists(st.floats(2, 9), min_size=3, max_size=7), near, near, st.floats(5, 15), near)
def test_the_farthest_place_of_an_edge_is_that_of_a_fine_row_of_points(reaches, ax, ay, bx, by):
    turn = 2 * math.pi / len(reaches)
    ground = Polygon([(r * math.cos(i * turn), r * math.sin(i * turn)) for i, r in enumerate(reaches)])
    edge = ((ax + 9.0, ay), (bx, by + 9.0))
    far, place = farthest_from(ground, [edge])
    row = shapely.points(np.linspace(*edge, 2001))
    assert far == pytest.approx(shapely.distance(ground, row).max(), abs=0.01)
    assert far >= shapely.distance(ground, row).max() - 1e-9
    assert ground.distance(shapely.Point(place)) == pytest.approx(far)


@pytest.mark.parametrize(
    ("bearing", "reach"), [(0, 8.0), (90, 6.0), (180, 2.0), (45, 6.0 * math.sqrt(2)), (270, 4.0)]
)
def test_a_ray_meets_the_first_side_of_a_ring(bearing, reach):
    corners = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    sides = list(zip(corners, corners[1:] + corners[:1], strict=True))
    assert ray_to_straights((4.0, 2.0), bearing, sides) == pytest.approx(reach)


def test_a_ray_that_meets_nothing_says_so():
    assert ray_to_straights((0.0, 0.0), 0.0, [((1.0, 1.0), (2.0, 1.0))]) is None


corners = st.floats(-20, 20)
sizes = st.floats(0.01, 5)


@given(st.lists(st.tuples(corners, corners, sizes, sizes), min_size=2, max_size=6), st.sampled_from([0.0, 0.5, 3.0]))
def test_boxes_that_come_near_are_found_and_no_others(boxes, apart_m):
    grounds = np.array([shapely.box(x, y, x + width, y + height) for x, y, width, height in boxes])
    found = boxes_meet(shapely.bounds(grounds), shapely.bounds(grounds), apart_m)
    far_m = shapely.distance(grounds[:, None], grounds)
    assert np.all(found | (far_m > apart_m))
    assert not np.any(found & (far_m > math.sqrt(2) * apart_m + 1e-6))


def test_the_box_round_nothing_is_near_nothing():
    around = np.array([[0.0, 0.0, 1.0, 1.0], [math.nan] * 4])
    assert boxes_meet(around, around).tolist() == [[True, False], [False, False]]

"""Bearings are clockwise from up the plan, headings counter-clockwise from +x; frames place and locate."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursecheck.geometry.frames import Frame, bearing_deg, heading_rad, turn_rad, wrap_deg

angles = st.floats(-1e4, 1e4)
coordinates = st.floats(-100, 100)


@pytest.mark.parametrize(
    ("bearing", "heading"), [(0, math.pi / 2), (90, 0.0), (180, -math.pi / 2), (270, math.pi), (450, 0.0)]
)
def test_a_bearing_has_its_heading(bearing, heading):
    assert heading_rad(bearing) == pytest.approx(heading, abs=1e-12)


def test_a_bearing_stays_below_the_full_circle_where_the_heading_is_a_hair_left_of_up_the_plan():
    assert bearing_deg(math.nextafter(math.pi / 2, 4.0)) == 0.0
    assert Frame((0.0, 0.0), -1e-15).forward == (0.0, 1.0)


@given(angles)
def test_bearing_and_heading_undo_each_other(bearing):
    assert wrap_deg(bearing_deg(heading_rad(bearing)) - bearing) == pytest.approx(0.0, abs=1e-7)


@pytest.mark.parametrize(
    ("start", "end", "turn"),
    [(0, math.pi / 2, math.pi / 2), (0, -math.pi / 2, -math.pi / 2), (0, math.pi, math.pi), (0, -math.pi, math.pi)],
)
def test_a_turn_to_the_left_is_positive_and_half_a_turn_is_to_the_left(start, end, turn):
    assert turn_rad(start, end) == pytest.approx(turn)


@pytest.mark.parametrize(
    ("bearing", "forward", "rightward"),
    [(0, (0, 1), (1, 0)), (90, (1, 0), (0, -1)), (180, (0, -1), (-1, 0)), (270, (-1, 0), (0, 1))],
)
def test_on_the_grid_the_axes_are_exact(bearing, forward, rightward):
    frame = Frame((3.0, 4.0), bearing)
    assert frame.forward == forward
    assert frame.rightward == rightward


@given(coordinates, coordinates, angles, coordinates, coordinates)
def test_placing_and_locating_undo_each_other(x, y, bearing, along, right):
    frame = Frame((x, y), bearing)
    assert frame.locate(frame.place(along, right)) == pytest.approx((along, right), abs=1e-6)


def test_a_rectangle_runs_counter_clockwise_from_its_near_left_corner():
    assert Frame((0.0, 0.0), 0.0).rectangle((0.0, 2.0), (-1.0, 1.0)) == [(-1, 0), (1, 0), (1, 2), (-1, 2)]

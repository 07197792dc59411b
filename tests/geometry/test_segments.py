"""Pieces of a line are exact: straight lines and arcs by closed forms."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursecheck.geometry.segments import Pose, Segment, length_of, outline, reversed_segments

poses = st.builds(Pose, st.floats(-50, 50), st.floats(-50, 50), st.floats(-math.pi, math.pi))
pieces = st.builds(Segment, poses, st.floats(0, 20), st.sampled_from([0.0, 0.5, -0.5, 1 / 1.5, -1.0]))


def test_a_quarter_circle_to_the_left():
    arc = Segment(Pose(0.0, 0.0, 0.0), math.pi, 0.5)
    assert arc.end.point == pytest.approx((2.0, 2.0))
    assert arc.end.heading == pytest.approx(math.pi / 2)
    assert arc.centre == pytest.approx((0.0, 2.0))


def test_a_half_circle_to_the_right():
    arc = Segment(Pose(0.0, 0.0, math.pi / 2), math.pi, -1.0)
    assert arc.end.point == pytest.approx((2.0, 0.0))


@given(pieces)
def test_run_backwards_a_piece_leads_to_its_start(piece):
    back = piece.reversed()
    assert back.end.point == pytest.approx(piece.start.point, abs=1e-9)
    assert back.length_m == piece.length_m


@given(st.lists(pieces, max_size=4))
def test_length_is_the_sum_and_survives_reversal(some):
    assert length_of(reversed_segments(some)) == pytest.approx(sum(p.length_m for p in some))


@given(pieces, st.sampled_from([1e-2, 1e-4]))
def test_an_outline_stays_within_its_chord_error(piece, error):
    points = outline([piece], error)
    for start, end in itertools.pairwise(points):
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        if piece.curvature:
            off = abs(1 / abs(piece.curvature) - math.dist(middle, piece.centre))
            assert off <= error * (1 + 1e-6) + 1e-12
    assert points[0] == pytest.approx(piece.start.point)
    assert points[-1] == pytest.approx(piece.end.point, abs=1e-9)


def test_an_arc_so_flat_that_it_lies_on_its_chord_is_outlined_by_its_ends():
    flat = Segment(Pose(1.0, 2.0, 0.0), 5.0, 3e-13)  # 1e-12 m off its chord
    assert outline([flat]) == [flat.start.point, flat.end.point]


def test_an_outline_does_not_repeat_the_joints():
    first = Segment(Pose(0.0, 0.0, 0.0), 2.0)
    assert outline([first, Segment(first.end, 3.0)]) == [(0.0, 0.0), (2.0, 0.0), (5.0, 0.0)]

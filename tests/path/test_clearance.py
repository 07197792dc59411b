"""Distances to edges are those of the geometry of pieces; boxes hold their curves, samples lie on them."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coursecheck.geometry.distances import piece_to_straight
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.clearance import begins, box_of, distance, piece_from, sample_many

places = st.tuples(st.floats(-5, 5), st.floats(-5, 5))
pieces = st.builds(
    Segment,
    st.builds(Pose, st.floats(-5, 5), st.floats(-5, 5), st.floats(-4, 4)),
    st.floats(0.01, 6.0),
    st.sampled_from([0.0, 0.4, -0.4, 1.0, -1.0]),
)


def made(piece):
    return piece_from((piece.start.x, piece.start.y, piece.start.heading), piece.length_m, piece.curvature)


@given(piece=pieces, start=places, end=places)
def test_the_distance_to_an_edge_is_that_from_piece_to_straight(piece, start, end):
    assume(math.dist(start, end) > 1e-3)
    assert distance(made(piece), start, end) == pytest.approx(piece_to_straight(piece, start, end)[0], abs=1e-6)


@given(piece=pieces, margin=st.floats(0.0, 1.0))
def test_a_box_holds_a_curve_with_its_margin(piece, margin):
    box = box_of(made(piece), margin)
    along = [piece.at(piece.length_m * i / 400).point for i in range(401)]
    for axis, low, high in ((0, box[0], box[2]), (1, box[1], box[3])):
        least, most = min(point[axis] for point in along), max(point[axis] for point in along)
        assert low - 1e-9 <= least - margin <= low + 1e-3
        assert high - 1e-3 <= most + margin <= high + 1e-9


@given(piece=pieces)
def test_a_piece_ends_where_the_one_drawn_does(piece):
    end = piece.end
    assert made(piece).end == pytest.approx((end.x, end.y, end.heading), abs=1e-9)


@given(row=st.lists(pieces, min_size=1, max_size=4))
def test_pieces_in_a_row_begin_where_the_one_before_ends(row):
    pose, start = row[0].start, row[0].start
    found = begins(
        np.array([[start.x, start.y, start.heading]]),
        np.array([[p.length_m for p in row]]),
        np.array([[p.curvature for p in row]]),
    )
    for piece, begin in zip(row, found[:, 0].T, strict=True):
        assert begin == pytest.approx([pose.x, pose.y, pose.heading], abs=1e-9)
        pose = Segment(pose, piece.length_m, piece.curvature).end


@given(piece=pieces, zone=st.floats(0.0, 1.0))
def test_samples_of_many_curves_leave_out_both_ends(piece, zone):
    start = np.array([[piece.start.x, piece.start.y, piece.start.heading]])
    length, bend = np.array([[piece.length_m]]), np.array([[piece.curvature]])
    points, counted, _ = sample_many(start, length, bend, zone, length - zone)
    if 2 * zone >= piece.length_m:
        assert not counted.any()
        return
    assert points[0, 0] == pytest.approx(piece.at(zone).point, abs=1e-9)
    assert points[0, -1] == pytest.approx(piece.at(piece.length_m - zone).point, abs=1e-9)

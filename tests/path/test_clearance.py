"""Distances to edges are those of the geometry of pieces; boxes hold their curves, samples lie on them."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coursecheck.geometry.distances import piece_to_straight
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.clearance import Stretches, begins, distance, sample_many

places = st.tuples(st.floats(-5, 5), st.floats(-5, 5))
pieces = st.builds(
    Segment,
    st.builds(Pose, st.floats(-5, 5), st.floats(-5, 5), st.floats(-4, 4)),
    st.floats(0.01, 6.0),
    st.sampled_from([0.0, 0.4, -0.4, 1.0, -1.0]),
)


def stretches(*pieces):
    poses = [(p.start.x, p.start.y, p.start.heading) for p in pieces]
    return Stretches(
        np.array(poses).T, *(np.array([getattr(p, a) for p in pieces]) for a in ("length_m", "curvature"))
    )


@given(piece=pieces, start=places, end=places)
def test_the_distance_to_an_edge_is_that_from_piece_to_straight(piece, start, end):
    assume(math.dist(start, end) > 1e-3)
    figures = (piece.start.x, piece.start.y, piece.start.heading, piece.length_m, piece.curvature)
    assert distance(figures, start, end) == pytest.approx(piece_to_straight(piece, start, end)[0], abs=1e-6)


@given(piece=pieces, margin=st.floats(0.0, 1.0))
def test_a_box_holds_a_curve_with_its_margin(piece, margin):
    ((low_x, low_y, high_x, high_y),) = stretches(piece).boxes(np.array([margin]))
    for i in range(41):
        x, y = piece.at(piece.length_m * i / 40).point
        assert low_x - 1e-9 <= x - margin <= x + margin <= high_x + 1e-9
        assert low_y - 1e-9 <= y - margin <= y + margin <= high_y + 1e-9


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
    points, counted, _ = sample_many(start, np.array([[piece.length_m]]), np.array([[piece.curvature]]), zone)
    if 2 * zone >= piece.length_m:
        assert not counted.any()
        return
    assert points[0, 0] == pytest.approx(piece.at(zone).point, abs=1e-9)
    assert points[0, -1] == pytest.approx(piece.at(piece.length_m - zone).point, abs=1e-9)

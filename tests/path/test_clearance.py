"""Distances of many edges at once are those of each by itself; sampled points lie on their curves."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursecheck.geometry.distances import piece_to_straight
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.clearance import distances, sample, sample_many

places = st.tuples(st.floats(-5, 5), st.floats(-5, 5))
edges = st.lists(st.tuples(places, places).filter(lambda e: math.dist(*e) > 1e-3), min_size=1, max_size=6)
pieces = st.builds(
    Segment,
    st.builds(Pose, st.floats(-5, 5), st.floats(-5, 5), st.floats(-4, 4)),
    st.floats(0.01, 6.0),
    st.sampled_from([0.0, 0.4, -0.4, 1.0, -1.0]),
)


@given(piece=pieces, edges=edges)
def test_distances_to_many_edges_are_the_distances_to_each(piece, edges):
    starts, ends = (np.array([edge[i] for edge in edges]) for i in (0, 1))
    found = distances(piece, starts, ends)
    for distance, (a, b) in zip(found, edges, strict=True):
        assert distance == pytest.approx(piece_to_straight(piece, a, b)[0], abs=1e-6)


@given(piece=pieces)
def test_a_curve_strays_from_its_chords_no_further_than_said(piece):
    points, stray_m = sample([piece])
    for i in range(41):
        point = np.array(piece.at(piece.length_m * i / 40).point)
        chords = pairwise(points)
        away = min(piece_to_straight(Segment(Pose(*point, 0.0), 0.0), a, b)[0] for a, b in chords)
        assert away <= stray_m + 1e-9


@given(piece=pieces, zone=st.floats(0.0, 1.0))
def test_samples_of_many_curves_leave_out_both_ends(piece, zone):
    start = np.array([[piece.start.x, piece.start.y, piece.start.heading]])
    points, counted, _ = sample_many(start, np.array([[piece.length_m]]), np.array([[piece.curvature]]), zone)
    if 2 * zone >= piece.length_m:
        assert not counted.any()
        return
    assert points[0, 0] == pytest.approx(piece.at(zone).point, abs=1e-9)
    assert points[0, -1] == pytest.approx(piece.at(piece.length_m - zone).point, abs=1e-9)

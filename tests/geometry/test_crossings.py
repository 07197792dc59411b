"""Where pieces cross: shapely on fine polylines is the judge; what only touches or runs alongside does not."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point

from coursecheck.geometry.crossings import crossings
from coursecheck.geometry.segments import Pose, Segment, outline

near = st.floats(-4, 4)
pieces = st.builds(
    Segment,
    st.builds(Pose, near, near, st.floats(-math.pi, math.pi)),
    st.floats(0.5, 6),
    st.just(0.0) | st.floats(0.3, 1.0) | st.floats(-1.0, -0.3),
)
EAST = Pose(0.0, 0.0, 0.0)
BEND = Segment(EAST, 3.0, 0.5)


def fine(piece):
    return LineString(outline([piece], 1e-6))


@given(pieces, pieces)
def test_pieces_cross_where_fine_polylines_do(one, other):
    met = fine(one).intersection(fine(other))
    places = crossings(one, other)
    ends = [Point(pose.point) for piece in (one, other) for pose in (piece.start, piece.end)]
    assume(all(fine(piece).distance(end) > 1e-4 for piece, end in zip((other, other, one, one), ends, strict=True)))
    found = list(getattr(met, "geoms", [met])) if not met.is_empty else []
    assume(fine(one).buffer(1e-4).intersection(fine(other)).length < 0.02)  # not nearly along each other
    assert len(places) == len(found)
    assert all(met.distance(Point(place)) < 1e-3 for place in places)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (Segment(EAST, 5.0), Segment(Pose(2.0, 0.0, 0.0), 5.0)),  # along each other
        (Segment(EAST, 5.0), Segment(EAST, 5.0).reversed()),
        (BEND, BEND.reversed()),
        (BEND, Segment(BEND.at(1.0), 4.0, 0.5)),  # the same circle
        (BEND, Segment(EAST, 5.0)),  # one touches the other where it begins
        (BEND, Segment(EAST, 5.0, -0.5)),
        (BEND, Segment(EAST, 5.0, 1.0)),
        (Segment(EAST, 5.0), Segment(Pose(6.0, -1.0, math.pi / 2), 5.0)),  # past its end
        (Segment(EAST, 5.0), Segment(Pose(0.0, 1.0, 0.0), 5.0)),
    ],
)
def test_what_touches_or_runs_alongside_does_not_cross(one, other):
    assert crossings(one, other) == []
    assert crossings(other, one) == []


def test_a_crossing_at_an_end_counts():
    assert crossings(Segment(EAST, 5.0), Segment(Pose(5.0, -1.0, math.pi / 2), 2.0)) == [pytest.approx((5.0, 0.0))]

"""Straight ways across the ground are free where geometry, asked line by line, says that they touch nothing."""

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import MultiPolygon, affinity

from coursecheck.walk.straight_ways import Obstructions

BOX = shapely.box(-1.0, -0.5, 1.0, 0.5)
SKEW = shapely.Polygon([(-1.0, -0.5), (1.0, -0.5), (1.5, 0.5), (-0.5, 0.5)])
HOOK = shapely.Polygon([(-2.0, -2.0), (2.0, -2.0), (2.0, -1.0), (-1.0, -1.0), (-1.0, 2.0), (-2.0, 2.0)])
ROUND = shapely.Point(0.0, 0.0).buffer(1.0)
TRIANGLE = shapely.Polygon([(-1.0, 0.0), (1.0, 0.0), (0.0, 2.0)])

coordinate = st.one_of(st.integers(-8, 8).map(lambda n: n / 2), st.floats(-8.0, 8.0).map(lambda x: round(x, 3)))
points = st.lists(st.tuples(coordinate, coordinate), min_size=1, max_size=8).map(np.array)
things = st.lists(
    st.builds(
        lambda form, turn, x, y: affinity.translate(affinity.rotate(form, turn, origin=(0.0, 0.0)), x, y),
        st.sampled_from([BOX, SKEW, HOOK, ROUND, TRIANGLE]),
        st.one_of(st.sampled_from([0.0, 90.0]), st.floats(0.0, 360.0)),
        coordinate,
        coordinate,
    ),
    max_size=4,
)


@given(things, points, points)
def test_ways_are_free_where_they_touch_nothing(parts, starts, ends):
    ground = MultiPolygon([part for part in shapely.get_parts(shapely.union_all(parts)) if part.area])
    lines = [[shapely.LineString([start, end]) for end in ends] for start in starts]
    assert np.array_equal(Obstructions(ground).free(starts, ends), ~shapely.intersects(ground, lines))


def test_a_way_along_the_side_of_a_box_or_to_its_corner_touches_it():
    ground = Obstructions(MultiPolygon([BOX]))
    ends = np.array([[3.0, 0.5], [3.0, -0.5], [3.0, 0.5 + 1e-7], [0.0, 2.0], [-1.0, 0.5]])
    assert ground.free(np.array([[-3.0, 0.5]]), ends).tolist() == [[False, False, True, True, False]]


def test_nothing_stands_in_the_way_where_there_is_nothing():
    far = np.array([[-3.0, 0.5], [4.0, 0.0]])
    assert Obstructions(MultiPolygon()).free(far, far).all()

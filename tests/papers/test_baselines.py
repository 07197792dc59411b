import math
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursecheck.papers.baselines import GOOD_DEG, Baseline, choose_baseline, rounded

coordinates = st.tuples(st.floats(0.5, 39.5), st.floats(0.5, 29.5))
RING = ((0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0))


def poor(baseline, points):
    """How many points the two tapes find badly, worked out by the law of cosines."""
    count = 0
    for point in points:
        p, q = baseline.tapes(point)
        angle = math.degrees(math.acos(max(-1.0, min(1.0, (p * p + q * q - baseline.length_m**2) / (2 * p * q)))))
        count += not (GOOD_DEG[0] <= angle <= GOOD_DEG[1]) or baseline.locate(point)[1] <= 0
    return count


@given(points=st.lists(coordinates, min_size=1, max_size=12))
def test_no_other_two_corners_find_the_points_better(points):
    chosen = choose_baseline(RING, points)
    longest = max(max(chosen.tapes(point)) for point in points)
    for start, end in permutations(RING, 2):
        other = Baseline(start, end)
        reach = max(max(other.tapes(point)) for point in points)
        assert (poor(chosen, points), longest) <= (poor(other, points), reach + 1e-3)


def test_points_along_one_side_are_not_taken_from_that_side():
    """There the tapes would lie nearly in one line."""
    points = [(x, 1.0) for x in (10.0, 20.0, 30.0)]
    assert choose_baseline(RING, points) != Baseline((0.0, 0.0), (40.0, 0.0))
    assert poor(choose_baseline(RING, points), points) == 0


def test_a_ring_with_a_round_outline_has_a_base_line_of_some_length():
    outline = [
        (20 + 20 * math.cos(2 * math.pi * i / 100), 20 + 20 * math.sin(2 * math.pi * i / 100)) for i in range(100)
    ]
    points = [(20.0, 20.0), (25.0, 12.0), (14.0, 27.0)]
    assert poor(choose_baseline(outline, points), points) == 0


def test_a_corner_that_lies_inside_the_hull_is_never_taken():
    notched = ((0.0, 0.0), (40.0, 0.0), (20.0, 5.0), (40.0, 30.0), (0.0, 30.0))
    chosen = choose_baseline(notched, [(10.0, 10.0), (5.0, 20.0)])
    assert (20.0, 5.0) not in (chosen.start, chosen.end)


def test_a_plan_without_obstacles_has_a_base_line_too():
    assert choose_baseline(RING, []).length_m > 0


@given(point=coordinates, ends=st.tuples(coordinates, coordinates).filter(lambda e: math.dist(*e) > 0.5))
def test_along_and_off_lead_back_to_the_point(point, ends):
    baseline = Baseline(*ends)
    along, off = baseline.locate(point)
    assert baseline.place(along, off) == pytest.approx(point, abs=1e-9)
    assert math.hypot(along, off) == pytest.approx(baseline.tapes(point)[0], abs=1e-9)
    assert math.hypot(baseline.length_m - along, off) == pytest.approx(baseline.tapes(point)[1], abs=1e-9)


def test_off_is_to_the_left_as_one_looks_from_p_to_q():
    assert Baseline((0.0, 0.0), (40.0, 0.0)).locate((10.0, 5.0)) == pytest.approx((10.0, 5.0))
    assert Baseline((40.0, 30.0), (0.0, 30.0)).locate((10.0, 5.0)) == pytest.approx((30.0, 25.0))


@pytest.mark.parametrize(
    ("value", "to"),
    [(1.02, 1.0), (1.03, 1.05), (1.025, 1.05), (0.125, 0.15), (-0.01, 0.0), (-1.025, -1.0), (7.0, 7.0)],
)
def test_lengths_round_to_the_nearest_step_and_half_a_step_upwards(value, to):
    assert rounded(value, 0.05) == to
    assert math.copysign(1.0, rounded(value, 0.05)) == math.copysign(1.0, to)


@given(value=st.floats(-100.0, 100.0))
def test_rounding_moves_a_length_by_half_a_step_at_most(value):
    assert abs(rounded(value, 0.05) - value) <= 0.025 + 1e-9

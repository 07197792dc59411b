"""Shortest curves between two poses at turn radius 1, against closed forms.

The forms follow from the geometry of two circles and their tangents (L. E. Dubins, Am. J. Math. 79, 1957); the one
that is given as a number is LSR by the same geometry, evaluated in another program.
"""

import math

import numpy as np
import pytest

from coursecheck.path.words import solve

PI = math.pi

PAIRS = [
    ((0, 0, 0), (4, 0, 0), 4.0),
    ((0, 0, 0), (0, 2, PI), PI),
    ((0, 0, 0), (0, 3, PI), PI + 1),
    ((0, 0, PI / 2), (4, 0, -PI / 2), PI + 2),
    ((0, 0, 0), (1, 1, PI / 2), PI / 2),
    ((0, 0, 0), (4, 4, 0), 4 + 2 * math.acos(3 / 5)),
    ((0, 0, 0), (0, 0, PI), 7 * PI / 3),
    ((0, 0, 0), (2, 0, PI), 2 * PI),
    ((0, 0, 0), (10, 0, PI), 13.342267466303),
]


@pytest.mark.parametrize(("start", "end", "length"), PAIRS)
def test_closed_forms_of_pairs_of_poses(start, end, length):
    assert solve(np.array(start, float), np.array(end, float), 1.0).lengths_m.min() == pytest.approx(length, abs=1e-9)


def test_the_least_turn_back_at_the_same_place_takes_a_full_circle():
    # the length jumps: a turn of 1e-9 cannot be made on the spot; 2 pi - 1e-9 up to the order of the turn itself
    length = solve(np.zeros(3), np.array([0.0, 0.0, 1e-9]), 1.0).lengths_m.min()
    assert length == pytest.approx(2 * PI - 1e-9, abs=2e-9)


def test_the_same_pose_is_reached_at_once():
    assert solve(np.zeros(3), np.zeros(3), 1.0).lengths_m.min() == 0.0

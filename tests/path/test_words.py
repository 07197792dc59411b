"""The six words reach where they should, are never shorter than they can be, and mirror and scale as they must."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coursecheck.geometry.segments import Pose
from coursecheck.path.curves import words_between
from coursecheck.path.words import SIDES, solve, turning, word_lengths

places = st.floats(-20, 20)
headings = st.floats(-math.pi, math.pi)
poses = st.tuples(places, places, headings).map(np.array)
radii = st.floats(0.3, 3.0)


def shortest(start, end, radius):
    return float(solve(start, end, radius).lengths_m.min())


def apart_from_changes(words):
    """Whether no piece is about to vanish, where a word turns into another one and its length may jump."""
    pieces = words.pieces[:, np.isfinite(words.lengths_m)]
    middle = words.pieces[1, 4:][np.isfinite(words.lengths_m[4:])]
    return (pieces > 0.05).all() and (middle > np.pi + 0.05).all() and (pieces[[0, 2]] < 2 * np.pi - 0.05).all()


@given(start=poses, end=poses, radius=radii)
def test_every_word_ends_where_it_should(start, end, radius):
    for word in words_between(tuple(start.tolist()), tuple(end.tolist()), radius):
        curve = word.curve()
        segments = curve.segments(Pose(*start.tolist()))
        last = segments[-1].end if segments else Pose(*start.tolist())
        assert math.dist(last.point, end[:2]) < 1e-9
        assert abs(math.remainder(last.heading - end[2], 2 * math.pi)) < 1e-9
        assert sum(s.length_m for s in segments) == pytest.approx(curve.length_m, abs=1e-9)


@given(start=poses, end=poses, radius=radii)
def test_words_by_themselves_are_those_of_the_arrays(start, end, radius):
    together = solve(start, end, radius)
    assume(apart_from_changes(together))
    alone = words_between(tuple(start.tolist()), tuple(end.tolist()), radius)
    assert [word.row for word in alone] == np.nonzero(np.isfinite(together.lengths_m))[0].tolist()
    for word in alone:
        assert word.length_m == pytest.approx(together.lengths_m[word.row], abs=1e-9)
        assert word.turn_rad == pytest.approx(together.turns_rad[word.row], abs=1e-9)


@given(start=poses, end=poses, radius=radii)
def test_no_word_is_shorter_than_the_straight(start, end, radius):
    assert shortest(start, end, radius) >= math.dist(start[:2], end[:2]) - 1e-9


@given(start=poses, end=poses, radius=radii)
def test_seen_in_a_mirror_left_and_right_words_change_places(start, end, radius):
    assume(math.dist(start[:2], end[:2]) > 0.1)
    mirror = np.array([-1.0, 1.0, -1.0])
    turned = np.array([0.0, 0.0, math.pi])
    seen = solve(start * mirror + turned, end * mirror + turned, radius).lengths_m
    plain = solve(start, end, radius).lengths_m
    assume(apart_from_changes(solve(start, end, radius)))
    assert seen[[1, 0, 3, 2, 5, 4]] == pytest.approx(plain, abs=1e-6)


@given(start=poses, end=poses, radius=radii)
def test_run_backwards_the_shortest_curve_is_as_long(start, end, radius):
    about = np.array([0.0, 0.0, math.pi])
    assert shortest(end + about, start + about, radius) == pytest.approx(shortest(start, end, radius), abs=1e-6)


@given(start=poses, end=poses, radius=radii, scale=st.floats(0.2, 5.0))
def test_scaling_everything_scales_the_length(start, end, radius, scale):
    factor = np.array([scale, scale, 1.0])
    assert shortest(start * factor, end * factor, radius * scale) == pytest.approx(
        scale * shortest(start, end, radius), rel=1e-6
    )


def test_a_forced_turn_leaves_only_curves_that_turn_that_way():
    words = solve(np.zeros(3), np.array([0.0, -6.0, -math.pi]), 1.0)
    left = turning(words.lengths_m, words.turns_rad, "left")
    right = turning(words.lengths_m, words.turns_rad, "right")
    assert words.turns_rad[np.isfinite(left)].min() > 0.0
    assert words.turns_rad[np.isfinite(right)].max() < 0.0
    assert left.min() > right.min()
    assert turning(words.lengths_m, words.turns_rad, None) is words.lengths_m


@given(start=poses, end=poses, radius=radii)
def test_lengths_alone_are_those_of_the_words(start, end, radius):
    words = solve(start, end, radius)
    for turn in (None, "left", "right"):
        wanted = turning(words.lengths_m, words.turns_rad, turn)
        assert np.array_equal(word_lengths(start, end, radius, turn), wanted)


def test_many_pairs_at_once_are_solved_as_each_by_itself():
    rng = np.random.default_rng(7)
    starts, ends = rng.uniform(-5, 5, (200, 3)), rng.uniform(-5, 5, (200, 3))
    together = solve(starts, ends, 0.8)
    for i in range(200):
        assert np.array_equal(together.lengths_m[:, i], solve(starts[i], ends[i], 0.8).lengths_m)
    assert together.lengths_m.shape == (len(SIDES), 200)

"""A plan that is judged again with what the last time left gets the same verdict, to the last bit."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import coursecheck
from coursecheck.language import speaking
from coursecheck.path.memo import Memo
from coursecheck.resources import sample
from coursecheck.verdict.selection import Selection

COURSE, BOOK = coursecheck.load_plan(sample("granary"))
HEIGHTS = tuple(BOOK.heights)[-2:]
STEPS_M = st.sampled_from([0.0, 0.05, -0.4, 1.5])
MOVES = st.lists(
    st.tuples(st.integers(0, len(COURSE.obstacles) - 1), STEPS_M, STEPS_M, st.sampled_from([0.0, 5.0, -60.0])),
    min_size=1,
    max_size=3,
)


def moved(course, which, dx, dy, turn):
    def one(obstacle):
        at = (obstacle.at[0] + dx, obstacle.at[1] + dy)
        return replace(obstacle, at=at, bearing_deg=(obstacle.bearing_deg + turn) % 360.0)

    return replace(course, obstacles=tuple(one(o) if i == which else o for i, o in enumerate(course.obstacles)))


@pytest.fixture(scope="module")
def memos():
    """Kept through all examples: what one drag leaves must not show in the next."""
    return {height: Memo() for height in HEIGHTS}


@settings(max_examples=5)
@given(moves=MOVES)
def test_after_any_moves_the_verdict_is_the_one_that_is_found_afresh(memos, moves):
    course = COURSE
    for move in moves:
        course = moved(course, *move)
        again = coursecheck.check(course, BOOK, heights=HEIGHTS, memos=memos)
    afresh = coursecheck.check(course, BOOK, heights=HEIGHTS)
    assert again.findings == afresh.findings
    assert [finding.message for finding in again.findings] == [finding.message for finding in afresh.findings]
    assert (again.legs, again.lengths, again.times) == (afresh.legs, afresh.lengths, afresh.times)
    assert again.expected == afresh.expected


def asked_otherwise():
    """Ways to ask about the same line anew: what is found must not be that of the question before."""
    yield COURSE, BOOK, "en", {}
    yield replace(COURSE, grade="3"), BOOK, "en", {}
    yield replace(COURSE, ring=replace(COURSE.ring, indoor=not COURSE.ring.indoor)), BOOK, "en", {}
    yield replace(COURSE, units="ft"), BOOK, "en", {}
    yield COURSE, replace(BOOK, limits=tuple(replace(row, severity="note") for row in BOOK.limits)), "en", {}
    yield COURSE, BOOK, "en", {"setting_out_m": 0.2}
    yield COURSE, BOOK, "en", {"selection": Selection(select=("leg-*",))}
    yield COURSE, BOOK, "de", {}
    yield COURSE, BOOK, "en", {}


def test_a_plan_that_is_judged_otherwise_is_judged_anew(memos):
    for course, book, language, options in asked_otherwise():
        with speaking(language):
            again = coursecheck.check(course, book, heights=HEIGHTS, memos=memos, **options)
            afresh = coursecheck.check(course, book, heights=HEIGHTS, **options)
            assert again.findings == afresh.findings
            assert [finding.in_words() for finding in again.findings] == [f.in_words() for f in afresh.findings]


def test_of_a_plan_that_did_not_change_nothing_is_drawn_or_measured_along_the_line_again(memos):
    first = coursecheck.check(COURSE, BOOK, heights=HEIGHTS, memos=memos)
    second = coursecheck.check(COURSE, BOOK, heights=HEIGHTS, memos=memos)
    for height in HEIGHTS:
        before, after = first.scenes[height], second.scenes[height]
        assert all(one is other for one, other in zip(before.tracks.lines, after.tracks.lines, strict=True))
        assert all(before.shapes[name] is after.shapes[name] for name in before.shapes)


class SmallMemo(Memo):
    CAPACITY = 3


@pytest.mark.parametrize("kind", [Memo, SmallMemo])
def test_what_is_asked_together_is_given_in_order_and_made_once_while_there_is_room(kind):
    memo, made = kind(), []

    def squares(keys):
        def make(missing):
            made.extend(keys[i] for i in missing)
            return [keys[i] ** 2 for i in missing]

        return memo.many("square", keys, make)

    assert squares([3, 1]) == [9, 1]
    assert squares([1, 2, 3]) == [1, 4, 9]
    assert made == [3, 1, 2]
    assert squares([4, 2]) == [16, 4]  # a small memo is full now and begins afresh
    assert squares([]) == []
    assert squares([4]) == [16]
    assert made == [3, 1, 2, 4]

"""The tape is laid along the dog's line: the lengths are those of the line itself."""

import math

import pytest
from hands import press
from hypothesis import given
from hypothesis import strategies as st

from coursecheck import load_plan, measure_course
from coursecheck.board.tape import reaches, stretch_between
from coursecheck.geometry.segments import length_of
from coursecheck.resources import sample

PLAN, BOOK = load_plan(sample("saltmarsh"))
SCENE = measure_course(PLAN, BOOK)["large"]
PIECES = SCENE.line.segments()


def at(offset):
    """The point of the line so far from its beginning."""
    for piece in PIECES:
        if offset <= piece.length_m:
            return piece.at(offset).point
        offset -= piece.length_m
    return PIECES[-1].end.point


def test_from_the_first_number_to_the_last_it_is_the_line_less_the_last_obstacle():
    stretch = stretch_between(SCENE, 1, 20, 0.1)
    last = SCENE.line.passes[-1]
    inside = last.length_m - last.before_m - last.after_m
    assert stretch.length_m == pytest.approx(SCENE.line.length_m - inside, abs=1e-9)
    assert list(reaches(SCENE))[-1] == pytest.approx(stretch.length_m, abs=1e-9)


@given(offsets=st.tuples(*[st.floats(0.0, length_of(PIECES))] * 2))
def test_between_two_points_of_the_line_it_is_no_longer_than_the_way_between_them(offsets):
    low, high = sorted(offsets)
    start, end = at(low), at(high)
    stretch = stretch_between(SCENE, start, end, 0.01)
    assert stretch.length_m <= high - low + 0.2  # where branches meet, the nearest ones are taken
    assert stretch.length_m >= math.dist(*stretch.ends) - 1e-9
    assert math.fsum(piece.length_m for piece in stretch.pieces) == pytest.approx(stretch.length_m, abs=1e-9)
    assert math.dist(stretch.ends[0], stretch.ends[1]) == pytest.approx(math.dist(start, end), abs=0.2)


@given(low=st.floats(0.0, 20.0), more=st.floats(0.0, 20.0))
def test_where_the_line_does_not_come_near_itself_it_is_the_way_to_the_millimetre(low, more):
    assert stretch_between(SCENE, at(low), at(low + more), 0.01).length_m == pytest.approx(more, abs=1e-6)


def test_what_is_not_on_the_line_is_not_measured_along_it():
    assert stretch_between(SCENE, (15.0, 20.0), 3, 0.5) is None
    assert stretch_between(SCENE, 1, 21, 0.5) is None
    assert stretch_between(SCENE, 0, 1, 0.5) is None


def test_two_points_of_the_line_are_measured_along_it_on_the_page(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    page.check("[value=measure]")
    start, end = at(6.0), at(60.0)
    press(page, *start)
    press(page, *end)
    page.wait_for_selector("#tape text >> text=along the line of large")
    straight, along = (float(node.text_content().split()[0]) for node in page.query_selector_all("#tape tspan"))
    assert along == pytest.approx(54.0, abs=0.5)
    assert straight == pytest.approx(math.dist(start, end), abs=0.5)
    assert page.query_selector("#tape .stretch")


def test_two_numbers_are_measured_by_keyboard(open_board, open_page, saltmarsh):
    page = open_page(open_board(saltmarsh))
    page.check("[value=measure]")
    page.focus("[data-id=c]")
    page.keyboard.press("Enter")
    page.focus("[data-id=t1]")
    page.keyboard.press("Enter")
    page.wait_for_selector("#status >> text=along the line")
    metres = list(reaches(SCENE))
    assert f"{metres[6] - metres[2]:.2f} m along the line of large" in page.text_content("#status")


@pytest.mark.parametrize("ends", [None, [], [1], [1, "b"], [1, [2]], [[1, 2], [3, float(10**9)], 3]])
def test_ends_that_are_none_are_refused(open_board, saltmarsh, ends):
    board = open_board(saltmarsh)
    plan = board.start()["plan"]
    assert board.post("tape", {"plan": plan, "shown": "large", "ends": ends})[0] == 400

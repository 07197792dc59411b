"""The wheel's figure against the plan, and times that follow from a length alone."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coursecheck.checking import measured_lengths, times, wheel_checks, wheeled_lengths
from coursecheck.plans import load_plan, load_rulebook, shipped_rulebooks
from coursecheck.reports.times_table import render_times
from coursecheck.resources import sample
from coursecheck.times import times_for
from coursecheck.wheel import Formula, Formulas, check_wheel, formulas_for


def held(wheel_m, plan_m=160.0, spread=6.0, setting_out_m=0.05):
    return check_wheel("large", plan_m, wheel_m, spread=spread, setting_out_m=setting_out_m)


def test_a_wheel_reads_half_a_percent_long_and_scatters_by_one_percent_and_the_setting_out():
    found = held(162.0)
    assert found.difference_m == pytest.approx(2.0)
    assert found.bias_m == pytest.approx(0.8)
    assert found.room_m == pytest.approx((1.6**2 + 0.6**2) ** 0.5)


@pytest.mark.parametrize(
    ("wheel_m", "explained"), [(160.8, True), (162.5, True), (162.6, False), (159.1, True), (159.0, False)]
)
def test_a_difference_is_explained_up_to_the_room_around_the_bias(wheel_m, explained):
    assert held(wheel_m).explained is explained


def test_without_setting_out_error_the_wheel_alone_has_to_explain_it():
    assert held(162.41, setting_out_m=0.0).explained is False
    assert held(162.39, setting_out_m=0.0).explained is True


CLASSES = sorted(
    (book, discipline, grade)
    for book in shipped_rulebooks()
    for discipline, grades in load_rulebook(book).disciplines.items()
    for grade in grades
)
BOOKS = {book: load_rulebook(book) for book in shipped_rulebooks()}
PLAN = load_plan(sample("meadow"))[0]


@settings(max_examples=300)
@given(st.sampled_from(CLASSES), st.integers(1, 40000), st.integers(100, 600))
def test_a_formula_gives_what_the_rule_gives_wherever_it_gives_anything(which, centimetres, speed):
    book, discipline, grade = BOOKS[which[0]], which[1], which[2]
    course = replace(PLAN, discipline=discipline, grade=grade, speed_mps=speed / 100)
    length = Decimal(centimetres).scaleb(-2)
    for found in formulas_for(course, book, book.heights):
        ruled = times_for(
            book, discipline=discipline, grade=grade, height=found.height, length_m=float(length),
            speed_mps=speed / 100, indoor=course.ring.indoor,
        )  # fmt: skip
        sct, mct = found.times_s(length)
        if found.sct is not None:
            assert sct == ruled.sct_s
        if found.mct is not None:
            assert mct == ruled.mct_s
        if ruled.sct_s is not None:
            assert found.sct is not None


@pytest.mark.parametrize(
    ("rounding", "cap", "whole"),
    [("up", None, True), ("half-up", "60", True), ("up", "60.5", False), ("none", None, False)],
)
def test_times_in_whole_seconds_are_known_as_such(rounding, cap, whole):
    formula = Formula("length", Fraction(5, 19), rounding, cap and Decimal(cap), None, "")
    assert Formulas("large", formula, None).stepped is whole


def test_the_wheel_is_held_against_the_length_that_the_plan_has_for_each_class():
    course, book = load_plan(sample("saltmarsh"))
    plan = {length.height: length.length_m for length in measured_lengths(course, book)}
    assert {check.height: check.plan_m for check in wheel_checks(course, book, 150.0)} == plan


def test_a_class_that_cannot_be_held_against_the_plan_is_named():
    course, rulebook = load_plan(sample("saltmarsh"))
    lengths = wheeled_lengths(course, rulebook, 150.0)
    reckoned = times(course, rulebook, lengths)
    wheel = wheel_checks(course, rulebook, 150.0)
    whole = render_times(course, lengths, reckoned, wheel=wheel, colour=False)
    part = render_times(course, lengths, reckoned, wheel=wheel[:2], colour=False)
    assert "no length for this class" not in whole
    assert "large: the plan has no length for this class to hold the wheel against\n" in part

"""A plan is what it is wherever it lies: moved, turned, mirrored, renamed, listed in another order."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import coursecheck
from coursecheck.resources import sample
from tests.plans import mirrored, moved, renamed, without

NAMES = ("saltmarsh", "granary", "meadow", "draft-with-faults")
COURSES = {name: coursecheck.load_course(sample(name)) for name in NAMES}
BOOK = coursecheck.load_rulebook("club-show")
slow = settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.too_slow])
names = pytest.mark.parametrize("name", NAMES)


def verdict(course):
    """What a judge would read: every finding with its figure to a tenth of a millimetre, and the lengths."""
    result = coursecheck.check(course, BOOK, heights=["medium"], setting_out_m=0.0)
    findings = sorted(
        (f.limit, f.outcome, f.passes, f"{f.measured:.4f}" if isinstance(f.measured, float) else str(f.measured))
        for f in result.findings
    )
    return findings, [round(length.length_m, 4) for length in result.lengths if length.length_m is not None]


@names
@given(angle=st.floats(-180, 180), shift=st.tuples(st.floats(-100, 100), st.floats(-100, 100)))
@slow
def test_moved_and_turned(name, angle, shift):
    course = COURSES[name]
    assert verdict(moved(course, angle, shift)) == verdict(course)


@names
def test_mirrored(name):
    # weave poles are left out: the first pole at the left shoulder makes a row and its mirror image two obstacles
    course = without(COURSES[name], "weaves")
    assert verdict(mirrored(course)) == verdict(course)


@names
def test_renamed(name):
    course = COURSES[name]
    others = {o.id: f"x{i}" for i, o in enumerate(reversed(course.obstacles))}
    assert verdict(renamed(course, others)) == verdict(course)


@names
def test_listed_in_another_order(name):
    course = COURSES[name]
    assert verdict(replace(course, obstacles=course.obstacles[::-1])) == verdict(course)


@names
def test_the_same_plan_gives_the_same_line_to_the_last_bit(name):
    first, second = (coursecheck.measure_course(COURSES[name], BOOK) for _ in range(2))
    assert all(first[height].line == second[height].line for height in first)

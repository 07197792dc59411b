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
slow = settings(max_examples=6, suppress_health_check=[HealthCheck.too_slow])
names = pytest.mark.parametrize("name", NAMES)


def verdict(course):
    """What a judge would read: every finding, and then its figure and the length, to a hundredth of a millimetre."""
    result = coursecheck.check(course, BOOK, heights=["medium"], setting_out_m=0.0)
    findings = sorted(
        (f.limit, f.outcome, f.passes, f.measured if isinstance(f.measured, float) else 0.0) for f in result.findings
    )
    words = [finding[:3] for finding in findings]
    figures = [finding[3] for finding in findings] + [length.length_m for length in result.lengths]
    return words, pytest.approx(figures, abs=1e-5)


def same(course, other):
    """Whether both plans get the same verdict."""
    (words, figures), (other_words, other_figures) = verdict(course), verdict(other)
    assert words == other_words
    assert figures.expected == other_figures
    return True


@names
@given(angle=st.floats(-180, 180), shift=st.tuples(st.floats(-100, 100), st.floats(-100, 100)))
@slow
def test_moved_and_turned(name, angle, shift):
    course = COURSES[name]
    assert same(course, moved(course, angle, shift))


@names
def test_mirrored(name):
    # weave poles are left out: the first pole at the left shoulder makes a row and its mirror image two obstacles
    course = without(COURSES[name], "weaves")
    assert same(course, mirrored(course))


@names
def test_renamed(name):
    course = COURSES[name]
    others = {o.id: f"x{i}" for i, o in enumerate(reversed(course.obstacles))}
    assert same(course, renamed(course, others))


@names
def test_listed_in_another_order(name):
    course = COURSES[name]
    assert same(course, replace(course, obstacles=course.obstacles[::-1]))


@names
def test_the_same_plan_gives_the_same_line_to_the_last_bit(name):
    first, second = (coursecheck.measure_course(COURSES[name], BOOK) for _ in range(2))
    assert all(first[height].line == second[height].line for height in first)

"""The samples get the verdict that a judge would give them; each seeded fault is found under its own limit."""

import pytest

import coursecheck
from coursecheck.resources import sample

# limit -> whom it is found at; the comments of the draft itself name the same faults
SEEDED = {
    "straight-approach": ("b", "c"),
    "leg-distance-max": ("t1", "f"),
    "run-out-wall": ("h",),
    "leg-distance-min": ("h", "t2"),
    "contacts-in-a-row": ("frame", "see"),
    "pole-spacing": ("poles",),
    "finish-room": ("m",),
    "inside-ring": ("x",),
    "own-ground": ("y", "z"),
    "passage-min": ("poles", "v"),
}


def check(name):
    course = coursecheck.load_course(sample(name))
    return coursecheck.check(course, coursecheck.load_rulebook(course.rulebook))


@pytest.mark.parametrize("name", ["saltmarsh", "granary", "meadow"])
def test_a_good_plan_is_legal_and_nothing_is_flagged(name):
    verdict = check(name)
    assert verdict.legal
    assert [f.message for f in verdict.findings if f.outcome in ("breach", "close", "unmeasurable")] == []


def test_every_seeded_fault_is_found_under_its_own_limit_and_nothing_else():
    breaches = [f for f in check("draft-with-faults").findings if f.outcome == "breach"]
    found = {f.limit: f.obstacles for f in breaches if f.limit != "store-enough"}
    assert found == SEEDED
    (shortage,) = (f for f in breaches if f.limit == "store-enough")
    assert shortage.measured == 1.0


def test_a_draft_with_faults_is_not_legal():
    assert not check("draft-with-faults").legal


def test_a_fault_that_small_dogs_do_not_have_is_not_held_against_them():
    near = [f for f in check("draft-with-faults").findings if f.limit == "leg-distance-min" and f.outcome == "breach"]
    assert {f.height for f in near} == {"medium", "large"}


@pytest.mark.parametrize(("name", "numbers"), [("saltmarsh", 20), ("granary", 18), ("meadow", 12)])
def test_the_samples_are_full_size(name, numbers):
    assert len(coursecheck.load_course(sample(name)).passes) == numbers

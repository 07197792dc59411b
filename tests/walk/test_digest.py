"""The digest of a walk: what is certain first, what weighs most, and what it leaves out is counted."""

import pytest

import coursecheck
from coursecheck.resources import sample
from coursecheck.walk.digest import MOST, digest_of
from coursecheck.walk.figures import load_figures
from coursecheck.walk.merging import shared_remarks
from coursecheck.walk.walking import walk, walk_scenes

NERVOUS = {
    "off-course-ahead": 60.0, "off-course-margin": 1.0, "off-course-reach": 14.0, "narrow-gap": 6.0,
    "hard-turn": 20.0, "hard-row": 1.0, "straight-angle": 5.0, "sight": 2.0,
}  # fmt: skip


@pytest.fixture(scope="module")
def nervous():
    """A walk that has more to say than a page has room for."""
    plan = coursecheck.load_plan(sample("draft-with-faults"))
    return walk(*plan, figures=load_figures().changed(NERVOUS, "a test"))


def test_it_holds_what_there_is_room_for_and_counts_the_rest(nervous):
    digest = digest_of(nervous)
    assert len(digest.firm) + len(digest.uncertain) == MOST
    assert digest.more == len(shared_remarks(nervous)) - MOST > 0


@pytest.mark.parametrize("most", [0, 1, 5, 10**6])
def test_uncertain_remarks_come_in_when_all_firm_ones_are(nervous, most):
    digest, remarks = digest_of(nervous, most), shared_remarks(nervous)
    firm = [shared for shared in remarks if not shared.uncertain]
    assert all(not shared.uncertain for shared in digest.firm)
    assert all(shared.uncertain for shared in digest.uncertain)
    assert len(digest.firm) == min(most, len(firm))
    assert len(digest.uncertain) == min(most, len(remarks)) - len(digest.firm)
    assert digest.more == max(0, len(remarks) - most)


def test_what_is_left_out_weighs_no_more_than_what_is_told(nervous):
    digest = digest_of(nervous, 3)
    told = {id(shared.remark) for shared in digest.firm}
    rest = [s for s in shared_remarks(nervous) if not s.uncertain and id(s.remark) not in told]
    assert rest
    assert max(s.remark.weight for s in rest) <= min(s.remark.weight for s in digest.firm) + 0.005


def test_what_is_told_stands_in_the_order_of_the_passes(nervous):
    for some in (digest_of(nervous).firm, digest_of(nervous).uncertain):
        legs = [shared.remark.leg for shared in some]
        assert legs == sorted(legs)


def test_a_plan_that_has_been_measured_is_walked_like_any_other():
    course, rulebook = coursecheck.load_plan(sample("meadow"))
    here, there = walk(course, rulebook), walk_scenes(course, rulebook, coursecheck.measure_course(course, rulebook))
    assert shared_remarks(here) == shared_remarks(there)

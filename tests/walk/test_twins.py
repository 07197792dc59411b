"""The walk of a whole plan says the same of its turned and of its mirrored twin.

A dog goes into the weave poles with the first pole at its left shoulder, so a mirrored plan with weave poles is
another plan: they are taken out before the samples are mirrored.
"""

import pytest

import coursecheck
from coursecheck.resources import sample
from coursecheck.walk.walking import walk
from tests.plans import mirrored, moved, without

SAMPLES = ("draft-with-faults", "granary", "meadow", "saltmarsh")
SWAP = {"left": "right", "right": "left"}


def turned(course):
    return moved(course, 37.0, (3.0, -2.0))


@pytest.fixture(scope="module", params=[(name, twin) for name in SAMPLES for twin in (turned, mirrored)])
def twins(request):
    """Every height class of a plan with its twin, and whether that is mirrored."""
    name, twin = request.param
    course, rulebook = coursecheck.load_plan(sample(name))
    course = without(course, "weaves") if twin is mirrored else course
    here, there = walk(course, rulebook), walk(twin(course), rulebook)
    return [(here.classes[height], there.classes[height], twin is mirrored) for height in here.classes]


def test_legs_are_run_alike(twins):
    for here, there, swapped in twins:
        for one, other in zip(here.legs, there.legs, strict=True):
            assert other.length_m == pytest.approx(one.length_m, abs=1e-5)
            assert other.motion.time_s == pytest.approx(one.motion.time_s, abs=1e-5)
            sides = (one.right_deg, one.left_deg) if swapped else (one.left_deg, one.right_deg)
            assert (other.left_deg, other.right_deg) == pytest.approx(sides, abs=0.01)


def test_the_next_obstacle_is_in_sight_for_as_long(twins):
    for here, there, _ in twins:
        for one, other in zip(here.sights, there.sights, strict=True):
            assert other.seen_s == pytest.approx(one.seen_s, abs=1e-3)
            assert other.whole == one.whole


def test_the_same_is_said_in_the_same_order(twins):
    for here, there, _ in twins:
        assert [signature(made) for made in there.remarks] == [signature(made) for made in here.remarks]


def signature(made):
    facts = tuple((fact.name, pytest.approx(abs(fact.value), abs=5e-3)) for fact in made.facts)
    return made.kind, made.passes, made.obstacles, facts, made.uncertain


def test_the_handling_plans_cost_the_same_and_change_sides_in_the_same_places(twins):
    for here, there, _ in twins:
        for one, other in zip(here.plans, there.plans, strict=True):
            assert other.cost == pytest.approx(one.cost, abs=1e-3)
            assert [leg.change for leg in other.legs] == [leg.change for leg in one.legs]
            short = [leg.short_s for leg in one.legs]
            assert [leg.short_s for leg in other.legs] == pytest.approx(short, abs=1e-4)


def test_a_mirrored_handler_runs_on_the_other_side(twins):
    for here, there, swapped in twins:
        for one, other in zip(here.plans, there.plans, strict=True):
            sides = [leg.end.side for leg in one.legs]
            assert [leg.end.side for leg in other.legs] == ([SWAP[side] for side in sides] if swapped else sides)

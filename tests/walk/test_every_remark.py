"""Every kind of remark comes where it must, says why, and comes alike in a turned and in a mirrored plan."""

import pytest

from coursecheck.walk.remark import KINDS
from tests.plans import mirrored, moved
from tests.walk.scenes import ANSWERS, WEAVES_LEFT, WEAVES_RIGHT


def signature(made):
    facts = tuple((fact.name, pytest.approx(abs(fact.value), abs=2e-3)) for fact in made.facts)
    return made.kind, made.passes, made.obstacles, facts, made.uncertain


@pytest.mark.parametrize("name", ANSWERS)
def test_a_scene_gives_the_remark_that_it_was_made_for(remarks, name):
    course, passes = ANSWERS[name]
    kind = name.split()[0]
    assert passes in [made.passes for made in remarks(course, kind)]


def test_every_kind_of_remark_has_a_scene():
    by_grade = {"easy-for-its-grade", "hard-for-its-grade"}  # in test_flow, since they hang on the grade
    assert {name.split()[0] for name in ANSWERS} | {"weave-entry"} | by_grade == set(KINDS)


@pytest.mark.parametrize("name", ANSWERS)
def test_a_remark_has_figures_and_a_place_and_hangs_on_figures_of_the_model(remarks, figures, name):
    for made in remarks(ANSWERS[name][0]):
        assert made.kind in KINDS
        assert made.facts
        assert made.witness.points
        assert made.hangs_on
        assert set(made.uncertain) <= set(made.hangs_on) <= set(figures.by_id)
        assert made.sentence.endswith(".")
        assert any(letter.isdigit() for letter in made.sentence)


@pytest.mark.parametrize("name", ANSWERS)
def test_a_turned_plan_gets_the_same_walk(remarks, name):
    course = ANSWERS[name][0]
    turned = moved(course, 37.0, (3.0, -2.0))
    assert [signature(made) for made in remarks(turned)] == [signature(made) for made in remarks(course)]


@pytest.mark.parametrize("name", ANSWERS)
def test_a_mirrored_plan_gets_the_same_walk_with_left_and_right_swapped(remarks, name):
    course = ANSWERS[name][0]
    here, there = remarks(course), remarks(mirrored(course))
    assert [signature(made) for made in there] == [signature(made) for made in here]
    swapped = [made.sentence.replace("left", "?").replace("right", "left").replace("?", "right") for made in here]
    assert [made.sentence for made in there] == swapped


@pytest.mark.parametrize(("course", "side"), [(WEAVES_RIGHT, "right"), (WEAVES_LEFT, "left")])
def test_a_weave_entry_tells_from_which_side_of_the_row_it_comes(remarks, course, side):
    (made,) = remarks(course, "weave-entry")
    assert f"from the {side} of the row" in made.sentence
    assert ("round the first pole" in made.sentence) == (side == "left")

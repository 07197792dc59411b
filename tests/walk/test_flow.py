"""Turning to either side, strain and difficulty: sums that can be reckoned by hand, advice by grade."""

import math
from dataclasses import replace

import pytest

from coursecheck.walk.flow import level_of
from coursecheck.walk.handler_ground import Ground
from coursecheck.walk.walking import walk_scene
from tests.plans import mirrored
from tests.walk.conftest import facts_of, plan_of, scene_of
from tests.walk.scenes import AHEAD, BACKSIDE, WRAP

ROW = plan_of(*[(f"o{i}", "jump", 0, 6 * i, 0) for i in range(5)])
ZIGZAG = plan_of(
    ("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("c", "jump", 4.5, 8, 120), ("d", "jump", 8, 4, 200),
    ("e", "jump", 5, 0, 280),
)  # fmt: skip


def test_a_straight_row_turns_nowhere_and_has_no_points(walked):
    flow = walked(ROW).flow
    assert (flow.left_deg, flow.right_deg, flow.tight_turns) == (0.0, 0.0, 0)
    assert flow.mean_points == 0.0


def test_a_tunnel_counts_with_its_bend(walked):
    course = plan_of(("a", "jump", 0, -6, 0), ("t", "tunnel", 0, 0, 0, {"length": 5.0, "bend": 90.0}))
    assert walked(course).flow.right_deg == pytest.approx(90.0)


def test_turning_adds_up_to_the_turn_between_first_and_last_direction(walked):
    for course in (AHEAD, WRAP, BACKSIDE, ZIGZAG):
        one = walked(course)
        pieces = one.scene.line.segments()
        turned = math.degrees(pieces[0].start.heading - pieces[-1].end.heading)
        rest = (one.flow.right_deg - one.flow.left_deg - turned) / 360.0
        assert rest == pytest.approx(round(rest), abs=1e-6)


def test_a_mirrored_course_turns_the_other_way(walked):
    here, there = walked(ZIGZAG).flow, walked(mirrored(ZIGZAG)).flow
    assert here.left_deg == pytest.approx(there.right_deg, abs=0.05)
    assert here.mean_points == pytest.approx(there.mean_points, abs=1e-3)


def test_points_are_the_turn_and_each_kind_of_remark_once(walked, figures):
    one = walked(BACKSIDE)
    (difficulty,) = one.flow.difficulty
    parts = dict(difficulty.parts)
    assert parts["backside"] == figures["points-backside"]
    assert parts["wrong-end"] == figures["points-wrong-end"]
    turn = one.legs[0].left_deg + one.legs[0].right_deg
    assert parts["turn"] == pytest.approx(turn / 90.0)
    assert difficulty.points == pytest.approx(sum(parts.values()))


def test_landings_with_a_hard_turn_each_add_up_to_a_strain(remarks):
    (made,) = remarks(ZIGZAG, "hard-landings", hard_turn=40.0)
    assert facts_of(made)["landings"] == len(made.passes) >= 3
    assert remarks(ROW, "hard-landings") == []


def test_a_course_that_keeps_turning_to_one_side_is_one_sided(remarks):
    tunnel = ("t", "tunnel", 0, 0, 0, {"length": 6.0, "bend": 180.0})
    made, *_ = remarks(plan_of(tunnel, ("b", "jump", 3.8, -6, 180), ("c", "jump", -1, -7, 0)), "one-sided")
    assert "to the right" in made.sentence
    assert facts_of(made)["share"] > 70.0
    assert remarks(ROW, "one-sided") == []


@pytest.mark.parametrize(
    ("grade", "grades", "level"),
    [
        ("1", ("1", "2", "3"), "first"),
        ("2", ("1", "2", "3"), "middle"),
        ("3", ("1", "2", "3"), "last"),
        ("a", ("a", "b"), "first"),
        ("b", ("a", "b"), "last"),
        ("open", ("open",), None),
        ("x", ("1", "2"), None),
    ],
)
def test_a_grade_stands_where_the_rulebook_lists_it(grade, grades, level):
    assert level_of(grade, grades) == level


def test_a_plain_row_is_easy_for_the_last_grade_and_a_backside_hard_for_the_first(figures):
    row, hard = (scene_of(course) for course in (ROW, replace(BACKSIDE, grade="1")))
    easy = walk_scene(row, Ground.of(row), figures, "last", ["fast"]).remarks
    assert [made.kind for made in easy] == ["easy-for-its-grade"]
    found = walk_scene(hard, Ground.of(hard), figures, "first").remarks
    assert "hard-for-its-grade" in [made.kind for made in found]
    assert all(made.whole for made in easy)

"""A plan can be judged from the empty ring on, whatever is put into it first."""

import pytest

from coursecheck import check, plan_from_text
from coursecheck.equipment import KINDS

PLAN = """
format = 1
[course]
title = "First steps"
rulebook = "club-show"
discipline = "agility"
grade = "1"
[ring]
size = [30.0, 40.0]
[sequence]
run = [{run}]
"""
OBSTACLE = '[[obstacle]]\nid = "{id}"\nkind = "{kind}"\nat = [{x}, 10.0]\nbearing = 90\n'


def judged(kinds, run):
    text = PLAN.format(run=", ".join(f'"{word}"' for word in run))
    text += "".join(OBSTACLE.format(id=f"o{i}", kind=kind, x=4.0 + 9.0 * i) for i, kind in enumerate(kinds))
    return check(*plan_from_text(text))


def test_an_empty_ring_is_judged_and_has_no_length():
    assert {length.length_m for length in judged([], []).lengths} == {None}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("run", [[], ["o0"]], ids=["without a number", "as number 1"])
def test_one_obstacle_alone_is_judged(kind, run):
    verdict = judged([kind], run)
    assert verdict.findings
    assert all(length.length_m is None or length.length_m > 0 for length in verdict.lengths)


def test_one_jump_alone_has_no_length_and_says_so():
    (length, *_) = judged(["jump"], ["o0"]).lengths
    assert length.length_m is None
    assert length.why_not


@pytest.mark.parametrize("kind", KINDS)
def test_two_of_a_kind_are_judged(kind):
    assert judged([kind, kind], ["o0", "o1"]).findings

"""With a memo a line comes sooner and is the same to the last bit."""

import random
from dataclasses import replace

import pytest

from coursecheck.path.memo import Memo
from coursecheck.path.runner import Runner
from tests.path.line_plans import line_of, plan, random_plan
from tests.plans import renamed


def nudged(course, rng):
    moved = rng.choice(course.obstacles)
    at = (moved.at[0] + rng.uniform(-0.3, 0.3), moved.at[1] + rng.uniform(-0.3, 0.3))
    other = replace(moved, at=at, bearing_deg=moved.bearing_deg + rng.uniform(-8, 8))
    return replace(course, obstacles=tuple(other if o is moved else o for o in course.obstacles))


@pytest.mark.parametrize("seed", range(6))
def test_a_dragged_obstacle_gives_the_line_of_a_fresh_computation(seed):
    rng = random.Random(seed)  # noqa: S311 - plans, not secrets
    course, memo = random_plan(seed, count=8, strays=4), Memo()
    line_of(course, memo=memo)
    for _ in range(4):
        course = nudged(course, rng)
        assert line_of(course, memo=memo) == line_of(course)


@pytest.mark.parametrize("seed", range(6))
def test_the_order_of_the_obstacles_in_the_file_changes_nothing(seed):
    course = random_plan(seed, count=8, wild_deg=80.0, strays=4)
    shuffled = list(course.obstacles)
    random.Random(seed).shuffle(shuffled)  # noqa: S311 - plans, not secrets
    assert line_of(replace(course, obstacles=tuple(shuffled))) == line_of(course)
    assert line_of(course) == line_of(course)


@pytest.mark.parametrize("seed", [*range(3), 95])  # in the last one a leg had a line under one set of names alone
def test_other_names_give_the_same_line(seed):
    course = random_plan(seed, strays=5)
    ids = sorted(o.id for o in course.obstacles)
    other = renamed(course, dict(zip(ids, ids[::-1], strict=True)))
    line, other = (line_of(each, Runner(1.25, 1.2, 1.2)) for each in (course, other))
    assert [leg.segments for leg in other.legs] == [leg.segments for leg in line.legs]
    assert [leg.problem is None for leg in other.legs] == [leg.problem is None for leg in line.legs]


def test_a_memo_of_another_runner_or_course_does_no_harm():
    memo = Memo()
    first, second = random_plan(1), random_plan(2)
    line_of(first, memo=memo)
    assert line_of(second, memo=memo) == line_of(second)
    assert line_of(first, memo=memo) == line_of(first)


def test_a_full_memo_begins_afresh(monkeypatch):
    monkeypatch.setattr(Memo, "CAPACITY", 3)
    memo, made = Memo(), []
    for key in (1, 2, 3, 1, 4, 1):
        assert memo.get("kind", key, lambda key=key: made.append(key) or key) == key
    assert made == [1, 2, 3, 4, 1]


def test_what_was_not_used_for_long_is_forgotten(monkeypatch):
    monkeypatch.setattr(Memo, "TURN_AFTER", 1)  # at every turn, where anything is new
    memo, made = Memo(), []

    def take(*keys):
        memo.turn()
        for key in keys:
            assert memo.get("kind", key, lambda key=key: made.append(key) or key) == key
        assert memo.many("many", keys, lambda missing: [-keys[i] for i in missing]) == [-key for key in keys]

    for keys in ((1, 2), (1, 3), (1, 4), (2, 4), (1,)):
        take(*keys)
    assert made == [1, 2, 3, 4, 2, 1]


def test_a_memo_turns_when_enough_is_new(monkeypatch):
    monkeypatch.setattr(Memo, "TURN_AFTER", 4)
    memo, made = Memo(), []
    for key in (0, 1, 2, 3, 0, 4, 5, 6, 7, 0, 8, 9, 10, 11, 1):
        memo.turn()
        memo.get("kind", key, lambda key=key: made.append(key) or key)
    assert made == [*range(12), 1]  # 0 was used all the time, 1 was not


@pytest.mark.parametrize("seed", range(3))
def test_a_memo_that_forgets_changes_no_line(seed, monkeypatch):
    monkeypatch.setattr(Memo, "TURN_AFTER", 1)
    rng = random.Random(seed)  # noqa: S311 - plans, not secrets
    course, memo = random_plan(seed, count=8, strays=4), Memo()
    for _ in range(5):
        memo.turn()
        assert line_of(course, memo=memo) == line_of(course)
        course = nudged(course, rng)


def test_a_tunnel_parts_the_course():
    before = [("a", "jump", 5, 5, 0), ("b", "jump", 6, 12, 30)]
    tunnel = ("t", "tunnel", 12, 16, 90, {"length": 4.0})
    after = [("c", "jump", 22, 18, 40), ("d", "jump", 27, 24, 0), ("e", "jump", 24, 31, -40)]
    moved = [("a", "jump", 5.3, 4.6, 5), ("b", "jump", 6.2, 12.1, 35)]
    first, other = line_of(plan(*before, tunnel, *after)), line_of(plan(*moved, tunnel, *after))
    assert first.legs[:2] != other.legs[:2]
    assert first.legs[2:] == other.legs[2:]
    assert first.passes[2:] == other.passes[2:]

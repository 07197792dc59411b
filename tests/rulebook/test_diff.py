"""What changed from one rulebook to another, and for whom."""

from __future__ import annotations

import pytest
from rulebook_texts import HEAD, LIMIT, TIME, Read

from coursecheck.plans import load_rulebook, shipped_rulebooks
from coursecheck.rulebook.diff import diff
from coursecheck.rulebook.model import Rulebook
from coursecheck.rulebook.tabulation import audience

EVERY_GRADE = (("agility", "1"), ("agility", "2"), ("jumping", "1"), ("jumping", "open"))


def both(read: Read, old: str, new: str) -> tuple[Rulebook, Rulebook]:
    return read(HEAD + old), read(HEAD + new)


def row(where: str, bound: str) -> str:
    return f'[[limit]]\nid = "spacing"\nwhere = {{ {where} }}\n{bound}\n'


def figures(change: object) -> tuple[object, ...]:
    old, new = (getattr(change, side) for side in ("old", "new"))
    return tuple(row and (row.min, row.max) for row in (old, new))


@pytest.mark.parametrize("name", shipped_rulebooks())
def test_a_rulebook_does_not_differ_from_itself(name: str) -> None:
    difference = diff(load_rulebook(name), load_rulebook(name))
    assert (difference.head, difference.limits, difference.times) == ((), (), ())


def test_another_source_or_place_changes_nothing(read: Read) -> None:
    old, new = both(read, LIMIT, "\n\n" + LIMIT.replace("common practice", "another book"))
    assert diff(old, new).limits == ()


@pytest.mark.parametrize(
    ("old", "new", "how", "heights", "expected"),
    [
        (LIMIT, LIMIT.replace("5.0", "6.0"), "changed", ("small", "large"), ((5.0, None), (6.0, None))),
        (LIMIT, LIMIT.replace("min", "max"), "changed", ("small", "large"), ((5.0, None), (None, 5.0))),
        (LIMIT, LIMIT.replace('"must"', '"should"'), "changed", ("small", "large"), ((5.0, None), (5.0, None))),
        (LIMIT, LIMIT.replace('"line"', '"centres"'), "changed", ("small", "large"), ((5.0, None), (5.0, None))),
        (LIMIT, LIMIT + row('height = "small"', "min = 4"), "changed", ("small",), ((5.0, None), (4.0, None))),
        ("", LIMIT, "added", ("small", "large"), (None, (5.0, None))),
        (LIMIT, "", "removed", ("small", "large"), ((5.0, None), None)),
    ],
)
def test_a_change_says_for_whom_and_from_what_to_what(
    read: Read, old: str, new: str, how: str, heights: tuple[str, ...], expected: tuple[object, ...]
) -> None:
    (change,) = diff(*both(read, old, new)).limits
    assert (change.name, change.how, change.grades, change.heights) == ("spacing", how, EVERY_GRADE, heights)
    assert figures(change) == expected


def test_a_row_for_some_obstacles_changes_for_those_alone(read: Read) -> None:
    (change,) = diff(*both(read, LIMIT, LIMIT + row('to = ["spread", "wall"], grade = "1"', "min = 6"))).limits
    assert change.scope == {"to": ("spread", "wall")}
    assert change.grades == (("agility", "1"), ("jumping", "1"))
    assert figures(change) == ((5.0, None), (6.0, None))


def test_the_same_said_in_other_rows_is_no_change(read: Read) -> None:
    old = LIMIT + row('height = "small"', "min = 4")
    new = LIMIT.replace("5.0", "4.0") + row('height = "large"', "min = 5")
    assert diff(*both(read, old, new)).limits == ()


def test_times_are_compared_too(read: Read) -> None:
    old, new = both(read, LIMIT + TIME, LIMIT + TIME.replace("factor = 2", "factor = 1.5"))
    (change,) = diff(old, new).times
    assert change.old is not None
    assert change.new is not None
    assert (change.old.mct.factor, change.new.mct.factor) == (2, pytest.approx(1.5))


def test_grades_that_one_of_them_alone_has_are_told_and_not_compared(read: Read) -> None:
    old = read(HEAD + LIMIT)
    new = read(HEAD.replace('["1", "open"]', '["1", "elite"]') + LIMIT.replace("5.0", "6.0"))
    difference = diff(old, new)
    assert [(change.what, change.new) for change in difference.head] == [
        ("disciplines and grades", "agility 1, 2; jumping 1, elite")
    ]
    assert difference.limits[0].grades == EVERY_GRADE[:3]


@pytest.mark.parametrize(("old", "new"), [("fci-2012", "fci-2018"), ("kc-2017", "club-show")])
def test_what_is_gone_one_way_comes_the_other_way(old: str, new: str) -> None:
    there, back = diff(load_rulebook(old), load_rulebook(new)), diff(load_rulebook(new), load_rulebook(old))
    assert {c.name for c in there.limits if c.how == "added"} == {c.name for c in back.limits if c.how == "removed"}
    assert {c.name for c in there.limits if c.how == "changed"} == {c.name for c in back.limits if c.how == "changed"}


def test_an_audience_is_all_or_a_part_of_a_rulebooks_grades_and_classes() -> None:
    book = load_rulebook("club-show")
    assert len(audience(book).grades) == 6
    assert audience(book, "jumping", "2", "small").grades == (("jumping", "2"),)
    assert audience(book, "jumping", "2", "small").heights == ("small",)
    assert audience(book, grade="99").grades == ()

"""Height classes of a rulebook file: whose runner they have, and to which class a limit of withers belongs."""

from __future__ import annotations

import math

import pytest
from rulebook_texts import HEAD, Read

from coursecheck.errors import RulebookError
from coursecheck.rulebook.withers import withers_range

OVERLAY = """\
format = 1
[rulebook]
id = "over"
title = "On top"
edition = "1"
source = "common practice, no source"
extends = "base"
"""


def test_a_class_may_run_like_one_of_the_base_under_a_name_of_its_own(read: Read) -> None:
    book = read(OVERLAY + '[[height]]\nid = "mini"\nlike = "small"\n', base=HEAD)
    (mini,) = book.heights.values()
    small = read(HEAD).heights["small"]
    assert (mini.id, mini.title, mini.withers_cm, mini.jump_cm) == ("mini", "Mini", "", ())
    assert (mini.runner, mini.pace) == (small.runner, small.pace)


def test_a_class_that_an_edition_left_out_may_come_back(read: Read) -> None:
    without = OVERLAY + '[[height]]\nid = "mini"\nlike = "small"\n'
    back = OVERLAY.replace('extends = "base"', 'extends = "without"') + '[[height]]\nid = "small"\n'
    book = read(back, base=HEAD, without=without)
    assert list(book.heights) == ["small"]
    assert book.heights["small"] == read(HEAD).heights["small"]


def test_a_class_like_none_there_is_is_refused(read: Read) -> None:
    with pytest.raises(RulebookError) as caught:
        read(OVERLAY + '[[height]]\nid = "mini"\nlike = "smal"\n', base=HEAD)
    (problem,) = caught.value.problems
    assert "height[0].like" in str(problem)
    assert 'write "small"' in str(problem)


@pytest.mark.parametrize(
    ("text", "inside", "outside"),
    [
        ("<35", (0.0, 34.999), (35.0,)),
        ("<=35", (0.0, 35.0), (35.0001,)),
        ("35-<43", (35.0, 42.999), (34.999, 43.0)),
        (">35-<=43", (35.0001, 43.0), (35.0, 43.0001)),
        ("35-<=43", (35.0, 43.0), (34.999, 43.0001)),
        (">=43", (43.0, 90.0), (42.999,)),
        (">43", (43.0001, 90.0), (43.0,)),
    ],
)
def test_a_limit_belongs_to_the_class_that_says_so(
    text: str, inside: tuple[float, ...], outside: tuple[float, ...]
) -> None:
    low, high = withers_range(text)
    assert all(low <= withers < high for withers in inside)
    assert not any(low <= withers < high for withers in outside)


def test_classes_that_share_a_limit_leave_no_gap() -> None:
    assert withers_range("<=35")[1] == withers_range(">35-<=43")[0]
    assert withers_range(">35-<=43")[1] == withers_range(">43")[0]
    assert withers_range(">43")[1] == math.inf

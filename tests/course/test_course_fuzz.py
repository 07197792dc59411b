"""Whatever is done to a course file, it is read or refused with problems: nothing else ever happens."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomlkit
from course_texts import GOOD
from hypothesis import given
from hypothesis import strategies as st
from msgspec import inspect

from coursecheck.course.document import course_file
from coursecheck.course.model import Course
from coursecheck.course.reading import parse_course
from coursecheck.course.writing import render_course
from coursecheck.equipment import KINDS
from coursecheck.errors import CourseError
from coursecheck.rulebook.document import RulebookFile

TOKENS = re.findall(r'"[^"\n]*"|[\w.+-]+|\n|[^\w\s]', GOOD)
ODD = ["nan", "inf", "-1", "0", "1e308", "1e-320", "true", "[]", "{}", '""', "[[", "]]", "''"]
WORDS = st.sampled_from([*TOKENS, *ODD])


def read_or_refused(text: str | bytes) -> Course | None:
    try:
        course = parse_course(text, "x", KINDS)
    except CourseError as error:
        told = error.problems
    else:
        told = ()
    assert all(problem.wrong and problem.line >= 0 for problem in told)
    if told:
        return None
    if isinstance(text, str):
        assert render_course(course, KINDS, text) == text
        fresh = parse_course(render_course(course, KINDS), "x", KINDS)
        assert [obstacle.id for obstacle in fresh.obstacles] == [obstacle.id for obstacle in course.obstacles]
    return course


@given(st.lists(st.tuples(st.integers(0, len(TOKENS) - 1), st.lists(WORDS, max_size=2)), min_size=1, max_size=4))
def test_any_words_in_any_places(edits):
    pieces = re.split(r'("[^"\n]*"|[\w.+-]+|\n|[^\w\s])', GOOD)
    for place, words in edits:
        pieces[2 * place + 1] = " ".join(words)
    read_or_refused("".join(pieces))


@given(st.data())
def test_any_lines_gone_doubled_or_swapped(data):
    lines = GOOD.split("\n")
    places = st.integers(0, len(lines) - 1)
    for _ in range(data.draw(st.integers(1, 4))):
        here, there = data.draw(places), data.draw(places)
        lines[here] = data.draw(st.sampled_from(["", lines[there], f"{lines[there]}\n{lines[here]}"]))
    read_or_refused("\n".join(lines))


@given(st.integers(0, len(GOOD) - 1), st.binary(max_size=4), st.integers(0, 40))
def test_any_bytes_in_any_place(place, inserted, cut):
    read_or_refused(GOOD.encode()[:place] + inserted + GOOD.encode()[place + cut :])


VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**70), 2**70)
    | st.floats()
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=10)
    | st.dates(),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text("ab-", min_size=1, max_size=3), inner, max_size=3)
    ),
    max_leaves=8,
)


def places_in(raw: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    yield path
    keys = raw.items() if isinstance(raw, dict) else enumerate(raw) if isinstance(raw, list) else ()
    for key, value in keys:
        yield from places_in(value, (*path, key))


PLACES = [place for place in places_in(tomllib.loads(GOOD)) if place]


def put(raw: Any, place: tuple[str | int, ...], value: Any) -> None:
    """Puts a value in its place, unless an edit before it took the place away."""
    first, *rest = place
    there = first in raw if isinstance(raw, dict) else isinstance(raw, list) and first in range(len(raw))
    if there and rest:
        put(raw[first], tuple(rest), value)
    elif there:
        raw[first] = value


@given(st.lists(st.tuples(st.sampled_from(PLACES), VALUES), min_size=1, max_size=3))
def test_any_value_in_the_place_of_any_other(edits):
    raw = tomllib.loads(GOOD)
    for place, value in edits:
        put(raw, place, value)
    read_or_refused(tomlkit.dumps(_without_none(raw)))


def _without_none(raw: Any) -> Any:
    if isinstance(raw, dict):
        return {key: _without_none(value) for key, value in raw.items() if value is not None}
    return [_without_none(value) for value in raw if value is not None] if isinstance(raw, list) else raw


def unions_in(node: Any, seen: set[type]) -> Iterator[inspect.UnionType]:
    if isinstance(node, inspect.StructType):
        if node.cls in seen:
            return
        seen.add(node.cls)
        for item in node.fields:
            yield from unions_in(item.type, seen)
    if isinstance(node, inspect.UnionType):
        yield node
    for inner in (*getattr(node, "types", ()), *getattr(node, "item_types", ())):
        yield from unions_in(inner, seen)
    for name in ("type", "item_type", "value_type"):
        if isinstance(getattr(node, name, None), inspect.Type):
            yield from unions_in(getattr(node, name), seen)


def crashes(union: inspect.UnionType) -> bool:
    """Whether msgspec (0.19 to 0.22) ends in a segmentation fault at garbage collection because of this union."""
    choices = [choice.type if isinstance(choice, inspect.Metadata) else choice for choice in union.types]
    texts = [choice for choice in choices if isinstance(choice, inspect.StrType)]
    return any(text.pattern for text in texts) and any(isinstance(choice, inspect.ListType) for choice in choices)


@pytest.mark.parametrize("file", [course_file(KINDS), RulebookFile])
def test_no_definition_crashes_the_interpreter(file):
    unions = list(unions_in(inspect.type_info(file), set()))
    assert unions
    assert not any(crashes(union) for union in unions)

"""A plan of the page is read the same, whatever was read before it."""

import copy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursecheck import load_plan
from coursecheck.board.tables import Library, page_tables
from coursecheck.errors import CourseError
from coursecheck.resources import sample

PLAN, _ = load_plan(sample("saltmarsh"))
TABLES = page_tables(PLAN)
LIBRARY = Library(sample("saltmarsh").parent)

edits = st.lists(
    st.tuples(
        st.integers(0, len(TABLES["obstacle"]) - 1),
        st.sampled_from(["at", "bearing", "id", "bar", "kind", "length"]),
        st.sampled_from([[1.0, 2.0], [3, 4.5], [1.0], 30.0, 1e9, "a", "b", "jump", -1, None]),
    ),
    max_size=3,
)


def read(library, tables):
    """What comes of reading: the course, or the words of every problem."""
    try:
        return library.course(tables)[0]
    except CourseError as error:
        return [(problem.path, problem.wrong) for problem in error.problems]


@given(edits=edits, run=st.sampled_from([None, ["a", "b reverse"], ["nobody"]]))
def test_what_was_read_before_changes_nothing(edits, run):
    tables = copy.deepcopy(TABLES)
    for place, key, value in edits:
        tables["obstacle"][place][key] = value
    if run is not None:
        tables["sequence"]["run"] = run
    fresh = read(Library(sample("saltmarsh").parent), tables)
    assert read(LIBRARY, tables) == fresh
    assert read(LIBRARY, copy.deepcopy(tables)) == fresh


@pytest.mark.parametrize("obstacles", [[], [7], [{}], None, "jump"])
def test_obstacles_that_are_none_are_told(obstacles):
    LIBRARY.course(TABLES)
    tables = {**TABLES, "obstacle": obstacles}
    assert isinstance(read(LIBRARY, tables), list)

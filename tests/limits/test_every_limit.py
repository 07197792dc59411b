"""Every row of every rulebook that ships: good, bad, exactly at the bound, and not applicable."""

import pytest

import coursecheck
from coursecheck.measures import MEASURES, Value
from coursecheck.rulebook.resolve import resolve
from coursecheck.verdict.compare import compare

BOOKS = {name: coursecheck.load_rulebook(name) for name in coursecheck.shipped_rulebooks()}
# the rows of a base are tested with the base itself: an overlay may replace them altogether
ROWS = [
    pytest.param(book, row, id=f"{name}:{row.id}:{row.place.line}")
    for name, book in BOOKS.items()
    for row in book.limits
    if row.place.rulebook == book.id or name == "club-show"
]
NUMBERS = [row for row in ROWS if not (row.values[1].required or row.values[1].forbidden)]
KINDS = [row for row in ROWS if row.values[1].required or row.values[1].forbidden]


def subject(row):
    """A subject that the row speaks of: one value of each of its selectors."""
    return {facet: words[0] for facet, words in row.where.items()}


def outcome(measured, row):
    return compare(Value(measured), row, MEASURES[row.measure], setting_out_m=0.05, units="m").outcome


def applies(book, row, facets):
    return resolve([other for other in book.limits if other.id == row.id], [facets]).row is row


@pytest.mark.parametrize(("book", "row"), NUMBERS)
def test_numbers_are_met_at_the_bound_and_broken_just_beyond_it(book, row):
    step = 1.0 if MEASURES[row.measure].unit_of(row.metric) == "count" else 0.001
    for low in (bound for bound in (row.min, row.equals) if bound is not None):
        assert outcome(low, row) == "met"
        assert outcome(low - step, row) == "breach"
    for high in (bound for bound in (row.max, row.equals) if bound is not None):
        assert outcome(high, row) == "met"
        assert outcome(high + step, row) == "breach"


@pytest.mark.parametrize(("book", "row"), NUMBERS)
def test_good_numbers_lie_well_within(book, row):
    low = row.equals if row.min is None else row.min
    high = row.equals if row.max is None else row.max
    good = (low if high is None else high if low is None else (low + high) / 2) + 0.0
    assert outcome(good, row) == "met"


@pytest.mark.parametrize(("book", "row"), KINDS)
def test_kinds_are_allowed_or_not(book, row):
    for kind in row.required:
        assert outcome(kind, row) == "met"
    for kind in row.forbidden:
        assert outcome(kind, row) == "breach"
    if row.required:
        assert outcome("none of these", row) == "breach"


@pytest.mark.parametrize(("book", "row"), ROWS)
def test_a_row_can_be_reached(book, row):
    assert applies(book, row, subject(row)), "another row always goes before this one"


@pytest.mark.parametrize(("book", "row"), [row for row in ROWS if row.values[1].where])
def test_a_row_leaves_alone_what_it_does_not_speak_of(book, row):
    for facet in row.where:
        other = {**subject(row), facet: "something else"}
        assert not applies(book, row, other)


@pytest.mark.parametrize(("book", "row"), ROWS)
def test_a_row_says_what_it_is_for_and_where_it_comes_from(book, row):
    assert row.about
    assert row.source
    assert row.basis in ("text", "summary", "practice", "memory")
    assert not (row.basis == "memory" and row.severity == "must")

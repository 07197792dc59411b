"""What was not read for an edition or a body, but for the one that it follows, is advice there and says so.

The source of each figure, for the edition for which it was read, stands beside the test.
"""

from __future__ import annotations

import pytest

from coursecheck.rulebook.resolve import resolve
from tests.bounds import shipped

JUMPS = {"from": "jump", "to": "jump", "turn": "straight"}


# Clean Run, February 2016, p. 50; blog.magicagoldens.com/2011/12 (wings, from 2012 on); later summaries of Standard
@pytest.mark.parametrize(
    ("limit", "facets"),
    [
        ("leg-distance-min", JUMPS),
        ("last-to-gate", {}),
        ("finish-room", {}),
        ("wing-width", {"kind": "jump"}),
        ("numbers", {"discipline": "standard", "grade": "novice"}),
    ],
)
def test_a_figure_of_later_years_is_advice_before_september_2010(limit: str, facets: dict[str, str]) -> None:
    row, later = (
        resolve([row for row in shipped(book).limits if row.id == limit], [facets]).row
        for book in ("akc-2006", "akc-2016")
    )
    assert row is not None
    assert later is not None
    assert (row.min, row.max) == (later.min, later.max)
    assert (row.basis, later.basis, later.severity) == ("memory", "summary", "must")


# Clean Run, February 2016, p. 50, of Standard and Jumpers With Weaves; Premier has the usual distances by Clean Run,
# November 2016, p. 40
@pytest.mark.parametrize(
    ("book", "severity", "basis"),
    [
        ("akc-2016", "must", "summary"),
        ("akc-premier-2016", "must", "summary"),
        ("akc-t2b-2011", "should", "memory"),
        ("akc-act-2018", "should", "memory"),
    ],
)
def test_the_usual_distances_are_advice_where_they_were_not_read(book: str, severity: str, basis: str) -> None:
    for limit in ("leg-distance-min", "last-to-gate", "finish-room"):
        row = [row for row in shipped(book).limits if row.id == limit][-1]
        assert (row.severity, row.basis) == (severity, basis), limit


# dgi.dk/hundesport and czechopen.grantagility.com/en_pravidla.htm: neither says which of the FCI's figures hold there
@pytest.mark.parametrize(
    ("book", "limits"),
    [
        ("dgi", ("ring-short-side", "ring-long-side", "course-length", "jumps-min", "leg-distance-max")),
        (
            "czech-open",
            ("no-table", "a-frame-in-agility", "dog-walk-in-agility", "seesaw-in-agility", "seesaw-plank"),
        ),
    ],
)
def test_what_was_read_of_another_body_alone_is_advice(book: str, limits: tuple[str, ...]) -> None:
    for name in limits:
        row = [row for row in shipped(book).limits if row.id == name][-1]
        assert (row.place.rulebook, row.severity, row.basis) == (book, "should", "memory"), name


# just-agility.blogspot.com/2011/12: the tyre once; dgi.dk/hundesport: an obstacle may be used again
def test_a_second_tyre_is_no_fault_where_obstacles_may_be_used_again() -> None:
    rows = {book: [row for row in shipped(book).limits if row.id == "tyre-once"][-1] for book in ("fci-2012", "dgi")}
    assert {book: row.severity for book, row in rows.items()} == {"fci-2012": "must", "dgi": "note"}


# just-agility.blogspot.com/2011/12: spread, long jump and tyre, from the previous obstacle; dgi.dk/hundesport, page
# on courses: tyre and long jump, from the landing
@pytest.mark.parametrize(
    ("book", "kind", "severity", "metric"),
    [
        ("fci-2012", "spread", "should", "centres"),
        ("dgi", "spread", "note", "centres"),
        ("dgi", "tyre", "should", "line"),
        ("dgi", "long-jump", "should", "line"),
        ("dgi", "wall", None, None),
    ],
)
def test_a_straight_approach_to_what_the_danish_page_names(
    book: str, kind: str, severity: str | None, metric: str | None
) -> None:
    row = resolve([row for row in shipped(book).limits if row.id == "straight-approach"], [{"kind": kind}]).row
    assert (row and row.severity, row and row.metric) == (severity, metric)


# Accounts of the edition of 2023 give no sizes: what was a bound in 2018 is no more than advice from memory.
def test_no_size_of_2018_is_a_bound_in_2023() -> None:
    book = shipped("fci-2023")
    for name in {row.id for row in book.limits if row.measure == "equipment-size"}:
        for height in book.heights:
            facets = [{"kind": row.where["kind"][0], "height": height} for row in book.limits if row.id == name]
            row = resolve([row for row in book.limits if row.id == name], facets[:1]).row
            assert row is None or (row.severity, row.basis) == ("should", "memory"), (name, height)


# dgi.dk/hundesport, page on obstacles: A-frame and tunnel as in FCI 2012; no other size was read there.
def test_the_sizes_of_another_body_are_advice_but_for_those_that_its_page_has() -> None:
    sizes = [row for row in shipped("dgi").limits if row.measure == "equipment-size"]
    last = {(row.id, str(row.where)): row for row in sizes}
    musts = {row.where["kind"][0] for row in last.values() if row.severity == "must"}
    assert musts == {"a-frame", "tunnel"}

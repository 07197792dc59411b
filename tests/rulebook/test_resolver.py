"""Of the rows of one limit the last that fits decides, and the resolver can say why."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rulebook_texts import HEAD, LIMIT, Read
from rulebook_texts import limit_row as row

from coursecheck.rulebook.model import EquipmentSize, Limit, Place
from coursecheck.rulebook.resolve import resolve, shortlist, size_of

ALL = row(1, {})
SMALL = row(2, {"height": ("small",)}, bound=4.0)
TO_SPREAD = row(3, {"height": ("medium", "large"), "to": ("spread", "tyre")}, bound=6.0)
CLUB = row(9, {"height": ("small",)}, bound=4.5, book="club", reason="small hall")


@pytest.mark.parametrize(
    ("rows", "facets", "line"),
    [
        ((ALL,), {}, 1),
        ((ALL,), {"height": "small"}, 1),
        ((ALL, SMALL), {"height": "small"}, 2),
        ((ALL, SMALL), {"height": "large"}, 1),
        ((SMALL, ALL), {"height": "small"}, 1),
        ((ALL, SMALL, TO_SPREAD), {"height": "large", "to": "tyre"}, 3),
        ((ALL, SMALL, TO_SPREAD), {"height": "large", "to": "jump"}, 1),
        ((ALL, SMALL, TO_SPREAD, CLUB), {"height": "small", "to": "tyre"}, 9),
        ((SMALL,), {"height": "large"}, None),
        ((SMALL,), {}, None),
        ((TO_SPREAD,), {"height": "large"}, None),
        ((), {"height": "large"}, None),
    ],
)
def test_the_last_row_that_fits_decides(rows: tuple[Limit, ...], facets: dict[str, str], line: int | None) -> None:
    chosen = resolve(rows, [facets]).row
    assert (None if chosen is None else chosen.place.line) == line


def test_a_pair_fits_when_either_side_of_it_fits_as_a_whole() -> None:
    tunnel_by_jump = row(4, {"from": ("tunnel",), "to": ("jump",)})
    pair = [{"from": "jump", "to": "tunnel"}, {"from": "tunnel", "to": "jump"}]
    assert resolve([tunnel_by_jump], pair).row is tunnel_by_jump
    assert resolve([row(4, {"from": ("tunnel",), "to": ("tunnel",)})], pair).row is None


def test_nothing_to_apply_to_fits_no_row() -> None:
    assert resolve([ALL], [], explain=True).row is None


def test_the_trace_is_made_only_when_asked_for() -> None:
    assert resolve([ALL], [{}]).trace == ()


def test_the_trace_says_of_each_row_why_it_fits_or_not_and_what_goes_before_what() -> None:
    trace = resolve([ALL, SMALL, TO_SPREAD, CLUB], [{"height": "small", "to": "tyre"}], explain=True).trace
    assert trace == (
        "base line 1 (must, min 5) fits, for all, but club line 9 goes before it: small hall",
        "base line 2 (must, min 4) fits, for height small, but club line 9 goes before it: small hall",
        "base line 3 (must, min 6) does not apply: height is small, not medium or large",
        "club line 9 (must, min 4.5) applies, for height small; small hall",
    )


def test_the_trace_names_a_facet_that_the_subject_lacks() -> None:
    (line,) = resolve([TO_SPREAD], [{"height": "large"}], explain=True).trace
    assert line.endswith("does not apply: there is no to to be spread or tyre")


def test_the_trace_takes_the_way_to_see_a_pair_that_comes_nearest() -> None:
    pair = [{"from": "jump", "to": "wall"}, {"from": "wall", "to": "tunnel"}]
    (line,) = resolve([row(4, {"from": ("wall",), "to": ("spread",)})], pair, explain=True).trace
    assert line.endswith("does not apply: to is tunnel, not spread")


FACETS = st.fixed_dictionaries(
    {"height": st.sampled_from(["small", "medium", "large"])}, optional={"to": st.sampled_from(["jump", "spread"])}
)
ROWS = st.lists(
    st.builds(
        row,
        st.integers(1, 99),
        st.dictionaries(
            st.sampled_from(["height", "to"]),
            st.lists(st.sampled_from(["small", "medium", "large", "jump", "spread"]), min_size=1).map(tuple),
        ),
    )
)


@given(rows=ROWS, facets=FACETS)
def test_deciding_and_explaining_never_part(rows: list[Limit], facets: dict[str, str]) -> None:
    decided, explained = resolve(rows, [facets]), resolve(rows, [facets], explain=True)
    assert explained.row is decided.row
    assert len(explained.trace) == len(rows)
    applying = [row for row, line in zip(rows, explained.trace, strict=True) if " applies, " in line]
    assert all(row is decided.row for row in applying)
    assert bool(applying) == (decided.row is not None)


@given(rows=ROWS, facets=FACETS)
def test_a_row_that_does_not_fit_changes_nothing(rows: list[Limit], facets: dict[str, str]) -> None:
    misfit = row(100, {"height": ("nobody",)})
    assert resolve([*rows, misfit], [facets]).row is resolve(rows, [facets]).row


@given(rows=ROWS, height=st.sampled_from(["small", "large"]), to=st.lists(st.sampled_from(["jump", "spread", ""])))
def test_a_shortlist_chooses_what_the_whole_list_chooses(rows: list[Limit], height: str, to: list[str]) -> None:
    ways = [{"to": kind} if kind else {} for kind in to]
    plan = {"height": height}
    assert shortlist(rows, plan).choose(ways) is resolve(rows, [plan | way for way in ways]).row


def test_equipment_sizes_go_by_height_class_and_the_last_row_wins(read: Read) -> None:
    rows = "".join(
        f'[[equipment]]\nkind = "spread"\nsize = "{size}"\nvalue = {value}\nwhere = {where}\n'
        'basis = "practice"\nsource = "none"\n'
        for size, value, where in (
            ("depth", 0.5, "{}"),
            ("depth", 0.3, '{ height = "small" }'),
            ("depth", 0.25, '{ height = "small", grade = "1" }'),
            ("bar", 1.4, '{ height = "large" }'),
        )
    )
    book = read(HEAD + LIMIT + rows)
    assert size_of(book, "spread", "depth", {"height": "large", "grade": "1"}) == 0.5
    assert size_of(book, "spread", "depth", {"height": "small", "grade": "2"}) == 0.3
    assert size_of(book, "spread", "depth", {"height": "small", "grade": "1"}) == 0.25
    assert size_of(book, "spread", "bar", {"height": "large"}) == 1.4
    assert size_of(book, "spread", "bar", {"height": "small"}) is None
    assert size_of(book, "tyre", "aperture", {"height": "small"}) is None


def test_a_size_that_goes_before_another_says_why() -> None:
    base = EquipmentSize(
        "spread", "depth", 0.5, {}, "practice", "", Place("base", "base.toml", "limit[0]", {"limit[0]": 3})
    )
    club = EquipmentSize(
        "spread",
        "depth",
        0.4,
        {},
        "practice",
        "",
        Place("club", "club.toml", "limit[0]", {"limit[0]": 7}),
        "old bars",
    )
    assert resolve([base, club], [{}], explain=True).trace == (
        "base line 3 fits, for all, but club line 7 goes before it: old bars",
        "club line 7 applies, for all; old bars",
    )

"""A rulebook that can be read may still not say what it seems to; the lint tells."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rulebook_texts import HEAD, LIMIT, TIME, Read, limit_row

from coursecheck.equipment import KINDS
from coursecheck.measures import MEASURES
from coursecheck.plans import load_rulebook, shipped_rulebooks
from coursecheck.rulebook.lint import Remark, lint
from coursecheck.rulebook.resolve import resolve
from coursecheck.rulebook.subjects import domain_of, subjects
from tests.pseudo import readable, speaking_pseudo

PARTIAL = 'missing = ["times"]\n'
START = HEAD.replace("[disciplines]", f"{PARTIAL}[disciplines]") + LIMIT
ADDED = START.count("\n") + 1
FIRST = ADDED - LIMIT.count("\n")


def remarks(read: Read, text: str, **others: str) -> tuple[Remark, ...]:
    return lint(read(text, **others), MEASURES, KINDS)


def row(where: str, bound: str = "min = 4.0", name: str = "spacing") -> str:
    return f'[[limit]]\nid = "{name}"\nwhere = {{ {where} }}\n{bound}\n'


def approach(where: str) -> str:
    text = (
        LIMIT.replace('"spacing"', '"slant"')
        .replace("leg-distance", "approach-angle")
        .replace("min = 5.0", "max = 30")
    )
    return f"{text}where = {{ {where} }}\n"


@pytest.mark.parametrize("name", ["base", *shipped_rulebooks()])
def test_nothing_is_to_be_said_against_what_ships(name: str) -> None:
    assert [str(remark) for remark in lint(load_rulebook(name), MEASURES, KINDS)] == []


def test_a_sound_rulebook_gets_no_remark(read: Read) -> None:
    assert remarks(read, START + row('height = "small"') + row('height = "small", to = "spread"', "min = 4.5")) == ()


@pytest.mark.parametrize(
    ("rows", "lines"),
    [
        (row('height = "small"') + row('height = ["small", "large"]', "min = 6.0"), [FIRST, ADDED]),
        (row('to = "spread"') + row("", "min = 6.0"), [FIRST, ADDED]),
        (row('height = "small"') + row('height = "small"', "min = 6.0"), [ADDED]),
        (row('discipline = "jumping", grade = "open"') + row('grade = "open"', "min = 6.0"), [ADDED]),
        (row('turn = "back"') + row('turn = ["back", "side"]', "min = 6.0"), [ADDED]),
        (row('height = "small"') + row('height = "large"', "min = 6.0"), [FIRST]),
        (row('discipline = "agility"') + row('discipline = "jumping"', "min = 6.0"), [FIRST]),
        (row('grade = ["1", "2"]') + row('grade = "open"', "min = 6.0"), [FIRST]),
    ],
)
def test_a_row_that_later_ones_always_go_before_is_an_error(read: Read, rows: str, lines: list[int]) -> None:
    found = remarks(read, START + rows)
    assert [remark.problem.line for remark in found] == lines
    assert all(remark.gravity == "error" and "never applies" in remark.problem.wrong for remark in found)


def test_a_time_or_a_size_that_never_holds_is_an_error_too(read: Read) -> None:
    size = '[[equipment]]\nkind = "jump"\nsize = "bar"\nvalue = 1.3\nbasis = "practice"\nsource = "none"\n'
    found = remarks(read, START + TIME.replace("[[time]]", '[[time]]\nwhere = { grade = "1" }') + TIME + size + size)
    assert [(remark.gravity, remark.problem.path) for remark in found] == [
        ("error", "time"),
        ("error", "equipment jump bar"),
    ]


def test_a_row_that_covers_the_others_together_leaves_one_word_alone(read: Read) -> None:
    assert remarks(read, START + row('height = "small"')) == ()


@pytest.mark.parametrize(
    ("rows", "count"),
    [
        (row('height = "small"') + row('to = "spread"', "min = 6.0"), 1),
        (row('height = "small"') + row('to = "spread"'), 0),
        (row('height = "small"') + row('height = "large", to = "spread"', "min = 6.0"), 0),
        (
            row('height = "small"')
            + row('to = "spread"', "min = 6.0")
            + row('height = "small", to = "spread"', "min = 5.0"),
            0,
        ),
    ],
)
def test_rows_in_no_clear_order_are_a_warning_until_a_row_names_both(read: Read, rows: str, count: int) -> None:
    found = remarks(read, START + rows)
    assert [remark.gravity for remark in found] == ["warning"] * count
    assert all("only its place decides" in remark.problem.wrong for remark in found)


@pytest.mark.parametrize(
    ("where", "gravity"),
    [('kind = "table"', "error"), ('kind = ["table", "jump"]', "warning"), ('pass = "first"', "error")],
)
def test_what_a_measure_never_has_a_value_for_is_told(read: Read, where: str, gravity: str) -> None:
    (remark,) = remarks(read, START + approach(where))
    assert (remark.gravity, remark.problem.path) == (gravity, "limit slant")
    assert "approach-angle never has a value" in remark.problem.wrong


@pytest.mark.parametrize(("most", "count"), [("4.9", 1), ("5.0", 0)])
def test_a_least_above_a_greatest_value_in_another_limit_is_a_warning(read: Read, most: str, count: int) -> None:
    text = LIMIT.replace('"spacing"', '"spacing-max"').replace("min = 5.0", f"max = {most}")
    found = remarks(read, START + text + 'where = { to = "wall" }\n')
    assert len(found) == count
    assert all("no plan can keep both" in remark.problem.wrong for remark in found)


@pytest.mark.parametrize(
    ("coverage", "wrong"),
    [
        ('coverage = "full"\nmissing = ["times"]', "1 topic is missing"),
        ('coverage = "partial"', "no topic is missing"),
    ],
)
def test_coverage_and_missing_topics_agree(read: Read, coverage: str, wrong: str) -> None:
    (remark,) = remarks(read, START.replace(PARTIAL, f"{coverage}\n"))
    assert remark.gravity == "warning"
    assert wrong in remark.problem.wrong


def test_the_rows_of_a_base_are_the_bases_own(read: Read) -> None:
    faulty = START + row('to = "spread"') + row("", "min = 6.0")
    overlay = '\nformat = 1\n[rulebook]\nid = "own"\ntitle = "Own"\nedition = "1"\nextends = "club"\nsource = "we"\n'
    assert remarks(read, overlay, club=faulty) == ()


FULL = START.replace(PARTIAL, 'coverage = "full"\nmissing = ["times"]\n')
REMARKED = [FULL + row('to = "spread"') + row("", "min = 6.0"), START + approach('kind = "table"')]
REMARKED += [START + row('height = "small"') + row('to = "spread"', "min = 6.0"), START.replace(PARTIAL, "")]
REMARKED += [START + LIMIT.replace('"spacing"', '"spacing-max"').replace("min = 5.0", "max = 4.0")]


@pytest.mark.parametrize("text", REMARKED)
def test_a_remark_speaks_the_language_of_the_reader(read: Read, text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with speaking_pseudo(monkeypatch):
        found = remarks(read, text)
        told = "\n".join(str(remark) for remark in found)
    assert found
    assert readable(told, [text, found[0].problem.file, "limit rulebook coverage missing partial"]) == set()


WORDS = {"height": ["small", "large"], "to": ["jump", "spread"], "turn": ["back"], "grade": ["1", "open"]}
WHERES = st.fixed_dictionaries(
    {},
    optional={facet: st.lists(st.sampled_from(w), min_size=1, unique=True).map(tuple) for facet, w in WORDS.items()},
)


@given(wheres=st.lists(WHERES, min_size=1, max_size=4), data=st.data())
def test_the_subjects_tried_stand_for_every_subject_there_is(
    wheres: list[dict[str, tuple[str, ...]]], data: st.DataObject
) -> None:
    book = load_rulebook("base")
    rows = [limit_row(line, where) for line, where in enumerate(wheres)]
    domain = domain_of([MEASURES["leg-distance"]], KINDS)
    facets = {facet: data.draw(st.sampled_from(words)) for facet, words in domain.items()}
    facets["height"] = data.draw(st.sampled_from(list(book.heights)))
    facets["discipline"] = data.draw(st.sampled_from(list(book.disciplines)))
    facets["grade"] = data.draw(st.sampled_from(book.disciplines[facets["discipline"]]))
    fits = [resolve([row], [facets]).row is not None for row in rows]
    assert fits in [
        [resolve([row], [tried]).row is not None for row in rows] for tried in subjects(book, rows, domain)
    ]

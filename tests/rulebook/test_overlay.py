"""A club's own rulebook is started from a file that loads as it is and shows what may be changed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coursecheck.equipment import KINDS
from coursecheck.language import LANGUAGES, speaking
from coursecheck.measures import MEASURES
from coursecheck.plans import load_rulebook, shipped_rulebooks
from coursecheck.rulebook.diff import diff
from coursecheck.rulebook.document import rulebook_schema
from coursecheck.rulebook.lint import lint
from coursecheck.rulebook.overlay import overlay_text
from coursecheck.rulebook.vocabulary import TURNS
from tests.pseudo import readable, speaking_pseudo, words_of_schema

NAMES = ["base", *shipped_rulebooks()]


def start(base: str, folder: Path, *, examples: bool) -> str:
    """A new overlay, written; with the examples uncommented or not."""
    text = overlay_text(load_rulebook(base), MEASURES, extends=base, name="our-own", title='Our "own" rules')
    (folder / "own.toml").write_text(re.sub(r"(?m)^#(?! |$)", "", text) if examples else text, encoding="utf-8")
    return text


@pytest.mark.parametrize("base", NAMES)
def test_it_loads_as_it_is_and_changes_nothing_yet(base: str, tmp_path: Path) -> None:
    start(base, tmp_path, examples=False)
    book = load_rulebook("own.toml", tmp_path)
    assert (book.id, book.title) == ("our-own", 'Our "own" rules')
    assert lint(book, MEASURES, KINDS) == ()
    difference = diff(load_rulebook(base), book)
    assert (difference.limits, difference.times) == ((), ())


@pytest.mark.parametrize("base", NAMES)
def test_its_examples_hold_once_they_are_uncommented(base: str, tmp_path: Path) -> None:
    start(base, tmp_path, examples=True)
    book = load_rulebook("own.toml", tmp_path)
    assert [remark for remark in lint(book, MEASURES, KINDS) if remark.gravity == "error"] == []
    own = [row for row in book.limits if row.place.rulebook == "our-own"]
    assert [row.id for row in own if row.id == "our-tunnels-max"]
    assert [row.reason for row in own if row.reason] == ["why we do it differently"]
    assert [size.kind for size in book.sizes if size.place.rulebook == "our-own"] == ["tunnel"]


@pytest.mark.parametrize("code", LANGUAGES)
def test_it_loads_and_its_examples_hold_in_every_language(code: str, tmp_path: Path) -> None:
    for examples in (False, True):
        with speaking(code):
            start("club-show", tmp_path, examples=examples)
        assert load_rulebook("own.toml", tmp_path).id == "our-own"


@pytest.mark.parametrize("base", ["club-show", "akc-2016"])
def test_its_comments_are_in_the_language_of_the_reader(
    base: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = load_rulebook(base)
    codes = [*words_of_schema(rulebook_schema()), *KINDS, *MEASURES, *book.heights, *book.disciplines, *TURNS]
    codes += [metric for measure in MEASURES.values() for metric in measure.metrics]
    codes += [*(row.id for row in book.limits), *(grade for grades in book.disciplines.values() for grade in grades)]
    codes += [word for row in book.limits for words in row.where.values() for word in words]
    with speaking_pseudo(monkeypatch):
        text = start(base, tmp_path, examples=False)
    assert "жж" in text
    assert readable(text, [*codes, base, 'our-own Our "own" rules', "our-tunnels-max"]) == set()


@pytest.mark.parametrize("base", NAMES)
def test_it_names_every_limit_of_its_base(base: str, tmp_path: Path) -> None:
    text = start(base, tmp_path, examples=False)
    assert all(f"# {row.id}: " in text for row in load_rulebook(base).limits)


def test_the_example_of_a_base_in_feet_is_in_feet_and_asks_the_same(tmp_path: Path) -> None:
    in_feet = [name for name in NAMES if load_rulebook(name).units == "ft"]
    assert in_feet
    for base in in_feet:
        text = start(base, tmp_path, examples=True)
        assert 'units = "ft"' in text
        book = load_rulebook("own.toml", tmp_path)
        changed = next(row for row in book.limits if row.reason and row.place.rulebook == "our-own")
        bounds = [(row.min, row.max) for row in load_rulebook(base).limits if row.id == changed.id]
        assert any(
            (changed.min, changed.max) == tuple(b if b is None else pytest.approx(b, rel=1e-5) for b in pair)
            for pair in bounds
        )

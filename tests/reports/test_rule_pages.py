"""Every limit of every rulebook that ships has a page with all its parts, and the pages hold together."""

import re

import pytest
from click.testing import CliRunner
from pages import Page

from coursecheck.cli import main
from coursecheck.plans import load_rulebook, shipped_rulebooks
from coursecheck.reports.rule_pages import Studio, limit_page, render_index, render_rulebook
from coursecheck.reports.rulebook_tables import limit_entries
from coursecheck.rulebook.tabulation import audience

NAMES = ["base", *shipped_rulebooks()]


@pytest.fixture(scope="session")
def studio():
    return Studio()


@pytest.mark.parametrize("name", NAMES)
def test_no_part_of_a_page_is_missing(name, studio):
    book = load_rulebook(name)
    for limit in dict.fromkeys(row.id for row in book.limits):
        page = limit_page(book, limit, studio)
        if page is None:
            assert not list(limit_entries(book, limit, audience(book))), limit
            continue
        for part in ("title", "purpose", "measure", "metrics", "setting", "values", "rows"):
            assert getattr(page, part), (limit, part)
        assert all(sentence for _, sentence in page.metrics), limit
        assert [picture.outcome for picture in page.pictures] == ["met", "breach"], limit
        assert all(picture.caption and picture.svg.startswith("<svg") for picture in page.pictures), limit
        assert all(row.source and row.basis and row.asks and row.clause for row in page.rows), limit


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """The pages of two rulebooks, written."""
    folder = tmp_path_factory.mktemp("docs")
    shown = CliRunner().invoke(main, ["docs", "-o", str(folder), "base", "club-show"])
    assert shown.exit_code == 0, shown.output
    return folder


def files(folder):
    return sorted(folder.rglob("*.html"))


def test_there_is_a_page_for_each_limit_and_an_index_for_each_rulebook(written):
    for name in ("base", "club-show"):
        ids = {row.id for row in load_rulebook(name).limits}
        expected = {f"limit-{limit}.html" for limit in ids} | {"index.html"}
        assert {path.name for path in (written / name).iterdir()} == expected
    assert (written / "index.html").exists()


def test_every_link_leads_to_a_page_that_is_there(written):
    for path in files(written):
        for link in Page(path.read_text()).find("a"):
            target, _, place = link.attrs["href"].partition("#")
            assert (path.parent / target).resolve().is_file(), (path.name, link.attrs["href"])
            assert not place


def test_every_page_can_be_reached_from_the_first(written):
    seen, open_ = set(), [written / "index.html"]
    while open_:
        path = open_.pop().resolve()
        if path not in seen:
            seen.add(path)
            open_ += [path.parent / link.attrs["href"] for link in Page(path.read_text()).find("a")]
    assert seen == {path.resolve() for path in files(written)}


def test_pages_need_nothing_but_themselves(written):
    for path in files(written):
        page = Page(path.read_text())
        page.by_id()  # no id twice
        assert page.find("script") == page.find("link") == page.find("iframe") == []
        assert all(image.attrs["src"].startswith("data:image/svg+xml;base64,") for image in page.find("img"))
        assert all(image.attrs["alt"] for image in page.find("img"))
        assert not re.search(r"url\(|@import|https?://", "".join(style.text for style in page.find("style")))


def test_a_page_says_what_the_rulebook_says(written):
    words = Page((written / "club-show" / "limit-leg-distance-min.html").read_text()).root.words()
    for said in (
        "A dog needs room to land",
        "along the dog's line",
        "must: at least 5.00 m",
        "must: at least 4.00 m",
        "medium, intermediate, large",
        "Source: common practice, no source",
        "No clause known",
        "4.80 m, at least 4.00 m (0.80 m to spare)",
    ):
        assert said in words


def test_the_index_lists_every_limit_with_what_it_asks_and_what_is_missing(written):
    book = load_rulebook("club-show")
    words = Page((written / "club-show" / "index.html").read_text()).root.words()
    assert all(row.id in words and row.about in words for row in book.limits)
    assert all(topic in words for topic in book.missing)
    assert "2 × SCT" in words


def test_what_a_rulebook_says_is_escaped(tmp_path, studio):
    (tmp_path / "own.toml").write_text(
        'format = 1\n[rulebook]\nid = "own"\ntitle = "<b>Own</b> & co"\nedition = "1"\nextends = "base"\n'
        'source = "<script>alert(1)</script>"\nmissing = ["<i>"]\n'
        '[[limit]]\nid = "few"\nabout = "<img src=x>"\nmeasure = "passes"\nmetric = "all"\nmax = 3\n'
        'severity = "note"\nbasis = "practice"\nsource = "<u>"\n'
    )
    book = load_rulebook("own.toml", tmp_path)
    pages = dict(render_rulebook(book, studio))
    pages["first"] = render_index([book])
    for html in pages.values():
        page = Page(html)
        assert page.find("script") == page.find("i") == page.find("u") == []
        assert all(image.attrs["src"] != "x" for image in page.find("img"))
    assert "<img src=x>" in Page(pages["limit-few.html"]).root.words()


def test_the_same_rulebook_gives_the_same_pages():
    book = load_rulebook("base")
    assert list(render_rulebook(book, Studio())) == list(render_rulebook(book, Studio()))


def test_limits_for_grades_that_a_rulebook_does_not_have_are_named_and_have_no_page(tmp_path, studio):
    (tmp_path / "own.toml").write_text(
        'format = 1\n[rulebook]\nid = "own"\ntitle = "Own"\nedition = "1"\nextends = "club-show"\nsource = "we"\n'
        '[disciplines]\nrally = ["open"]\n'
    )
    pages = dict(render_rulebook(load_rulebook("own.toml", tmp_path), studio))
    assert "limit-contacts.html" not in pages
    assert "limit-way-exists.html" in pages
    assert "contacts" in Page(pages["index.html"]).root.words()

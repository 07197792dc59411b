import re
from dataclasses import replace

import pytest
from gorse import RING, make_course, make_finding, make_verdict
from pages import Page

from coursecheck.course.model import Blocked, Obstacle, Origin
from coursecheck.reports.grouping import entries_of
from coursecheck.reports.html import render_html
from coursecheck.reports.terms import cautions
from coursecheck.reports.wording import printable

HOSTILE = [
    "<script>alert(1)</script>",
    "</style></title><img src=x onerror=alert(1)>",
    "\"' onload='alert(1)' x=\"",
    "{{ 7 * 7 }}{% raw %}",
    "&lt;b&gt; & ]]> <!-- -->",
    "\u202egnp.exe\u2066\u200f\x1b[31m\x00\x85",
    "שלום עולם",
    "*/ } body { display: none } @import url(//example.org) /*",
    "W" * 500,
]


@pytest.mark.parametrize("words", HOSTILE, ids=range(len(HOSTILE)))
def test_nothing_from_a_file_becomes_markup(words):
    ring = replace(RING, blocked=(Blocked(words, centre=(13.0, 22.0), radius_m=0.4),))
    things = (*make_course().obstacles, Obstacle(words, "jump", (8.0, 26.0), 0.0))
    course = make_course(title=words, ring=ring, obstacles=things, grade=words, origin=Origin(words, "0" * 64))
    findings = (make_finding(message=words, title=words, source=words, clause=words, why=(words,)),)
    page = Page(render_html(make_verdict(course, findings)))
    plain = Page(render_html(make_verdict(findings=(make_finding(),))))
    assert page.find("h1")[0].text == printable(words)
    for tag in ("script", "img", "iframe", "object", "style", "title"):
        wanted = len(plain.find(tag)) + (tag == "title")  # the hostile obstacle brings the title of its own group
        assert len(page.find(tag)) == wanted, tag
    handlers = [name for element in page.root.all() for name in element.attrs if name.startswith("on")]
    assert handlers == []
    assert not set(page.source) & set("\u202e\u2066\u200f\x1b\x00\x85")


def test_the_title_cannot_leave_its_string_in_the_style_sheet():
    page = Page(render_html(make_verdict(make_course(title='"; } </style> \\'))))
    (rule,) = re.findall(r"@top-left \{ content: (.*?); \}", page.find("style")[0].text)
    assert re.fullmatch(r'"([A-Za-z0-9]|\\[0-9a-f]{6})*"', rule)


def test_it_asks_the_network_for_nothing_and_runs_no_script(page):
    text = page.source.replace("http://www.w3.org/2000/svg", "")
    assert "http" not in text
    assert "@import" not in text
    assert [e for e in page.root.all() if "src" in e.attrs] == []
    assert page.find("script") == page.find("link") == []
    outside = [e.attrs["href"] for e in page.root.all() if not e.attrs.get("href", "#").startswith("#")]
    assert outside == []
    assert all(name in page.by_id() for name in re.findall(r"url\(#(.*?)\)", text))
    assert "url(" not in re.sub(r"url\(#", "", text)


def test_every_link_has_its_end(page):
    ids = page.by_id()
    links = [e.attrs["href"][1:] for e in page.find("a")]
    assert links
    assert [link for link in links if link not in ids] == []


def test_every_finding_has_its_place_in_the_plan_and_its_article(page, verdict):
    ids = page.by_id()
    for entry in entries_of(verdict):
        article = ids[f"finding-{entry.number}"]
        flag = ids[f"mark-{entry.number}"]
        assert str(entry.number) in flag.words()
        finding, words = entry.worst, article.words()
        assert finding.title in words
        assert finding.expected in words
        assert finding.clause in words
        assert finding.source in words
        assert finding.limit in words


@pytest.mark.parametrize(
    ("finding", "shown"),
    [
        (make_finding(), ["4.62 m", "at least 5.00 m", "0.38 m short"]),
        (make_finding(measured=4.9996, margin=-0.0004), ["4.9996 m", "0.0004 m short"]),
        (make_finding(measured=9.5, min=None, max=9.0, margin=-0.5), ["9.50 m", "0.50 m too much"]),
        (make_finding(measured=17, min=18, max=20, margin=-1, unit="count"), ["17", "1 short"]),
        (make_finding(measured="table", min=None, margin=None, unit="kind"), ["table"]),
        (make_finding(outcome="close", measured=5.0, margin=0.0), ["5.00 m", "0.00 m to spare"]),
    ],
)
def test_a_finding_shows_measured_value_and_shortfall_apart(finding, shown):
    page = Page(render_html(make_verdict(findings=(finding,))))
    cells = [cell.text for cell in page.by_id()["finding-1"].all() if cell.tag == "td"]
    assert [words for words in shown if words not in cells and words != finding.expected] == []


def test_every_outcome_is_said_in_words_beside_its_flag(page, verdict):
    words = {"breach": "breach", "close": "close", "unmeasurable": "not measurable"}
    ids = page.by_id()
    for entry in entries_of(verdict):
        (state,) = [e for e in ids[f"finding-{entry.number}"].all() if e.attrs.get("class") == "state"]
        assert state.text.startswith(words[entry.worst.outcome])
        assert ("waived" in state.text) == (entry.worst.waived is not None)


def test_verdict_times_and_cautions_are_told(page):
    words = page.root.words()
    assert "Not legal 2 must-limits in breach and 1 must-limit not measurable" in words
    assert "small 148.32 m 3.8 m/s 40 s 60 s" in words
    assert "no length: no line from 14 to 15" in words
    assert all(caution in words for caution in cautions())


def test_what_is_not_covered_is_not_shown_as_met(page):
    section = next(e for e in page.find("section") if e.attrs.get("aria-labelledby") == "not-covered")
    assert "weave entry" in section.words()
    assert "not the same as met" in section.words()


def test_provenance_names_hashes_edition_options_and_version(page):
    words = page.root.words()
    for part in ("ab" * 32, "cd" * 32, "gorse.course.toml", "edition 3", "0.05 m per coordinate", "coursecheck 0."):
        assert part in words


def test_the_leg_table_has_a_row_for_each_leg_and_says_where_no_line_was_found(page, verdict):
    (table,) = page.find("table", "legs")
    rows = [e.words() for e in table.all() if e.tag == "tr"][2:]
    assert len(rows) == len(verdict.legs["small"])
    assert rows[0].startswith("1 – 2 jump a spread b 6.00")
    assert rows[-1].count("no line") == 2


def test_a_long_list_of_findings_leaves_the_first_page_short_and_is_told_in_full_below():
    findings = tuple(
        make_finding(passes=(n, n + 1), message=f"finding of {n}") for n in range(1, 15) for _ in range(2)
    )
    page = Page(render_html(make_verdict(findings=findings)))
    (glance,) = page.find("ol", "glance-list")
    assert len(glance.inside) == 16
    assert "and 12 more" in page.root.words()
    assert len(page.find("article", "finding")) == 28


def test_a_plan_with_nothing_found_makes_a_whole_page():
    page = Page(render_html(make_verdict(findings=(), uncovered=())))
    words = page.root.words()
    assert "Legal" in words
    assert "Nothing in breach, nothing close, nothing left unmeasured." in words
    assert "No limit was met." in words
    assert page.by_id()["not-covered"] is not None


def test_ids_are_used_once(page):
    assert len(page.by_id()) > 20


def test_the_same_input_gives_the_same_bytes():
    one, two = (render_html(make_verdict()) for _ in range(2))
    assert one == two

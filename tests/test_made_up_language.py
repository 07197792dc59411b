"""In a made-up language nothing can be read but what stands in the files and the names of the program."""

import html
import re

import pytest

from coursecheck.checking import check
from coursecheck.measures import MEASURES
from coursecheck.papers import PAPERS, PaperOptions
from coursecheck.papers.walk_page import render_walk_page
from coursecheck.plans import load_plan, load_rulebook
from coursecheck.reports.explain import render_limit
from coursecheck.reports.rule_pages import Studio, render_index, render_rulebook
from coursecheck.reports.rulebook_tables import render_difference, render_limits, render_rulebooks
from coursecheck.reports.terminal import render_text
from coursecheck.reports.times_table import render_times
from coursecheck.reports.walk_text import render_walk_text
from coursecheck.resources import sample
from coursecheck.rulebook.diff import diff
from coursecheck.rulebook.tabulation import audience
from coursecheck.walk.figures import load_figures
from coursecheck.walk.walking import walk_scenes
from tests.pseudo import readable, speaking_pseudo


def _visible(page):
    """What a reader of a page is told: its words, those that a screen reader says too."""
    bare = re.sub(r"<(style|script)\b.*?</\1>", "", page, flags=re.S)
    return html.unescape(" ".join([re.sub(r"<[^>]+>", " ", bare), *re.findall(r'aria-label="([^"]*)"', bare)]))


def _told(verdict, rejudge):
    walked = walk_scenes(verdict.course, verdict.rulebook, verdict.scenes)
    yield "terminal", render_text(verdict, colour=False, width=100)
    yield "walk", render_walk_text(walked)
    yield "walk page", _visible(render_walk_page(walked))
    yield "times", render_times(verdict.course, verdict.lengths, verdict.times, colour=False)
    options = PaperOptions(rejudge=rejudge)
    for name, paper in PAPERS.items():
        page = paper.render("html", verdict, options).decode()
        # The rows of a rulebook file are named as they stand there.
        yield name, _visible(re.sub(r"<details>.*?</details>", "", page, flags=re.S))
    yield "drawing", _visible(PAPERS["plan"].render("svg", verdict, options).decode())


@pytest.mark.parametrize("name", ["saltmarsh", "draft-with-faults"])
def test_every_word_is_looked_up(name, monkeypatch):
    with speaking_pseudo(monkeypatch):
        course, rulebook = load_plan(sample(name))
        verdict = check(course, rulebook)
        data = [course.title, rulebook.id, rulebook.source, *rulebook.files, course.origin.file, course.discipline]
        data += [*verdict.scenes, *(o.id for o in course.obstacles), *(place.name for place in course.ring.blocked)]
        data += [text for row in rulebook.limits for text in (row.id, row.source)]
        data += [figure.id for figure in load_figures()]
        assert _readable(_told(verdict, lambda changed: check(changed, rulebook)), data) == set()


def _readable(told, data):
    """The words that can be read in texts, each with where it stands; those of the data aside."""
    return {(where, word) for where, text in told for word in readable(text, data)}


def _told_of_rulebooks(book, older):
    yield "list", render_rulebooks([book, older], colour=False)
    yield "limits", render_limits(book, audience(book), units="m", colour=False)
    yield "difference", render_difference(older, book, diff(older, book), [], units="m", colour=False)
    yield "index", _visible(render_index([book, older]))
    for limit in dict.fromkeys(row.id for row in book.limits):
        yield limit, render_limit(book, limit, colour=False)
    for name, page in render_rulebook(book, Studio()):
        yield name, _visible(page)


def test_every_word_of_a_rulebook_is_looked_up(monkeypatch):
    with speaking_pseudo(monkeypatch):
        book, older = load_rulebook("fci-2023"), load_rulebook("fci-2018")
        data = ["cm", *MEASURES]
        for one in (book, older):
            data += [one.id, one.edition, one.source, *one.files, *one.heights, *one.disciplines]
            data += [grade for grades in one.disciplines.values() for grade in grades]
            data += [text for row in one.limits for text in (row.id, row.source, row.clause, row.place.rulebook)]
        assert _readable(_told_of_rulebooks(book, older), data) == set()

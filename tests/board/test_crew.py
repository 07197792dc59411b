"""A verdict that was put together from several processes is the verdict of one."""

import time
from dataclasses import replace

import pytest

from coursecheck import check, load_plan
from coursecheck.board.answer import Judge
from coursecheck.board.crew import Crew, merged
from coursecheck.board.tables import Library
from coursecheck.reports.grouping import SHOWN, entries_of
from coursecheck.reports.wording import height_words, length_words, time_words, verdict_reason
from coursecheck.resources import sample

SAMPLES = ("saltmarsh", "draft-with-faults")


def said(verdict):
    """Everything that a reader is told of a verdict."""
    findings = [
        (f.limit, f.outcome, f.severity, f.height, f.passes, f.obstacles, f.measured, f.message, f.witness, f.why)
        for f in verdict.findings
        if f.outcome in SHOWN
    ]
    entries = [
        [(height_words(line.heights, verdict), line.finding.message) for line in e.lines] for e in entries_of(verdict)
    ]
    words = (*length_words(verdict), *time_words(verdict), *verdict.notes, verdict_reason(verdict))
    return findings, entries, words, verdict.lengths, verdict.times, verdict.legal, list(verdict.scenes)


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("count", [1, 2, 3])
def test_classes_judged_one_by_one_make_the_verdict_of_all(name, count):
    course, book = load_plan(sample(name))
    heights = list(book.heights)[:count]
    apart = [check(course, book, heights=(height,)) for height in heights]
    assert said(merged(apart, apart[-1])) == said(check(course, book, heights=heights))


@pytest.fixture(scope="module")
def crew():
    """A crew whose one helper is ready."""
    course, book = load_plan(sample("saltmarsh"))
    crew = Crew(Library(sample("saltmarsh").parent), sample("saltmarsh").parent, most=1)
    crew.verdict(course, book, "large")
    deadline = time.monotonic() + 60
    while not crew.ready:
        assert time.monotonic() < deadline
        time.sleep(0.05)
    yield crew
    crew.close()


@pytest.mark.parametrize("shown", ["small", "large"])
@pytest.mark.parametrize("name", SAMPLES)
def test_a_helper_says_what_is_said_without_it(crew, name, shown):
    course, book = load_plan(sample(name))
    verdict = crew.verdict(course, book, shown)
    assert said(verdict) == said(check(course, book))
    assert verdict.scenes[shown].line.legs


def test_a_rulebook_that_the_helper_does_not_have_is_applied_here(crew, tmp_path):
    course, book = load_plan(sample("saltmarsh"))
    other = replace(book, sha256="another", limits=book.limits[:10])
    assert said(crew.verdict(course, other, "large")) == said(check(course, other))


def test_a_helper_that_is_gone_is_not_missed():
    course, book = load_plan(sample("saltmarsh"))
    judge = Judge(Library(sample("saltmarsh").parent), sample("saltmarsh"), helpers=1)
    expected = judge.answer(course, book, "large")
    judge.close()
    assert judge.answer(course, book, "large") == expected

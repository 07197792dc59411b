"""A verdict that was put together from several processes is the verdict of one."""

import os
import pickle
import signal
import subprocess
import sys
import time
from dataclasses import replace

import pytest
from conftest import RunningBoard

from coursecheck import check, load_plan
from coursecheck.board.answer import Judge
from coursecheck.board.crew import Crew, shares_of
from coursecheck.board.helpers import Share
from coursecheck.board.merging import merged, part_of
from coursecheck.board.tables import Library
from coursecheck.checking import measure_course
from coursecheck.language import speaking
from coursecheck.path.overtaking import OvertakenError, until
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
    apart = {height: check(course, book, heights=(height,)) for height in heights}
    parts = {height: part_of(verdict) for height, verdict in apart.items()}
    assert said(merged(parts, apart[heights[-1]])) == said(check(course, book, heights=heights))


@pytest.mark.parametrize(
    ("others", "helpers", "shares"),
    [
        ("", 0, []),
        ("", 1, [("", None)]),
        ("a", 1, [("a", None)]),
        ("ab", 0, []),
        ("ab", 1, [("a", "b")]),
        ("ab", 2, [("a", None), ("b", None)]),
        ("abc", 1, [("ab", None)]),
        ("abc", 2, [("a", "c"), ("b", None)]),
        ("abc", 3, [("a", None), ("b", None), ("c", None)]),
        ("abcd", 2, [("ac", None), ("bd", None)]),
        ("abcd", 1, [("ab", "d")]),
    ],
)
def test_nobody_has_more_to_do_than_need_be(others, helpers, shares):
    assert shares_of(others, helpers) == [(tuple(judged), lined) for judged, lined in shares]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_plan_whose_lines_are_known_is_judged_as_one_whose_lines_are_not(name):
    course, book = load_plan(sample(name))
    lines = {height: pickle.loads(pickle.dumps(scene.line)) for height, scene in measure_course(course, book).items()}  # noqa: S301
    assert said(check(course, book, lines=lines)) == said(check(course, book))


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


@pytest.mark.parametrize("code", ["de", "fr", "en"])
def test_everybody_speaks_the_language_of_the_one_who_asks_whatever_was_said_before(crew, code):
    course, book = load_plan(sample("draft-with-faults"))
    with speaking(code):
        assert said(crew.verdict(course, book, "large")) == said(check(course, book))


def test_a_rulebook_that_the_helper_does_not_have_is_applied_here(crew, tmp_path):
    course, book = load_plan(sample("saltmarsh"))
    other = replace(book, sha256="another", limits=book.limits[:10])
    assert said(crew.verdict(course, other, "large")) == said(check(course, other))


def test_what_a_helper_did_for_nothing_is_not_taken_for_the_next_plan(crew):
    course, book = load_plan(sample("saltmarsh"))
    crew.verdict(course, book, "large")
    assert crew._helpers[0].ask(course, book, Share(("small",), "medium"))  # and then something went wrong
    faulty, book = load_plan(sample("draft-with-faults"))
    for _ in range(3):
        assert said(crew.verdict(faulty, book, "large")) == said(check(faulty, book))
        time.sleep(0.3)
    assert crew.ready


class Looks:
    """Says that something was overtaken when it was asked so many times."""

    def __init__(self, most):
        self.left = most

    def __call__(self):
        self.left -= 1
        return self.left < 0


def crowded(plan, number):
    """The plan with another obstacle right on its first one: that takes a while, another one for each number."""
    held = plan.obstacles[3]
    x, y = plan.obstacles[0].at
    moved = replace(held, at=(x + 0.01 * number, y))
    return replace(plan, obstacles=tuple(moved if one is held else one for one in plan.obstacles))


@pytest.mark.parametrize("most", [0, 1, 10, 40])
def test_a_plan_that_is_overtaken_leaves_nothing_behind_that_tells_on_the_next(crew, most):
    course, book = load_plan(sample("saltmarsh"))
    looks = Looks(most)
    with until(looks), pytest.raises(OvertakenError):
        crew.verdict(crowded(course, most), book, "large")
    assert looks.left == -1, "it went no further"
    assert crew.ready, "the helper has left off, too"
    for plan in (course, crowded(course, most)):
        assert said(crew.verdict(plan, book, "large")) == said(check(plan, book))


def test_whoever_waits_for_a_helper_gives_way(crew):
    course, book = load_plan(sample("saltmarsh"))
    crew.verdict(course, book, "large")
    [helper] = crew._helpers
    assert helper.ask(crowded(course, 101), book, Share(("small", "medium"), None))
    with until(lambda: True), pytest.raises(OvertakenError):
        helper.take()
    helper.overtake()
    assert helper.ready()


def test_a_helper_that_is_gone_is_not_missed():
    course, book = load_plan(sample("saltmarsh"))
    judge = Judge(Library(sample("saltmarsh").parent), sample("saltmarsh"), helpers=1)
    expected = judge.answer(course, book, "large")
    judge.close()
    assert judge.answer(course, book, "large") == expected


def is_there(group):
    """Whether any process of a group is there."""
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return False
    return True


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGKILL"])
def test_a_board_that_is_ended_leaves_no_process_and_says_nothing(saltmarsh, name):
    command = [sys.executable, "-m", "coursecheck", "board", str(saltmarsh), "--no-open"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as process:
        board = RunningBoard(process, saltmarsh, process.stdout.readline())
        assert board.judged(board.start()["plan"])["whole"], "now the helpers are being started"
        if name == "SIGINT":
            os.killpg(process.pid, signal.SIGINT)  # as a terminal does on Ctrl-C: every process hears it
        else:
            process.send_signal(signal.Signals[name])
        assert process.wait(15) == (0 if name != "SIGKILL" else -signal.SIGKILL)
        deadline = time.monotonic() + 30
        while is_there(process.pid):
            assert time.monotonic() < deadline
            time.sleep(0.1)
        assert process.stderr.read() == ""

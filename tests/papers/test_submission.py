"""The submission sheet: what is declared is what was found, and it can be checked again."""

from collections import Counter
from dataclasses import replace

from shown import words_of

from coursecheck.papers import PaperOptions
from coursecheck.papers.submission import render
from coursecheck.reports.grouping import entries_of
from coursecheck.verdict.model import Waiver


def test_it_counts_the_numbered_obstacles_of_each_kind(verdict):
    words = words_of(render(verdict, PaperOptions()))
    scene = list(verdict.scenes.values())[-1]
    for title, count in Counter(scene.shape(run).kind.title for run in scene.passes).items():
        assert f"{title} {count}" in words
    assert f"{len(scene.passes)} numbered obstacles" in words


def test_it_declares_every_finding_and_the_verdict(judged):
    verdict = judged("draft-with-faults")
    words = words_of(render(verdict, PaperOptions()))
    assert "Not legal" in words
    for entry in entries_of(verdict):
        assert entry.worst.title in words
        assert entry.worst.expected in words


def test_it_says_so_where_there_is_nothing_to_declare(judged):
    words = words_of(render(judged("saltmarsh"), PaperOptions()))
    assert "Legal No must-limit in breach. Nothing in breach, nothing close to a limit" in words


def test_a_waived_finding_is_declared_with_who_accepted_it_and_why(judged):
    verdict = judged("draft-with-faults")
    waiver = Waiver("the club's reviewer", "the tent moves on the day")
    findings = tuple(f._replace(waived=waiver) if f.outcome == "breach" else f for f in verdict.findings)
    words = words_of(render(replace(verdict, findings=findings), PaperOptions()))
    assert "breach, waived" in words
    assert "Accepted by the club's reviewer: the tent moves on the day" in words


def test_what_was_not_checked_is_said(judged):
    verdict = replace(judged("saltmarsh"), left_out=("leg-distance-min",))
    words = words_of(render(verdict, PaperOptions()))
    assert "Not checked, for want of a figure in the rulebook file: side of the weave entry" in words
    assert "Not checked, left out by selection: leg-distance-min" in words


def test_it_carries_the_hashes_of_plan_and_rulebook(verdict):
    words = words_of(render(verdict, PaperOptions()))
    assert verdict.course.origin.sha256 in words
    assert verdict.rulebook.sha256 in words


def test_obstacles_without_a_number_are_named(judged):
    assert "In the ring without a number: x, y, z, v." in words_of(
        render(judged("draft-with-faults"), PaperOptions())
    )


def test_the_plan_may_be_shown_without_the_line(judged):
    assert "line, class large" in words_of(render(judged("saltmarsh"), PaperOptions()))
    assert "line, class" not in words_of(render(judged("saltmarsh"), PaperOptions(line=False)))


def test_the_same_plan_gives_the_same_bytes(judged):
    one, two = (render(judged("granary"), PaperOptions()) for _ in range(2))
    assert one == two

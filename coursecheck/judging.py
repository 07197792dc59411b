"""One plan from its file to its verdict: read, judged, waivers and baseline put on."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace

from coursecheck.checking import Shelf, check, load_plan, plan_from_text
from coursecheck.course.model import Course
from coursecheck.rulebook.model import Rulebook
from coursecheck.verdict.acceptance import accept_baseline, accept_waivers
from coursecheck.verdict.baseline import Baseline
from coursecheck.verdict.model import Verdict
from coursecheck.verdict.selection import EVERYTHING, Selection
from coursecheck.verdict.waivers import read_waivers, waivers_path

__all__ = ["Question", "Source", "judge_plan", "read_plan"]


@dataclass(frozen=True, slots=True)
class Source:
    """A plan to judge: a file, or the text that came from standard input, which has no waivers."""

    name: str
    text: str | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of every plan of a run; for the words see `check`.

    Attributes:
        baseline: what was found once, or None.
    """

    heights: tuple[str, ...] = ()
    setting_out_m: float | None = None
    speed_mps: float | None = None
    best_s: float | None = None
    selection: Selection = EVERYTHING
    date: datetime.date | None = None
    baseline: Baseline | None = None


def read_plan(source: Source, shelf: Shelf | None = None) -> tuple[Course, Rulebook]:
    """The course of a source and the rulebook that it names. Raises CourseError with every problem."""
    if source.text is None:
        return load_plan(source.name, shelf)
    return plan_from_text(source.text, source.name, shelf=shelf)


def judge_plan(source: Source, question: Question, shelf: Shelf | None = None, *, waivers: bool = True) -> Verdict:
    """Judges a plan as it lies in its folder.

    Args:
        source: the plan.
        question: what is asked.
        shelf: rulebooks that were read already.
        waivers: whether the waivers beside the plan are put on.

    Raises:
        CoursecheckError: the plan, its rulebook or its waivers cannot be taken, or the question makes no sense.
    """
    shelf = shelf or Shelf()
    course, rulebook = read_plan(source, shelf)
    beside = waivers_path(source.name)
    accepted = read_waivers(beside) if waivers and source.text is None else ()
    verdict = check(
        course,
        rulebook,
        heights=question.heights,
        setting_out_m=question.setting_out_m,
        speed_mps=question.speed_mps,
        best_s=question.best_s,
        selection=question.selection,
        date=question.date,
        shelf=shelf,
    )
    if accepted:
        verdict = accept_waivers(_with_option(verdict, "waivers", str(beside)), accepted, question.date)
    if question.baseline is not None:
        verdict = _with_option(verdict, "baseline", question.baseline.name)
        verdict = accept_baseline(verdict, question.baseline.of(source.name))
    return verdict


def _with_option(verdict: Verdict, name: str, words: str) -> Verdict:
    return replace(verdict, options={**verdict.options, name: words})

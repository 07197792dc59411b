"""One plan from its file to its verdict: read, judged, waivers and baseline put on."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from coursecheck.checking import check
from coursecheck.course.model import Course
from coursecheck.plans import Shelf, load_plan, plan_from_text
from coursecheck.rulebook.model import Rulebook
from coursecheck.verdict.acceptance import Acceptance, accept_baseline, accept_waivers
from coursecheck.verdict.model import Verdict
from coursecheck.verdict.selection import EVERYTHING, Selection

if TYPE_CHECKING:
    from coursecheck.verdict.baseline import Baseline

__all__ = ["Question", "Source", "judge_plan", "read_plan", "waivers_path"]


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


def waivers_path(course_file: str) -> Path:
    """The waivers file of a course file, whether there is one or not."""
    path = Path(course_file)
    stem = path.name.removesuffix(".toml").removesuffix(".course")
    return path.with_name(f"{stem}.waivers.toml")


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
    accepted = _waivers(beside) if waivers and source.text is None and beside.exists() else ()
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


def _waivers(path: Path) -> tuple[Acceptance, ...]:
    from coursecheck.verdict.waivers import read_waivers

    return read_waivers(path)


def _with_option(verdict: Verdict, name: str, words: str) -> Verdict:
    return replace(verdict, options={**verdict.options, name: words})

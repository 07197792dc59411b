"""The public functions on a plan: measure, judge, time."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path

from coursecheck.course.model import Course
from coursecheck.equipment import Shape, build_shapes
from coursecheck.errors import UsageError
from coursecheck.language import say
from coursecheck.measures import MEASURES, Scene
from coursecheck.measures.counts import course_length
from coursecheck.measures.running import expect
from coursecheck.path.compute import compute_line
from coursecheck.path.line import Line
from coursecheck.path.memo import Memo
from coursecheck.plans import Shelf, shipped_rulebooks
from coursecheck.rulebook.editions import edition_note, family
from coursecheck.rulebook.model import Rulebook
from coursecheck.rulebook.resolve import size_of
from coursecheck.times import Times, times_for
from coursecheck.units import FLOAT_NOISE
from coursecheck.verdict.docket import plan_facets
from coursecheck.verdict.judge import judge, uncovered
from coursecheck.verdict.model import CourseLength, Verdict
from coursecheck.verdict.selection import EVERYTHING, Selection
from coursecheck.wheel import WheelCheck, check_wheel

__all__ = [
    "check",
    "measure_course",
    "measured_lengths",
    "no_height_class",
    "times",
    "wheel_checks",
    "wheeled_lengths",
]


def measure_course(
    course: Course,
    rulebook: Rulebook,
    heights: Iterable[str] | None = None,
    memos: Mapping[str, Memo] | None = None,
    lines: Mapping[str, Line] | None = None,
) -> dict[str, Scene]:
    """Builds the obstacles and computes the line for each height class.

    Args:
        course: the plan.
        rulebook: gives runner profiles and equipment sizes.
        heights: the height classes, by default those of the course, or all of the rulebook.
        memos: what earlier computations of each height class left, for those who measure a plan again and again.
        lines: those that were computed for this very plan already, by height class.

    Raises:
        UsageError: a height class that the rulebook does not have.
    """
    known = lines or {}
    scenes: dict[str, Scene] = {}
    chosen = _chosen_heights(course, rulebook, heights)
    shared = Memo() if memos is None else memos[chosen[0]]  # most obstacles are the same for every class
    built: dict[tuple[object, ...], Shape] = shared.get("shapes", (), dict)
    for height in chosen:
        runner, pace = rulebook.heights[height].runner, rulebook.heights[height].pace
        facets = plan_facets(course, height)
        sizes: dict[tuple[str, str], float | None] = shared.get("sizes", (rulebook.sha256, *facets.values()), dict)
        shapes = build_shapes(course, partial(_ruled_size, rulebook, facets, sizes), runner.tunnel_line, built)
        memo = Memo() if memos is None else memos[height]
        line = known.get(height) or compute_line(course, shapes, runner, None if memos is None else memo)
        scenes[height] = Scene(course, shapes, line, rulebook.length, pace, memo)
    return scenes


def _ruled_size(
    rulebook: Rulebook,
    facets: Mapping[str, str],
    known: dict[tuple[str, str], float | None],
    kind: str,
    size: str,
) -> float | None:
    """The rulebook's size of a kind, resolved once; `known` holds those of this rulebook for these facets."""
    if (kind, size) not in known:
        known[kind, size] = size_of(rulebook, kind, size, facets)
    return known[kind, size]


def _chosen_heights(course: Course, rulebook: Rulebook, heights: Iterable[str] | None) -> tuple[str, ...]:
    """The height classes asked for, in the rulebook's order."""
    chosen = tuple(heights or ()) or course.heights or tuple(rulebook.heights)
    unknown = [name for name in chosen if name not in rulebook.heights]
    if unknown:
        raise no_height_class(rulebook, unknown[0])
    return tuple(name for name in rulebook.heights if name in chosen)


def no_height_class(rulebook: Rulebook, word: str) -> UsageError:
    """The error that a rulebook has no such height class."""
    known = ", ".join(rulebook.heights)
    return UsageError(
        say("{rulebook} has no height class {word!r}; it has {known}", rulebook=rulebook.id, word=word, known=known)
    )


def check(
    course: Course,
    rulebook: Rulebook,
    *,
    heights: Iterable[str] | None = None,
    setting_out_m: float | None = None,
    speed_mps: float | None = None,
    best_s: float | None = None,
    selection: Selection = EVERYTHING,
    date: datetime.date | None = None,
    shelf: Shelf | None = None,
    memos: Mapping[str, Memo] | None = None,
    lines: Mapping[str, Line] | None = None,
    complete: bool = True,
) -> Verdict:
    """Judges a plan. Waivers are put on afterwards: see `coursecheck.judging`.

    Args:
        course: the plan.
        rulebook: the rules.
        heights: the height classes, by default those of the course.
        setting_out_m: standard deviation of each set-out coordinate, by default the rulebook's.
        speed_mps: the judge's speed, by default the course's.
        best_s: the best run, where the rulebook derives the SCT from it.
        selection: which limits are judged; those left out are listed and never shown as passed.
        date: the day of the show. A rulebook that is not in force then is told in the notes; none is put in its
            place. No clock is read.
        shelf: rulebooks that were read already.
        memos: what earlier checks left, by height class; the verdict is the same with and without.
        lines: those that were computed for this very plan already, by height class.
        complete: whether limits that are met, and those that nothing falls under, are told, too; not everybody looks
            at them.

    Raises:
        UsageError: a height class that the rulebook does not have, a negative error, or a selection of nothing.
    """
    shelf = shelf or Shelf()
    error_m = rulebook.setting_out_m if setting_out_m is None else setting_out_m
    if not error_m >= 0.0:
        wrong = say("a setting-out error of {error} m makes no sense; give 0 or more", error=str(error_m))
        raise UsageError(wrong)
    judged, left_out = selection.apply(rulebook, MEASURES, shelf.shipped)
    scenes = measure_course(course, rulebook, heights, memos, lines)
    lengths = _lengths(scenes)
    reckoned = times(course, rulebook, lengths, speed_mps=speed_mps, best_s=best_s)
    note = edition_note(rulebook, date, _editions(rulebook, shelf)) if date else None
    return Verdict(
        course=course,
        rulebook=rulebook,
        scenes=scenes,
        lengths=lengths,
        times=reckoned,
        expected=tuple(e for height, scene in scenes.items() if (e := expect(height, scene)) is not None),
        findings=judge(judged, scenes, error_m, complete=complete),
        uncovered=uncovered(rulebook),
        setting_out_m=error_m,
        options={
            "heights": ", ".join(scenes),
            "setting-out error": say("{error:g} m per coordinate", error=error_m),
            **({"speed": say("{speed:g} m/s", speed=speed_mps)} if speed_mps is not None else {}),
            **({"best run": say("{time:g} s", time=best_s)} if best_s is not None else {}),
            **({"date": f"{date}"} if date else {}),
            **selection.options(),
        },
        left_out=left_out,
        notes=(note,) if note else (),
    )


def _editions(rulebook: Rulebook, shelf: Shelf) -> list[Rulebook]:
    """The shipped editions of the same rulebook."""
    names = [name for name in shipped_rulebooks() if family(name) == family(rulebook.id)]
    return [shelf.book(name, Path()) for name in names]


def times(
    course: Course,
    rulebook: Rulebook,
    lengths: Iterable[CourseLength],
    *,
    speed_mps: float | None = None,
    best_s: float | None = None,
    sct_s: float | None = None,
    mct_s: float | None = None,
) -> tuple[Times, ...]:
    """SCT and MCT for each height class, from the lengths given.

    Args:
        course: gives discipline, grade and the judge's speed.
        rulebook: gives the rules on times.
        lengths: measured or wheeled.
        speed_mps: the judge's speed instead of the course's.
        best_s: the best run, where the SCT is derived from it.
        sct_s: the SCT itself, where the rulebook has the judge enter it.
        mct_s: the MCT itself, likewise.
    """
    return tuple(
        times_for(
            rulebook,
            discipline=course.discipline,
            grade=course.grade,
            height=length.height,
            length_m=length.length_m,
            speed_mps=course.speed_mps if speed_mps is None else speed_mps,
            best_s=best_s,
            sct_s=sct_s,
            mct_s=mct_s,
            indoor=course.ring.indoor,
        )
        for length in lengths
    )


def measured_lengths(
    course: Course, rulebook: Rulebook, heights: Iterable[str] | None = None
) -> tuple[CourseLength, ...]:
    """The course length of each height class, as the rulebook measures it."""
    return _lengths(measure_course(course, rulebook, heights))


def wheeled_lengths(
    course: Course, rulebook: Rulebook, length_m: float, heights: Iterable[str] | None = None
) -> tuple[CourseLength, ...]:
    """The wheel's figure of the day as the course length of each height class."""
    rule = rulebook.length
    chosen = _chosen_heights(course, rulebook, heights)
    return tuple(CourseLength(height, length_m, "wheel", None, rule.start, rule.end) for height in chosen)


def wheel_checks(
    course: Course, rulebook: Rulebook, length_m: float, heights: Iterable[str] | None = None
) -> tuple[WheelCheck, ...]:
    """The wheel's figure of the day held against the plan, for each height class whose length can be measured."""
    checks = []
    for height, scene in measure_course(course, rulebook, heights).items():
        plan_m = _length(height, scene).length_m
        if plan_m is not None:
            spread = course_length(scene, scene.length).spread
            error_m = rulebook.setting_out_m
            checks.append(check_wheel(height, plan_m, length_m, spread=spread, setting_out_m=error_m))
    return tuple(checks)


def _lengths(scenes: Mapping[str, Scene]) -> tuple[CourseLength, ...]:
    return tuple(_length(height, scene) for height, scene in scenes.items())


def _length(height: str, scene: Scene) -> CourseLength:
    rule = scene.length
    if not scene.passes:
        return CourseLength(height, None, rule.how, None, rule.start, rule.end, say("the plan has no sequence yet"))
    value = course_length(scene, rule)
    radius = scene.line.runner.turn_radius_m if rule.how == "line" else None
    measured = value.measured if isinstance(value.measured, float) else None
    if measured is not None and measured <= FLOAT_NOISE:
        return CourseLength(height, None, rule.how, radius, rule.start, rule.end, say("the course has no length yet"))
    return CourseLength(height, measured, rule.how, radius, rule.start, rule.end, value.why_not)

"""The course times alone, for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from coursecheck.course.model import Course
from coursecheck.language import clauses, labelled, say
from coursecheck.reports.tables import plain_table
from coursecheck.reports.wording import length_shown, speed_words, time_shown
from coursecheck.times import Times
from coursecheck.units import format_figure
from coursecheck.verdict.model import CourseLength
from coursecheck.wheel import WHEEL_BIAS, WHEEL_ERROR, WheelCheck

__all__ = ["render_times", "wheel_words"]


def render_times(
    course: Course,
    lengths: Sequence[CourseLength],
    times: Sequence[Times],
    *,
    wheel: Sequence[WheelCheck] = (),
    colour: bool,
) -> str:
    """Length, speed, SCT and MCT of each height class; how each was found, or what keeps it from being given.

    `wheel` holds the wheel's figure against the plan.
    """
    rows: list[tuple[str, ...]] = []
    told: dict[str, list[str]] = {}  # what is said, and of which classes
    for length, time in zip(lengths, times, strict=True):
        shown = length_shown(length.length_m, course.units)
        rows.append((time.height, shown, speed_words(time.speed_mps), time_shown(time.sct_s), time_shown(time.mct_s)))
        said = [say("length {how}", how=length.described)]
        said += [say("no length: {why}", why=length.why_not)] if length.why_not else []
        sct, mct = time.sct_rule or time.sct_why_not, time.mct_rule or time.mct_why_not
        said += [say("SCT {sct}; MCT {mct}", sct=sct, mct=mct), *time.notes]
        for words in said:
            told.setdefault(words, []).append(time.height)
    notes = [say("{classes}: {words}", classes=", ".join(classes), words=words) for words, classes in told.items()]
    notes += wheel_words(wheel, course.units)
    held = {check.height for check in wheel}
    if held and (unheld := [time.height for time in times if time.height not in held]):
        why = say("the plan has no length for this class to hold the wheel against")
        notes.append(say("{classes}: {words}", classes=", ".join(unheld), words=why))
    table = plain_table(
        (say("height class"), say("length"), say("speed"), say("SCT"), say("MCT")), rows, colour=colour
    )
    return f"{course.title}\n\n{table}\n" + "".join(f"{note}\n" for note in dict.fromkeys(notes))


def wheel_words(checks: Sequence[WheelCheck], units: str) -> tuple[str, ...]:
    """How far the wheel is from the plan, and whether that is more than wheel and setting-out explain."""
    if not checks:
        return ()
    said = [say("{classes}: {words}", classes=check.height, words=_wheel_sentence(check, units)) for check in checks]
    return (
        *said,
        say(
            "a wheel is taken to read {bias:g} % long on grass, and to be within {error:g} % of that in 19 of 20 "
            "readings",
            bias=100 * WHEEL_BIAS,
            error=100 * WHEEL_ERROR,
        ),
    )


def _wheel_sentence(check: WheelCheck, units: str) -> str:
    def figure(metres: float) -> str:
        return format_figure(metres, "m", units=units)

    difference = check.difference_m
    plan = figure(check.plan_m)
    if difference > 0:
        against = say("wheel {gap} more than the plan's {plan}", gap=figure(difference), plan=plan)
    elif difference < 0:
        against = say("wheel {gap} less than the plan's {plan}", gap=figure(-difference), plan=plan)
    else:
        against = say("wheel the same as the plan's {plan}", plan=plan)
    low, high = figure(check.bias_m - check.room_m), figure(check.bias_m + check.room_m)
    room = say("wheel and setting-out explain {low} to {high}", low=low, high=high)
    if check.explained:
        return clauses((against, room))
    told = say("measure again, or look for an obstacle that stands elsewhere than planned")
    return clauses((against, labelled(room, told)))

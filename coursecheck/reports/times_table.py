"""The course times alone, for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from coursecheck.course.model import Course
from coursecheck.reports.tables import plain_table
from coursecheck.times import Times
from coursecheck.units import format_figure
from coursecheck.verdict.model import CourseLength
from coursecheck.wheel import WheelCheck

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
    rows, notes = [], []
    for length, time in zip(lengths, times, strict=True):
        shown = "–" if length.length_m is None else format_figure(length.length_m, "m", units=course.units)
        speed = "–" if time.speed_mps is None else f"{time.speed_mps.normalize():f} m/s"
        sct, mct = (f"{t} s" if t is not None else "–" for t in (time.sct_s, time.mct_s))
        rows.append((time.height, shown, speed, sct, mct))
        notes += [f"{time.height}: length {length.described}"]
        notes += [f"{time.height}: no length: {length.why_not}"] if length.why_not else []
        notes += [f"{time.height}: SCT {time.sct_rule or time.sct_why_not}; MCT {time.mct_rule or time.mct_why_not}"]
        notes += [f"{time.height}: {note}" for note in time.notes]
    notes += wheel_words(wheel, course.units)
    table = plain_table(("height class", "length", "speed", "SCT", "MCT"), rows, colour=colour)
    return f"{course.title}\n\n{table}\n" + "".join(f"{note}\n" for note in dict.fromkeys(notes))


def wheel_words(checks: Sequence[WheelCheck], units: str) -> tuple[str, ...]:
    """How far the wheel is from the plan, and whether that is more than wheel and setting-out explain."""
    if not checks:
        return ()
    said = [f"{check.height}: {_wheel_sentence(check, units)}" for check in checks]
    return (*said, "a wheel is taken to read 0.5 % long on grass, and to be within 1 % of that in 19 of 20 readings")


def _wheel_sentence(check: WheelCheck, units: str) -> str:
    def figure(metres: float) -> str:
        return format_figure(metres, "m", units=units)

    difference = check.difference_m
    beyond = f"{figure(abs(difference))} {'more' if difference > 0 else 'less'} than" if difference else "the same as"
    low, high = check.bias_m - check.room_m, check.bias_m + check.room_m
    room = f"wheel and setting-out explain {figure(low)} to {figure(high)}"
    told = "" if check.explained else ": measure again, or look for an obstacle that stands elsewhere than planned"
    return f"wheel {beyond} the plan's {figure(check.plan_m)}; {room}{told}"

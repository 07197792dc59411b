"""The course times alone, for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from coursecheck.course.model import Course
from coursecheck.reports.tables import plain_table
from coursecheck.times import Times
from coursecheck.units import format_figure
from coursecheck.verdict.model import CourseLength

__all__ = ["render_times"]


def render_times(course: Course, lengths: Sequence[CourseLength], times: Sequence[Times], *, colour: bool) -> str:
    """Length, speed, SCT and MCT of each height class; how each was found, or what keeps it from being given."""
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
    table = plain_table(("height class", "length", "speed", "SCT", "MCT"), rows, colour=colour)
    return f"{course.title}\n\n{table}\n" + "".join(f"{note}\n" for note in dict.fromkeys(notes))

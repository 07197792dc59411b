"""How the lengths and times of a plan came about, each way told once for all classes that share it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from coursecheck.language import clauses, say, written
from coursecheck.reports.wheel_table import formula_words, verdict_formulas
from coursecheck.reports.wording import by_class, height_words, time_note
from coursecheck.times import Times
from coursecheck.verdict.model import Verdict
from coursecheck.wheel import Formulas

__all__ = ["abbreviations", "missing_words", "times_notes", "ways_measured"]


def abbreviations() -> str:
    """What the short names of the times stand for."""
    return say("SCT: standard course time; MCT: maximum course time")


def times_notes(verdict: Verdict) -> tuple[str, ...]:
    """Notes below a table of lengths and times.

    Returns:
        The ways in which lengths were measured, why one has none, the formulas of the times or why there is no time,
        cautions, and what SCT and MCT stand for.
    """
    no_length = [
        (length.height, say("no length: {why}", why=length.why_not)) for length in verdict.lengths if length.why_not
    ]
    pairs = zip(verdict.times, verdict_formulas(verdict), strict=True)
    rules = [(times.height, clauses(_told(times, formulas, verdict.course.units))) for times, formulas in pairs]
    return (
        *ways_measured(verdict),
        *by_class(no_length, verdict),
        *by_class(((height, words) for height, words in rules if words), verdict),
        abbreviations(),
    )


def ways_measured(verdict: Verdict) -> tuple[str, ...]:
    """How the lengths were measured, each way once with its turn radii in the order of the classes."""
    ways: dict[str, list[str]] = {}
    for length in verdict.lengths:
        if length.length_m is not None:
            radii = ways.setdefault(replace(length, turn_radius_m=None).described, [])
            radii += [] if length.turn_radius_m is None else [written(length.turn_radius_m, "g")]
    return tuple(_way_words(way, radii) for way, radii in ways.items())


def _way_words(way: str, radii: Sequence[str]) -> str:
    if not radii:
        return say("length {how}", how=way)
    return say("length {how}, turn radius {radii} m", how=way, radii=" / ".join(radii))


def missing_words(verdict: Verdict) -> tuple[str, ...]:
    """Why a time is missing, each reason once with its classes."""
    missing: dict[str, list[str]] = {}
    for times in verdict.times:
        for name, why_not in ((say("SCT"), times.sct_why_not), (say("MCT"), times.mct_why_not)):
            if why_not:
                missing.setdefault(time_note(name, None, "", why_not), []).append(times.height)
    return tuple(
        say("{classes}: {words}", classes=height_words(heights, verdict), words=words)
        for words, heights in missing.items()
    )


def _told(times: Times, formulas: Formulas, units: str) -> Iterator[str]:
    """The formula of each time, or its rule where it takes more than a length, or why there is none; cautions."""
    by_length = (None, None) if times.length_m is None else formulas.times_s(times.length_m)
    for name, time_s, rule, why_not, formula, reckoned_s in (
        (say("SCT"), times.sct_s, times.sct_rule, times.sct_why_not, formulas.sct, by_length[0]),
        (say("MCT"), times.mct_s, times.mct_rule, times.mct_why_not, formulas.mct, by_length[1]),
    ):
        if time_s is None or formula is None or reckoned_s != time_s:  # such as a time that the judge entered
            yield time_note(name, time_s, rule, why_not)
        else:
            yield f"{name} = {formula_words(formula, units)}"
    yield from times.notes

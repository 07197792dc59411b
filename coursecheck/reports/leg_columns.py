"""The leg table of a report: the legs of a few height classes side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from coursecheck.language import say
from coursecheck.measures.leg_table import LegRow
from coursecheck.units import bare_figure
from coursecheck.verdict.compare import kind_name
from coursecheck.verdict.model import Verdict

__all__ = ["LegTable", "bare", "leg_tables"]

CLASSES_ABREAST = 3  # for the width of a page


@dataclass(frozen=True, slots=True)
class LegTable:
    """The legs of a few height classes side by side: a row holds the leg's words and its figures class by class."""

    classes: tuple[str, ...]
    rows: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]


def leg_tables(verdict: Verdict) -> Iterator[LegTable]:
    """A table for every few classes; none for a plan without a leg."""
    units = verdict.course.units
    tables = verdict.legs
    heights = list(tables)
    for first in range(0, len(heights), CLASSES_ABREAST):
        classes = tuple(heights[first : first + CLASSES_ABREAST])
        rows = zip(*(tables[height] for height in classes), strict=True)
        yield LegTable(classes, tuple((_leg_words(legs[0], units), _leg_figures(legs, units)) for legs in rows))


def _leg_words(row: LegRow, units: str) -> tuple[str, ...]:
    names = (f"{kind_name(row.from_kind)} {row.from_id}", f"{kind_name(row.to_kind)} {row.to_id}")
    return (f"{row.from_pass} – {row.to_pass}", *names, bare(row.centres_m, "m", units))


def _leg_figures(legs: Sequence[LegRow], units: str) -> tuple[str, ...]:
    return tuple(
        figure
        for row in legs
        for figure in (
            say("no line") if row.line_m is None else bare(row.line_m, "m", units),
            bare(row.turn_deg, "deg", units),
            bare(row.straight_m, "m", units),
        )
    )


def bare(value: float | None, unit: str, units: str) -> str:
    """A figure for a column whose head names the unit."""
    if value is None:
        return "–"
    return bare_figure(value, unit, units=units, decimals=0 if unit == "deg" else 2)

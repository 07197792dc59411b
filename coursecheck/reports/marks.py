"""The places of findings on a plan: what was measured, and the flags of those that belong to no single place."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from coursecheck.geometry.frames import Point
from coursecheck.language import say
from coursecheck.measures.model import Witness
from coursecheck.reports.labels import width_mm
from coursecheck.reports.lettering import FLAG_MM, Mark, flag, flag_size
from coursecheck.reports.ring_drawing import FIGURE_MM
from coursecheck.reports.svg import Sheet, circle, path, polygon, text

__all__ = ["bands", "measured", "whole_course", "witnesses"]


def witnesses(marks: Sequence[Mark]) -> list[Witness]:
    """Where the findings are that have a place."""
    return [mark.witness for mark in marks if mark.witness is not None]


def bands(marks: Sequence[Mark], sheet: Sheet) -> Iterator[str]:
    """What was measured along the line or over an area, under everything else."""
    for witness in witnesses(marks):
        if witness.type == "path" and len(witness.points) > 1:
            yield path(sheet.all_at(witness.points), class_="band")


def measured(marks: Sequence[Mark], sheet: Sheet) -> Iterator[str]:
    """What was measured between two points, or at one, or over an area."""
    for witness in witnesses(marks):
        points = sheet.all_at(witness.points)
        if witness.type == "area" and len(points) > 2:
            yield polygon(points, "area")
        elif witness.type == "segment" and len(points) == 2:
            yield from _dimension(points[0], points[1])
        elif witness.type == "point":
            yield from (circle(point, 1.2, "spot") for point in points)


def _dimension(a: Point, b: Point) -> Iterator[str]:
    """A dimension line with a stroke across it at either end."""
    length = math.dist(a, b)
    ux, uy = ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length else (1.0, 0.0)
    ends = [((x + uy, y - ux), (x - uy, y + ux)) for x, y in (a, b)]
    yield path((a, b), *ends, class_="dimension")


def whole_course(marks: Sequence[Mark], left_mm: float, *, linked: bool) -> Iterator[str]:
    """The flags of findings that belong to no single place, in a row at the top."""
    whole = [mark for mark in marks if mark.witness is None]
    if not whole:
        return
    x, y = left_mm, FLAG_MM / 2 + 0.6
    words = say("the whole course:")
    yield text(words, (x, y), "name from-left")
    x += width_mm(words, FIGURE_MM) + 1.0
    for mark in whole:
        wide, _ = flag_size(mark)
        yield flag(mark, (x + wide / 2, y), linked=linked)
        x += wide + 1.4

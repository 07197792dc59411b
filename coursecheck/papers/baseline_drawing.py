"""The base line on the diagram of the setting-out sheet: corners, ticks, and the way off it to each obstacle."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import LineString

from coursecheck.geometry.frames import Point
from coursecheck.measures.scene import Scene
from coursecheck.papers.baselines import Baseline
from coursecheck.reports.drawing import Extra
from coursecheck.reports.labels import Label, around, width_mm
from coursecheck.reports.lettering import NUMBER_MM, Lettering
from coursecheck.reports.ring_drawing import FIGURE_MM
from coursecheck.reports.svg import Sheet, circle, line, path, text
from coursecheck.units import FOOT_M

__all__ = ["baseline_extra"]

SHORT_MM, LONG_MM, FIGURE_OFF_MM = 0.9, 1.8, 3.6
POINT_MM = 0.55


def baseline_extra(scene: Scene, baseline: Baseline) -> Extra:
    """What is drawn over the plan: the line with a tick for every metre, dashes off it, every named point."""
    feet = [(baseline.place(baseline.locate(s.obstacle.at)[0], 0.0), s.obstacle.at) for s in scene.shapes.values()]

    def strokes(sheet: Sheet) -> Iterator[str]:
        for foot, at in feet:
            yield line(sheet.at(foot), sheet.at(at), "leader")
        yield line(sheet.at(baseline.start), sheet.at(baseline.end), "base-line")
        yield path(*_ticks(scene, baseline, sheet), class_="tick")
        for shape in scene.shapes.values():
            yield from (circle(sheet.at(point), POINT_MM, "set-point") for _, point in shape.marks)

    def letters(sheet: Sheet) -> Iterator[Lettering]:
        yield from _figures(scene, baseline, sheet)
        yield from _corners(baseline, sheet)

    leaders = [LineString(ends) for ends in feet if ends[0] != ends[1]]
    return Extra(strokes, letters, (LineString((baseline.start, baseline.end)), *leaders))


def _stops(scene: Scene, baseline: Baseline) -> Iterator[tuple[float, bool, str]]:
    """Where along the line a tick stands, in metres; whether it is a long one; and its figure."""
    unit, long = (FOOT_M, 10) if scene.course.units == "ft" else (1.0, 5)
    for i in range(math.floor(baseline.length_m / unit + 1e-9) + 1):
        yield i * unit, i % long == 0, str(i)


def _outside(baseline: Baseline, along_m: float, out_mm: float, sheet: Sheet) -> Point:
    """A point on the sheet, beside the line on its outer side."""
    return sheet.at(baseline.place(along_m, -out_mm / sheet.mm_per_m))


def _ticks(scene: Scene, baseline: Baseline, sheet: Sheet) -> Iterator[tuple[Point, Point]]:
    for along, long, _ in _stops(scene, baseline):
        ends = (_outside(baseline, along, out, sheet) for out in (0.0, LONG_MM if long else SHORT_MM))
        yield next(ends), next(ends)


def _figures(scene: Scene, baseline: Baseline, sheet: Sheet) -> Iterator[Lettering]:
    """The figure at every long tick; it has one place alone."""
    for along, long, words in _stops(scene, baseline):
        if long:
            at = _outside(baseline, along, FIGURE_OFF_MM, sheet)
            label = Label(at, (width_mm(words, FIGURE_MM), FIGURE_MM), (at,))
            yield _written(words, label, "figure")


def _corners(baseline: Baseline, sheet: Sheet) -> Iterator[Lettering]:
    for words, corner in (("P", baseline.start), ("Q", baseline.end)):
        anchor = sheet.at(corner)
        label = Label(anchor, (NUMBER_MM, NUMBER_MM), around(anchor, (4.0, 5.5, 7.0)))
        yield _written(words, label, "number")


def _written(words: str, label: Label, class_: str) -> Lettering:
    return Lettering(label, lambda place: text(words, place, class_))

"""The ring on the sheet: outline, walls, entrance and exit, blocked places, grid with its figures, scale bar."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Polygon

from coursecheck.course.model import Course, Ring
from coursecheck.geometry.frames import Point
from coursecheck.language import written
from coursecheck.reports.labels import width_mm
from coursecheck.reports.svg import Sheet, circle, line, path, polygon, text
from coursecheck.units import FOOT_M

__all__ = ["FIGURE_MM", "GridFigure", "grid", "grid_figures", "ring", "scale_bar", "scale_bar_mm"]

FIGURE_MM = 2.4
BESIDE_BAR_MM = 7.0
WALL_HATCH_MM = 1.4
CROSS_MM = 0.7
MOST_LINES = 24  # of the grid, either way


@dataclass(frozen=True, slots=True)
class GridFigure:
    """A figure beside the grid: its words and its centre on the sheet."""

    words: str
    at: Point

    @property
    def box(self) -> Polygon:
        """The room it takes."""
        half_w, half_h = width_mm(self.words, FIGURE_MM) / 2, FIGURE_MM / 2
        (x, y) = self.at
        return Polygon(
            [(x - half_w, y - half_h), (x + half_w, y - half_h), (x + half_w, y + half_h), (x - half_w, y + half_h)]
        )


def ring(plan: Ring, sheet: Sheet) -> Iterator[str]:
    """Everything of the ring but its words."""
    yield polygon(sheet.all_at(plan.outline), "edge")
    for i, (a, b) in enumerate(plan.sides()):
        if i in plan.solid:
            yield from _wall(sheet.at(a), sheet.at(b))
    for gap in (plan.entrance, plan.exit):
        if gap is not None:
            yield from _gap(sheet.at(gap[0]), sheet.at(gap[1]))
    for place in plan.blocked:
        if place.outline:
            yield polygon(sheet.all_at(place.outline), "blocked")
        else:
            yield circle(sheet.at(place.centre), place.radius_m * sheet.mm_per_m, "blocked")


def _unit(a: Point, b: Point) -> tuple[float, float, float]:
    length = math.dist(a, b)
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length, length


def _wall(a: Point, b: Point) -> Iterator[str]:
    """A heavy line, hatched on the far side; the outline runs counter-clockwise, so that is to its right."""
    ux, uy, length = _unit(a, b)
    outward = (-uy, ux)  # on the sheet, where y runs down
    strokes = []
    for i in range(int(length / WALL_HATCH_MM)):
        x, y = a[0] + ux * (i + 0.5) * WALL_HATCH_MM, a[1] + uy * (i + 0.5) * WALL_HATCH_MM
        end = (x + (ux + outward[0]) * WALL_HATCH_MM * 0.8, y + (uy + outward[1]) * WALL_HATCH_MM * 0.8)
        strokes.append(((x, y), end))
    yield path(*strokes, class_="thin")
    yield line(a, b, "wall")


def _gap(a: Point, b: Point) -> Iterator[str]:
    """An opening of the edge, with a stroke across it at either end."""
    ux, uy, _ = _unit(a, b)
    yield line(a, b, "gap")
    yield path(*(((x - uy, y + ux), (x + uy, y - ux)) for x, y in (a, b)), class_="bar")


def _step(course: Course, extent_m: float) -> tuple[float, float]:
    """The grid's step in metres, and the length of the unit that its figures are in."""
    unit, step = (FOOT_M, 10.0) if course.units == "ft" else (1.0, 5.0)
    while extent_m / (step * unit) > MOST_LINES:
        step *= 2
    return step * unit, unit


def _stops(course: Course) -> tuple[list[float], list[float], float]:
    """Where the grid's lines lie across and up the ring, and the unit of their figures."""
    x0, y0, x1, y1 = Polygon(course.ring.outline).bounds
    step, unit = _step(course, max(x1 - x0, y1 - y0))

    def stops(low: float, high: float) -> list[float]:
        return [i * step for i in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1)]

    return stops(x0, x1), stops(y0, y1), unit


def grid(course: Course, sheet: Sheet) -> str:
    """A small cross wherever two lines of the grid meet inside the ring."""
    xs, ys, _ = _stops(course)
    inside = Polygon(course.ring.outline)
    x0, y0, x1, y1 = inside.bounds
    crosses = [sheet.at((x, y)) for y in ys for x in xs if x0 < x < x1 and y0 < y < y1]
    strokes = [((x - CROSS_MM, y), (x + CROSS_MM, y)) for x, y in crosses]
    strokes += [((x, y - CROSS_MM), (x, y + CROSS_MM)) for x, y in crosses]
    return path(*strokes, class_="grid")


def grid_figures(course: Course, sheet: Sheet) -> list[GridFigure]:
    """The figures along the bottom and the left side."""
    xs, ys, unit = _stops(course)
    x0, y0, _, _ = Polygon(course.ring.outline).bounds
    left, bottom = sheet.at((x0, y0))
    below = [GridFigure(written(x / unit, "g"), (sheet.at((x, y0))[0], bottom + 3.2)) for x in xs]
    beside = [GridFigure(written(y / unit, "g"), (left - 3.8, sheet.at((x0, y))[1])) for y in ys]
    return below + beside


def scale_bar(course: Course, sheet: Sheet, at: Point, words: str) -> Iterator[str]:
    """Two steps of the grid, drawn as a bar from `at` to the right, and beside it the scale in words."""
    step, unit = _bar_step(course)
    x, y = at
    width = step * sheet.mm_per_m
    for i, class_ in enumerate(("solid", "ground")):
        left = x + i * width
        yield polygon([(left, y), (left + width, y), (left + width, y + 1.0), (left, y + 1.0)], class_)
    suffix = " ft" if course.units == "ft" else " m"
    for i in range(3):
        stop = written(i * step / unit, "g") + (suffix if i == 2 else "")
        yield text(stop, (x + i * width, y + 3.4), "figure")
    yield text(words, (x + 2 * width + BESIDE_BAR_MM, y + 0.6), "figure from-left")


def scale_bar_mm(course: Course, sheet: Sheet, words: str) -> float:
    """How wide the bar with its words is."""
    step, _ = _bar_step(course)
    return 2 * step * sheet.mm_per_m + BESIDE_BAR_MM + width_mm(words, FIGURE_MM)


def _bar_step(course: Course) -> tuple[float, float]:
    x0, y0, x1, y1 = Polygon(course.ring.outline).bounds
    return _step(course, max(x1 - x0, y1 - y0))

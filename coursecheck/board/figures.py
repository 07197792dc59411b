"""The parts of a plan as SVG for the page: the same ink as on the papers, in units of a 1 : 200 sheet.

A metre is five units, so that the style sheet of the papers holds for the page as well.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from coursecheck.board.tape import Stretch
from coursecheck.course.model import Course
from coursecheck.equipment import build_shape
from coursecheck.equipment.shape import Portal, Shape
from coursecheck.geometry.frames import Frame, Point
from coursecheck.measures.scene import Scene
from coursecheck.reports.lettering import start_and_finish
from coursecheck.reports.ring_drawing import grid, grid_figures, ring
from coursecheck.reports.svg import Sheet, line, text, track
from coursecheck.reports.symbols import symbol_parts

__all__ = ["SHEET", "Symbols", "lines_of", "obstacles_of", "ring_of", "stretch_of", "symbol_of"]

SHEET = Sheet(200, 0.0, 0.0)

# Where the number of a pass stands: before the entry and beside it, in metres.
_BACK_M, _BESIDE_M = 0.75, 0.45

_MOST_KEPT = 500  # symbols: a tunnel that is being bent makes a new one with every step


def ring_of(course: Course) -> str:
    """The ring with its walls, gates, blocked places and grid."""
    figures = (text(figure.words, figure.at, "figure") for figure in grid_figures(course, SHEET))
    return "".join([*ring(course.ring, SHEET), grid(course, SHEET), *figures])


def symbol_of(shape: Shape) -> str:
    """An obstacle at the origin, its bearing up the sheet."""
    return "".join(symbol_parts(_at_origin(shape), SHEET))


def _at_origin(shape: Shape) -> Shape:
    bare = replace(shape.obstacle, at=(0.0, 0.0), bearing_deg=0.0)
    return build_shape(bare, lambda _kind, size: shape.sizes[size])


class Symbols:
    """How obstacles of a kind and of given sizes are drawn, kept for the next plan."""

    def __init__(self) -> None:
        self._known: dict[tuple[object, ...], dict[str, Any]] = {}

    def of(self, shape: Shape) -> dict[str, Any]:
        """The drawing of a shape, how far it reaches, its sizes and where its numbers stand.

        Points are (along, right) of the obstacle's bearing.
        """
        exact = (shape.kind.name, *shape.sizes.values())
        if exact not in self._known:
            if len(self._known) >= _MOST_KEPT:
                self._known.clear()
            self._known[exact] = _symbol(_at_origin(shape))
        return self._known[exact]


def _symbol(shape: Shape) -> dict[str, Any]:
    frame = shape.obstacle.frame
    return {
        "drawing": "".join(symbol_parts(shape, SHEET)),
        "outline": [_rounded(frame.locate((x, y))) for x, y in shape.footprint.exterior.coords[:-1]],
        "centre": _rounded(frame.locate(shape.centre)),
        "exit": _rounded(frame.locate(shape.forwards.exit.centre)),
        "sizes": dict(shape.sizes),
        "sides": [_before(shape.way(reverse=reverse).entry, frame) for reverse in (False, True)],
    }


def _rounded(point: Point) -> list[float]:
    return [round(point[0], 4) + 0.0, round(point[1], 4) + 0.0]


def _before(entry: Portal, frame: Frame) -> list[float]:
    """Where the number stands that is taken by this side."""
    # The line beside the poles is one point wide: the number goes to their other side.
    beside = min(entry.half_width_m, 0.6) + _BESIDE_M if entry.half_width_m else -2 * _BESIDE_M
    return _rounded(frame.locate(entry.frame.place(-_BACK_M, beside)))


def obstacles_of(scene: Scene, symbols: Symbols) -> tuple[dict[str, Any], dict[str, Any]]:
    """How each obstacle is drawn.

    Returns:
        For each id the key of its symbol and its numbers by the side that they are taken from; and the symbols.
    """
    numbers: dict[tuple[str, bool], list[str]] = {}
    for run in scene.passes:
        numbers.setdefault((run.obstacle, run.reverse), []).append(str(run.number))
    placed: dict[str, Any] = {}
    used: dict[str, Any] = {}
    for name, shape in scene.shapes.items():
        key = " ".join([shape.kind.name, *map(str, shape.sizes.values())])
        used[key] = symbols.of(shape)
        placed[name] = {
            "symbol": key,
            "numbers": [", ".join(numbers.get((name, reverse), ())) for reverse in (False, True)],
        }
    return placed, used


def stretch_of(stretch: Stretch) -> dict[str, Any]:
    """A stretch of the line: its ends, its drawing, and how long it is along the line and straight, in metres."""
    return {
        "ends": [_rounded(end) for end in stretch.ends],
        "drawing": track(stretch.pieces, SHEET, "stretch") if stretch.pieces else "",
        "along": round(stretch.length_m, 4),
        "straight": round(math.dist(*stretch.ends), 4),
    }


def lines_of(scene: Scene) -> list[str]:
    """The line: dashed where a tunnel hides it, dotted where no dog can run it; start and finish. Its parts."""
    passes, legs = scene.line.passes, scene.line.legs

    def passed(missing: list[int]) -> Iterator[str]:
        for i in missing:
            hidden = scene.shape(scene.passes[i]).kind.family == "tunnel"
            yield track(passes[i].segments, SHEET, "run hidden" if hidden else "run")

    def led(missing: list[int]) -> Iterator[str]:
        for leg in (legs[i] for i in missing):
            drawn = "run" if leg.problem is None else "run no-line"
            yield track(leg.segments, SHEET, drawn) if leg.segments else ""

    return [
        *(line(SHEET.at(a), SHEET.at(b), "start") for _, (a, b) in start_and_finish(scene)),
        *scene.memo.many("drawn pass", scene.pass_keys, passed),
        *filter(None, scene.memo.many("drawn leg", scene.leg_keys, led)),
    ]

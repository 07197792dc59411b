"""The parts of a plan as SVG for the page: the same ink as on the papers, in units of a 1 : 200 sheet.

A metre is five units, so that the style sheet of the papers holds for the page as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from coursecheck.equipment import build_shape
from coursecheck.equipment.shape import Portal, Shape
from coursecheck.geometry.frames import Frame
from coursecheck.measures.scene import Scene
from coursecheck.reports.lettering import start_and_finish
from coursecheck.reports.ring_drawing import grid, grid_figures, ring
from coursecheck.reports.svg import Sheet, line, text, track
from coursecheck.reports.symbols import symbol_parts

__all__ = ["SHEET", "lines_of", "obstacles_of", "ring_of", "symbol_of"]

SHEET = Sheet(200, 0.0, 0.0)

# Where the number of a pass stands: before the entry and beside it, in metres.
_BACK_M, _BESIDE_M = 0.75, 0.45

_MOST_KEPT = 500  # symbols: a tunnel that is being bent makes a new one with every step


def ring_of(scene: Scene) -> str:
    """The ring with its walls, gates, blocked places and grid."""
    figures = (text(figure.words, figure.at, "figure") for figure in grid_figures(scene.course, SHEET))
    return "".join([*ring(scene.course.ring, SHEET), grid(scene.course, SHEET), *figures])


def symbol_of(shape: Shape) -> str:
    """An obstacle at the origin, its bearing up the sheet."""
    bare = replace(shape.obstacle, at=(0.0, 0.0), bearing_deg=0.0)
    at_origin = build_shape(bare, lambda _kind, size: shape.sizes[size])
    return "".join(symbol_parts(at_origin, SHEET))


def obstacles_of(scene: Scene, known: dict[tuple[object, ...], str]) -> tuple[dict[str, Any], dict[str, str]]:
    """How each obstacle is drawn.

    Args:
        scene: the plan.
        known: symbols by kind and sizes that were drawn before; takes the new ones.

    Returns:
        For each id the key of its symbol, how far it reaches, its sizes and its numbers in its own frame; and the
        symbols by key.
    """
    drawn: dict[str, str] = {}
    placed: dict[str, Any] = {}
    for name, shape in scene.shapes.items():
        key = f"{shape.kind.name} " + " ".join(f"{size}={value:g}" for size, value in shape.sizes.items())
        if key not in drawn:
            exact = (shape.kind.name, *shape.sizes.items())
            if exact not in known:
                if len(known) >= _MOST_KEPT:
                    known.clear()
                known[exact] = symbol_of(shape)
            drawn[key] = known[exact]
        frame = shape.obstacle.frame
        placed[name] = {
            "symbol": key,
            "outline": [_rounded(frame.locate((x, y))) for x, y in shape.footprint.exterior.coords[:-1]],
            "centre": _rounded(frame.locate(shape.centre)),
            "sizes": dict(shape.sizes),
            "numbers": list(_numbers(scene, name, frame)),
            "exit": _rounded(frame.locate(shape.forwards.exit.centre)),
        }
    return placed, drawn


def _rounded(point: tuple[float, float]) -> list[float]:
    return [round(point[0], 4) + 0.0, round(point[1], 4) + 0.0]


def _numbers(scene: Scene, name: str, frame: Frame) -> Iterator[dict[str, Any]]:
    """The numbers by the side that they are taken from, with their place before that side."""
    for reverse in (False, True):
        runs = [run for run in scene.passes if run.obstacle == name and run.reverse == reverse]
        if runs:
            entry: Portal = scene.way(runs[0]).entry
            # The line beside the poles is one point wide: the number goes to their other side.
            beside = min(entry.half_width_m, 0.6) + _BESIDE_M if entry.half_width_m else -2 * _BESIDE_M
            place = entry.frame.place(-_BACK_M, beside)
            yield {"words": ", ".join(str(run.number) for run in runs), "at": _rounded(frame.locate(place))}


def lines_of(scene: Scene) -> str:
    """The line: dashed where a tunnel hides it, dotted where no dog can run it; start and finish."""
    parts = [line(SHEET.at(a), SHEET.at(b), "start") for _, (a, b) in start_and_finish(scene)]
    for run in scene.line.passes:
        hidden = scene.shape(scene.passes[run.number - 1]).kind.family == "tunnel"
        parts.append(track(run.segments, SHEET, "run hidden" if hidden else "run"))
    parts += [
        track(leg.segments, SHEET, "run" if leg.problem is None else "run no-line")
        for leg in scene.line.legs
        if leg.segments
    ]
    return "".join(parts)

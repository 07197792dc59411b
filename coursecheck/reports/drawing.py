"""The plan as one SVG drawing, to scale: ring, obstacles, line, numbers, and the places of findings."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.segments import Segment, length_of
from coursecheck.language import say
from coursecheck.measures.scene import Scene
from coursecheck.reports.labels import width_mm
from coursecheck.reports.lettering import (
    FLAG_MM,
    Lettering,
    Mark,
    flag,
    flag_size,
    flags,
    names,
    numbers,
    start_and_finish,
)
from coursecheck.reports.marks import bands, measured, whole_course, witnesses
from coursecheck.reports.placing import places_of
from coursecheck.reports.ring_drawing import FIGURE_MM, grid, grid_figures, ring, scale_bar, scale_bar_mm
from coursecheck.reports.svg import SCALES, Sheet, element, escaped, line, path, text, track
from coursecheck.reports.symbols import symbol
from coursecheck.reports.terms import outcome_words
from coursecheck.resources import folder

__all__ = ["MARGINS_MM", "Extra", "Look", "Mark", "draw_plan", "ground_extent", "order_words", "scale_that_fits"]

ROOM_MM = (160.0, 202.0)  # what a page of A4 leaves for the ground
LEFT_MM, TOP_MM, RIGHT_MM, BOTTOM_MM = 10.0, 9.0, 10.0, 18.0  # what stands around the ground
MARGINS_MM = (LEFT_MM + RIGHT_MM, TOP_MM + BOTTOM_MM)
"""How much wider and higher a drawing is than the ground on it."""

ARROW_MM = 1.5
LEAST_ARROW_M = 1.2


@dataclass(frozen=True, slots=True)
class Look:
    """What a drawing shows.

    Attributes:
        paper: the name of the paper, as in "printed on A4".
        line: whether the dog's line is drawn.
        grid: whether the grid with its figures is drawn.
        named: whether every obstacle shows its id, or only those without a number.
    """

    paper: str = "A4"
    line: bool = True
    grid: bool = True
    named: bool = False


PLAIN = Look()


@dataclass(frozen=True, slots=True)
class Extra:
    """What a paper draws over a plan: strokes, and words that want a place among the others.

    Attributes:
        strokes: elements on the sheet, before the words.
        letters: words and where they may stand.
        lines: where the strokes run, in metres; words keep off them.
    """

    strokes: Callable[[Sheet], Iterable[str]]
    letters: Callable[[Sheet], Iterable[Lettering]]
    lines: Sequence[BaseGeometry] = ()


def draw_plan(
    scene: Scene,
    marks: Sequence[Mark] = (),
    *,
    title: str,
    line_words: str = "",
    linked: bool = False,
    room_mm: tuple[float, float] = ROOM_MM,
    look: Look = PLAIN,
    extra: Extra | None = None,
) -> str:
    """The drawing of a plan.

    Args:
        scene: the plan with its shapes and its line.
        marks: the findings to show, with their numbers.
        title: what the drawing is, for screen readers.
        line_words: whose line it is, for the key; by default the dog's.
        linked: whether flags lead to the findings of the page that the drawing stands in.
        room_mm: width and height that the page leaves for the ground.
        look: what it shows.
        extra: what is drawn over it.

    Returns:
        One `svg` element in millimetres of the sheet, the same for the same input. It names nothing outside itself.
    """
    sheet, (width, height) = _sheet(scene, room_mm)
    width = max(width, LEFT_MM + scale_bar_mm(scene.course, sheet, _scale_words(sheet, look)))
    lettered = [*numbers(scene, sheet), *flags(marks, sheet, linked=linked)]
    lettered += [*(extra.letters(sheet) if extra else ()), *names(scene, sheet, everyone=look.named)]
    figures = grid_figures(scene.course, sheet) if look.grid else []
    dimensions = [shapely.LineString(w.points) for w in witnesses(marks) if w.type == "segment"]
    places = places_of(
        lettered,
        scene,
        sheet,
        line=look.line,
        others=(*dimensions, *(extra.lines if extra else ())),
        taken=[figure.box for figure in figures],
        paper=shapely.box(0.5, FLAG_MM + 1.5, width - 0.5, height - BOTTOM_MM + 5.0),
    )
    return element(
        "svg",
        element("title", escaped(title), id="plan-title"),
        element("desc", escaped(_description(scene)), id="plan-description"),
        element("style", (folder("reports") / "plan.css").read_text(encoding="utf-8")),
        _HATCH,
        element("g", *ring(scene.course.ring, sheet), *_grid(scene, sheet, look), class_="ring"),
        element("g", *(text(f.words, f.at, "figure") for f in figures), class_="figures"),
        element("g", *bands(marks, sheet), class_="bands"),
        element("g", *_obstacles(scene, sheet), class_="obstacles"),
        element("g", *(_line(scene, sheet) if look.line else ()), class_="line"),
        element("g", *measured(marks, sheet), class_="measured"),
        element("g", *(extra.strokes(sheet) if extra else ()), class_="extra"),
        element("g", *(w.draw(at) for w, at in zip(lettered, places, strict=True)), class_="lettering"),
        element("g", *whole_course(marks, LEFT_MM, linked=linked), class_="whole-course"),
        element("g", *_scale(scene, sheet, look, height), class_="scale"),
        element(
            "g",
            *_key(marks, tuple(_lines(scene, line_words)) if look.line else (), height),
            class_="key",
        ),
        xmlns="http://www.w3.org/2000/svg",
        class_="plan",
        role="group",
        aria_labelledby="plan-title plan-description",
        viewBox=f"0 0 {width:.1f} {height:.1f}",
        width=f"{width:.1f}mm",
        height=f"{height:.1f}mm",
    )


_HATCH = element(
    "defs",
    element(
        "pattern",
        element("path", d="M0 0V1.2", class_="hatching"),
        id="plan-hatch",
        width=1.2,
        height=1.2,
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    ),
)


def ground_extent(scene: Scene) -> tuple[float, float, float, float]:
    """The left, bottom, right and top of everything that stands on the ground, in metres."""
    ground: list[BaseGeometry] = [scene.ring, *(shape.footprint for shape in scene.shapes.values())]
    left, bottom, right, top = shapely.union_all(ground).bounds
    return left, bottom, right, top


def scale_that_fits(scene: Scene, room_mm: tuple[float, float]) -> int:
    """The largest scale, 1 to n, at which everything fits the room; the smallest there is where none does."""
    left, bottom, right, top = ground_extent(scene)
    fits = (n for n in SCALES if (right - left) * 1000 / n <= room_mm[0] and (top - bottom) * 1000 / n <= room_mm[1])
    return next(fits, SCALES[-1])


def _sheet(scene: Scene, room_mm: tuple[float, float]) -> tuple[Sheet, tuple[float, float]]:
    """The sheet and its size in millimetres."""
    left, bottom, right, top = ground_extent(scene)
    scale = scale_that_fits(scene, room_mm)
    mm = 1000 / scale
    sheet = Sheet(scale, left - LEFT_MM / mm, top + TOP_MM / mm)
    return sheet, ((right - left) * mm + MARGINS_MM[0], (top - bottom) * mm + MARGINS_MM[1])


def _description(scene: Scene) -> str:
    loose = [name for name in scene.shapes if not scene.numbers(name)]
    sentences = [say("A plan of the ring seen from above, drawn to scale."), order_words(scene)]
    sentences += [say("Not in the sequence: {names}.", names=", ".join(loose))] if loose else []
    return " ".join(sentences)


def order_words(scene: Scene) -> str:
    """The sequence in a sentence: number, kind and name of each pass."""
    runs = [f"{run.number} {say(scene.shape(run).kind.title)} {run.obstacle}" for run in scene.passes]
    if not runs:
        return say("No obstacle has a number yet.")
    return say("In order: {passes}.", passes=", ".join(runs))


def _obstacles(scene: Scene, sheet: Sheet) -> Iterator[str]:
    for name, shape in scene.shapes.items():
        yield symbol(shape, sheet, scene.numbers(name))
    for _, (a, b) in start_and_finish(scene):
        yield line(sheet.at(a), sheet.at(b), "start")


def _grid(scene: Scene, sheet: Sheet, look: Look) -> Iterator[str]:
    if look.grid:
        yield grid(scene.course, sheet)


def _line(scene: Scene, sheet: Sheet) -> Iterator[str]:
    """The line: dashed where a tunnel hides it, dotted where no dog can run it; an arrow on every leg."""
    for run in scene.line.passes:
        hidden = scene.shape(scene.passes[run.number - 1]).kind.family == "tunnel"
        yield track(run.segments, sheet, "run hidden" if hidden else "run")
    for leg in scene.line.legs:
        if leg.segments:
            yield track(leg.segments, sheet, "run" if leg.problem is None else "run no-line")
            yield from _arrow(leg.segments, sheet)


def _arrow(segments: Sequence[Segment], sheet: Sheet) -> Iterator[str]:
    """An arrow head half way."""
    rest = length_of(segments) / 2
    if 2 * rest < LEAST_ARROW_M:
        return
    for segment in segments:
        if rest <= segment.length_m:
            pose = segment.at(rest)
            tip, reach = sheet.at(pose.point), ARROW_MM
            ends = [
                (tip[0] - reach * math.cos(pose.heading + turn), tip[1] + reach * math.sin(pose.heading + turn))
                for turn in (0.42, -0.42)
            ]
            yield path((ends[0], tip, ends[1]), class_="arrow")
            return
        rest -= segment.length_m


def _scale(scene: Scene, sheet: Sheet, look: Look, height: float) -> Iterator[str]:
    yield from scale_bar(scene.course, sheet, (LEFT_MM, height - BOTTOM_MM + 6.5), _scale_words(sheet, look))


def _scale_words(sheet: Sheet, look: Look) -> str:
    return say("1 : {scale} when printed on {paper} at full size", scale=sheet.scale, paper=look.paper)


def _lines(scene: Scene, line_words: str) -> Iterator[tuple[str, str]]:
    """The sorts of line that are drawn: how each looks, and what it stands for."""
    if scene.line.passes:
        yield "run", line_words or say("the dog's line")
    if any(leg.problem is not None and leg.segments for leg in scene.line.legs):
        yield "run no-line", say("no clear way")


def _key(marks: Sequence[Mark], lines: Sequence[tuple[str, str]], height: float) -> Iterator[str]:
    """What the line and the flags stand for."""
    x, y = LEFT_MM, height - BOTTOM_MM + 14.5
    for look, words in lines:
        yield path(((x, y), (x + 7, y)), class_=look)
        yield text(words, (x + 8.5, y), "name from-left")
        x += 11.5 + width_mm(words, FIGURE_MM)
    for outcome in dict.fromkeys(mark.outcome for mark in marks):
        sample = Mark(0, outcome, "", None)
        words = outcome_words(outcome)
        wide, _ = flag_size(sample)
        yield flag(sample, (x + wide / 2, y), linked=False)
        yield text(words, (x + wide + 1.5, y), "name from-left")
        x += wide + 4.5 + width_mm(words, FIGURE_MM)

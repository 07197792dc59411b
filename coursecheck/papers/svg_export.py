"""The plan as SVG in metres, for other programs: one group for each obstacle, named by its id."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from coursecheck.equipment.shape import Shape
from coursecheck.geometry.frames import Point
from coursecheck.language import say, written
from coursecheck.measures.scene import Scene
from coursecheck.papers import PaperOptions
from coursecheck.papers.features import Feature, features, obstacle_features
from coursecheck.reports.drawing import ground_extent, order_words
from coursecheck.reports.lettering import NUMBER_MM, Lettering, names, numbers
from coursecheck.reports.placing import places_of
from coursecheck.reports.ring_drawing import FIGURE_MM
from coursecheck.reports.svg import Sheet, circle, element, escaped, line, path, polygon, track
from coursecheck.reports.symbols import obstacle_words
from coursecheck.resources import folder
from coursecheck.verdict.model import Verdict

__all__ = ["render"]

GROUND = Sheet(1000, 0.0, 0.0)
"""A sheet on which a unit is a metre: x as in the ring, y turned downwards."""

SCALE = 200  # of the lettering, and of the drawing where a program prints it at its own size
MARGIN_M = 2.0

MARK_M = 0.04


def render(verdict: Verdict, options: PaperOptions) -> str:
    """The drawing.

    Its coordinates are those of the ring in metres, with y turned: what lies y metres up the plan lies at -y. Groups
    are `ring`, `obstacle-ID`, `line` (absent without the line) and `lettering`, each with a title; the whole has a
    title and a description.
    """
    height = options.height_of(verdict)
    scene = verdict.scenes[height]
    left, bottom, right, top = ground_extent(scene)
    x, y, wide, high = left - MARGIN_M, -top - MARGIN_M, right - left + 2 * MARGIN_M, top - bottom + 2 * MARGIN_M
    drawn = element(
        "svg",
        element("title", escaped(say("Plan of {title}", title=verdict.course.title)), id="plan-title"),
        element("desc", escaped(_description(scene, height)), id="plan-description"),
        element("style", _style()),
        element("g", element("title", escaped(say("ring"))), *_ring(scene), id="ring"),
        *(_obstacle(shape, scene) for shape in scene.shapes.values()),
        *(
            [
                element(
                    "g",
                    element("title", escaped(say("line, class {height}", height=height))),
                    *_line(scene),
                    id="line",
                )
            ]
            if options.line
            else ()
        ),
        element(
            "g",
            element("title", escaped(say("numbers and names"))),
            *_words(scene, line=options.line),
            id="lettering",
        ),
        xmlns="http://www.w3.org/2000/svg",
        role="group",
        aria_labelledby="plan-title plan-description",
        viewBox=f"{x:.3f} {y:.3f} {wide:.3f} {high:.3f}",
        width=f"{wide * 1000 / SCALE:.3f}mm",
        height=f"{high * 1000 / SCALE:.3f}mm",
    )
    return f"{drawn}\n"


def _style() -> str:
    """The style sheet, with letters as large as they are on paper at SCALE."""
    sizes = (("number", NUMBER_MM), ("name", FIGURE_MM))
    letters = "".join(f".{class_} {{ font-size: {_m(size)}px; }}\n" for class_, size in sizes)
    return (folder("reports") / "exchange.css").read_text(encoding="utf-8") + letters


def _m(value_mm: float) -> float:
    """Metres on the ground of a length on paper."""
    return round(value_mm * SCALE / 1000, 6)


def _description(scene: Scene, height: str) -> str:
    sentences = (
        say("The ring seen from above, at real size."),
        order_words(scene),
        say("Sizes and line of the class {height}.", height=height),
        say("One unit is a metre; x to the right from the ring's bottom left, y up the plan with its sign turned."),
    )
    return " ".join(sentences)


def _ring(scene: Scene) -> Iterator[str]:
    owned = {"footprint", "solid", "bar", "mark", "number"}
    yield from (_drawn(piece) for piece in features(scene, line=False) if piece.part not in owned)


def _obstacle(shape: Shape, scene: Scene) -> str:
    name, kind = shape.obstacle.id, shape.kind
    words = obstacle_words(shape, scene.numbers(name))
    sizes = ", ".join(f"{say(size)} {written(value, 'g')}" for size, value in shape.sizes.items())
    pieces = [_drawn(piece) for piece in obstacle_features(shape, scene) if piece.part != "number"]
    described = say("Bearing {bearing:g} degrees; {sizes}.", bearing=shape.obstacle.bearing_deg, sizes=sizes)
    return element(
        "g",
        element("title", escaped(words)),
        element("desc", escaped(described)),
        *pieces,
        id=f"obstacle-{name}",
        class_=f"obstacle {kind.family} {kind.name}",
    )


def _drawn(piece: Feature) -> str:
    points = GROUND.all_at(piece.points)
    if piece.form == "area":
        return polygon(points, piece.part)
    if piece.form == "point":
        return circle(points[0], MARK_M, piece.part)
    return line(points[0], points[1], piece.part) if len(points) == 2 else path(points, class_=piece.part)


def _line(scene: Scene) -> Iterator[str]:
    """The line in exact arcs: dashed in a tunnel, dotted where no dog can run it."""
    for run in scene.line.passes:
        hidden = scene.shape(scene.passes[run.number - 1]).kind.family == "tunnel"
        yield track(run.segments, GROUND, "run hidden" if hidden else "run")
    for leg in scene.line.legs:
        if leg.segments:
            yield track(leg.segments, GROUND, "run" if leg.problem is None else "run no-line")


def _words(scene: Scene, *, line: bool) -> Iterator[str]:
    """Numbers and names, placed as on paper at SCALE and brought to metres."""
    left, bottom, right, top = ground_extent(scene)
    sheet = Sheet(SCALE, left - MARGIN_M, top + MARGIN_M)
    lettered: list[Lettering] = [*numbers(scene, sheet), *names(scene, sheet)]
    end = sheet.at((right + MARGIN_M, bottom - MARGIN_M))
    places = places_of(lettered, scene, sheet, line=line, paper=shapely.box(0.0, 0.0, *end))
    for letter, (x, y) in zip(lettered, places, strict=True):
        at: Point = (sheet.left_m + x / sheet.mm_per_m, y / sheet.mm_per_m - sheet.top_m)
        yield letter.draw(at)

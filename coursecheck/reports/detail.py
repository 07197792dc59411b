"""The place of a finding at a larger scale, with what was measured and what is asked as dimension lines."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.frames import Frame, Point
from coursecheck.geometry.segments import Segment
from coursecheck.language import say
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.reports.labels import width_mm
from coursecheck.reports.lettering import numbers
from coursecheck.reports.placing import places_of
from coursecheck.reports.svg import Sheet, circle, element, escaped, figure, line, path, polygon, text, track
from coursecheck.reports.symbols import symbol_parts
from coursecheck.resources import folder
from coursecheck.units import FLOAT_NOISE, bare_figure, format_apart
from coursecheck.verdict.model import Finding

__all__ = ["SIZE_MM", "draw_detail"]

SIZE_MM = (104.0, 64.0)
"""The most that a detail takes, its dimension lines below it left aside."""

USUAL_MM = (104.0, 48.0)  # what it takes where that leaves a scale of
LARGE = 100  # 1 to 100 or more

SCALES = (10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500)
AROUND_M = 0.8  # of the ground, around what was measured
OFF_MM, APART_MM = 3.4, 4.6  # of the dimension lines from what was measured, and from each other
TIP_MM = 1.5
ROW_MM = 4.4
WORDS_MM = 2.5
SAME_M = 0.01
FEW = 2  # obstacles that are looked for beside what was measured; corners of an area are more
SAMPLE_MM = 10.0


@dataclass(frozen=True, slots=True)
class _Words:
    """A row of words below the drawing, and the length of a curve that is drawn out straight beside them."""

    words: str
    class_: str
    length_m: float | None


@dataclass(frozen=True, slots=True)
class _Window:
    """The part of the plan that is shown: the sheet, its size in millimetres, and the same on the ground."""

    sheet: Sheet
    width: float
    height: float
    ground: BaseGeometry


def draw_detail(scene: Scene, finding: Finding, number: int, words: str) -> str:
    """The drawing of one finding.

    Args:
        scene: the plan of the height class that it was found for.
        finding: with its witness; ValueError without one.
        number: its number in the report.
        words: what it is, for screen readers.

    Returns:
        One `svg` element in millimetres that names nothing outside itself.
    """
    witness = finding.witness
    if witness is None:
        raise ValueError("a finding that was measured nowhere has no place to draw")
    rows = list(_rows(finding, witness, scene.course.units))
    window = _window(scene, finding, witness, rows)
    height = window.height + (ROW_MM * len(rows) + 1.5 if rows else 0.0)
    clip = f"detail-{number}"
    frame = element("rect", class_="frame", width=window.width, height=window.height)
    drawn = element("g", *_plan(scene, window), *_marked(scene, finding, witness, window), clip_path=f"url(#{clip})")
    dimension = finding.unit == "m" and witness.type in ("segment", "path")
    feet = [window.height + ROW_MM * (i + 0.75) for i in range(len(rows))]
    below = [part for row, y in zip(rows, feet, strict=True) for part in _row(row, window, y, dimension=dimension)]
    return element(
        "svg",
        element("title", escaped(words)),
        element("style", _style()),
        element("clipPath", element("rect", width=window.width, height=window.height), id=clip),
        frame,
        drawn,
        element("g", *_numbers(scene, window, _taken(witness, window.sheet))),
        element("rect", class_="plate", x=0.2, y=window.height - 3.8, width=12.0, height=3.6),
        text(f"1 : {window.sheet.scale}", (1.2, window.height - 2.0), "scale from-left"),
        *below,
        xmlns="http://www.w3.org/2000/svg",
        class_="detail",
        role="img",
        viewBox=f"0 0 {figure(window.width)} {figure(height)}",
        width=f"{figure(window.width)}mm",
        height=f"{figure(height)}mm",
    )


@cache
def _style() -> str:
    return (folder("reports") / "detail.css").read_text(encoding="utf-8")


def _window(scene: Scene, finding: Finding, witness: Witness, rows: Sequence[_Words]) -> _Window:
    """As large a scale as what was measured, whom it belongs to, and the asked length leave."""
    left, bottom, right, top = shapely.union_all(list(_near(scene, finding, witness))).buffer(AROUND_M).bounds
    unrolled = max((row.length_m or 0.0 for row in rows), default=0.0)
    wide, high = max(right - left, unrolled), top - bottom
    scale = _scale(wide, high, USUAL_MM)
    if scale > LARGE:
        scale = _scale(wide, high, SIZE_MM)
    mm = 1000 / scale
    words = max((SAMPLE_MM + 5.0 + width_mm(row.words, WORDS_MM) for row in rows), default=0.0)
    width, height = max(wide * mm + 2.0, words, 48.0), max(high * mm, 26.0)
    x, y = (left + right) / 2 - width / mm / 2, (top + bottom) / 2 + height / mm / 2
    return _Window(Sheet(scale, x, y), width, height, shapely.box(x, y - height / mm, x + width / mm, y))


def _scale(wide_m: float, high_m: float, size_mm: tuple[float, float]) -> int:
    """The largest scale at which so much ground fits."""
    fits = (n for n in SCALES if wide_m * 1000 / n <= size_mm[0] and high_m * 1000 / n <= size_mm[1])
    return next(fits, SCALES[-1])


def _near(scene: Scene, finding: Finding, witness: Witness) -> Iterator[BaseGeometry]:
    """What has to be in sight: what was measured, and its obstacles, long ones only where nothing else is."""
    yield shapely.MultiPoint(witness.points)
    runs = finding.passes if len(finding.passes) <= FEW else ()
    for name in dict.fromkeys((*finding.obstacles[:FEW], *(scene.passes[number - 1].obstacle for number in runs))):
        shape = scene.shapes.get(name)
        if shape is not None and (witness.type in ("point", "area") or shape.kind.family == "jump"):
            yield shape.footprint


def _plan(scene: Scene, window: _Window) -> Iterator[str]:
    """What stands on this piece of ground, and the line over it."""
    sheet = window.sheet
    for i, (a, b) in enumerate(scene.course.ring.sides()):
        yield line(sheet.at(a), sheet.at(b), "edge wall" if i in scene.course.ring.solid else "edge")
    for ground in scene.blocked.values():
        yield polygon(sheet.all_at((x, y) for x, y in ground.exterior.coords[:-1]), "blocked")
    for shape in scene.shapes.values():
        if shape.footprint.intersects(window.ground):
            yield from symbol_parts(shape, sheet)
    yield from (track(segments, sheet, "run") for segments in _pieces(scene))


def _numbers(scene: Scene, window: _Window, taken: Sequence[BaseGeometry]) -> Iterator[str]:
    """The pass numbers of the obstacles whose entry is in sight."""
    paper = shapely.box(1.0, 1.0, window.width - 1.0, window.height - 1.0)
    letters = [
        letter for letter in numbers(scene, window.sheet) if paper.contains(shapely.Point(letter.label.anchor))
    ]
    places = places_of(letters, scene, window.sheet, line=True, taken=taken, paper=paper)
    for letter, at in zip(letters, places, strict=True):
        yield letter.draw(at)


def _pieces(scene: Scene) -> Iterator[tuple[Segment, ...]]:
    """The line, pass by pass and leg by leg."""
    yield from (run.segments for run in scene.line.passes)
    yield from (leg.segments for leg in scene.line.legs if leg.segments)


def _marked(scene: Scene, finding: Finding, witness: Witness, window: _Window) -> Iterator[str]:
    """What was measured, and beside a straight one its dimension lines."""
    points = window.sheet.all_at(witness.points)
    if witness.type == "area" and len(points) > FEW:
        yield polygon(points, "area")
    elif witness.type == "point" or len(points) == 1:
        yield from (circle(point, 1.6, "spot") for point in points)
    else:
        yield path(points, class_="band")
        ends = _straight(finding, witness)
        if ends is not None:
            a, b = (window.sheet.at(end) for end in ends)
            yield from _dimensions(finding, a, b, window, scene.course.units)
    if finding.unit == "deg" and witness.type == "segment" and finding.max is not None:
        yield from _cone(scene, finding, window.sheet)


def _straight(finding: Finding, witness: Witness) -> tuple[Point, Point] | None:
    """The ends of what was measured, where it is a length along a straight."""
    a, b = witness.points[0], witness.points[-1]
    if finding.unit != "m" or math.dist(a, b) <= FLOAT_NOISE or not isinstance(finding.measured, (int, float)):
        return None
    if abs(math.dist(a, b) - finding.measured) > SAME_M:  # a path bends, or reaches beyond what was measured of it
        return None
    return a, b


def _dimensions(finding: Finding, a: Point, b: Point, window: _Window, units: str) -> Iterator[str]:
    """Two dimension lines beside a straight from a to b, on the side that has more room."""
    length = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    middle = ((a[0] + b[0]) / 2 - window.width / 2, (a[1] + b[1]) / 2 - window.height / 2)
    side = -1.0 if -uy * middle[0] + ux * middle[1] > 0 else 1.0
    nx, ny = -uy * side, ux * side
    bound, asked_m = None, finding.bound
    if asked_m:
        bound = asked_m * window.sheet.mm_per_m
    for off, reach, class_ in ((OFF_MM, length, "measured"), (OFF_MM + APART_MM, bound, "needed")):
        if reach is None:
            continue
        start = (a[0] + nx * off, a[1] + ny * off)
        end = (start[0] + ux * reach, start[1] + uy * reach)
        foot = (a[0] + ux * reach, a[1] + uy * reach)
        yield path((a, (start[0] + nx, start[1] + ny)), (foot, (end[0] + nx, end[1] + ny)), class_="helper")
        yield from _arrowed(start, end, class_)
        yield from _on_line(
            start, end, f"{class_}-words", bare_figure(reach / window.sheet.mm_per_m, "m", units=units)
        )


def _on_line(a: Point, b: Point, class_: str, words: str) -> Iterator[str]:
    """The figure on a dimension line, where the line is long enough; read from below or from the right."""
    room = width_mm(words, WORDS_MM) + 0.6
    if math.dist(a, b) < room + 4 * TIP_MM:
        return
    at = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    turned = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    turned = (turned + 90.0) % 180.0 - 90.0
    turn = f"rotate({figure(turned)} {figure(at[0])} {figure(at[1])})"
    plate = {"x": at[0] - room / 2, "y": at[1] - 1.4, "width": room, "height": 2.8}
    yield element("rect", class_="plate", transform=turn, **plate)
    yield text(words, at, class_, turned)


def _arrowed(a: Point, b: Point, class_: str, *, tips: bool = True) -> Iterator[str]:
    """A line with a filled tip at either end, where there is room for both."""
    length = math.dist(a, b)
    yield line(a, b, class_)
    if length < 2.5 * TIP_MM or not tips:
        return
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    for (x, y), way in ((a, 1.0), (b, -1.0)):
        back = (x + ux * TIP_MM * way, y + uy * TIP_MM * way)
        corners = [(x, y), (back[0] - uy * 0.4, back[1] + ux * 0.4), (back[0] + uy * 0.4, back[1] - ux * 0.4)]
        yield polygon(corners, "tip" if class_ == "measured" else "dark-tip")


def _cone(scene: Scene, finding: Finding, sheet: Sheet) -> Iterator[str]:
    """The directions that are allowed into the obstacle."""
    if not finding.passes or finding.witness is None or finding.max is None or finding.max >= 180:
        return
    way = scene.way(scene.passes[finding.passes[-1] - 1])
    reach = math.dist(finding.witness.points[0], finding.witness.points[-1])
    (x, y) = finding.witness.points[-1]
    for turn in (-finding.max, 0.0, finding.max):
        frame = Frame((x, y), way.entry.bearing_deg + turn)
        yield line(sheet.at((x, y)), sheet.at(frame.place(-reach, 0.0)), "needed" if turn else "helper")


def _taken(witness: Witness, sheet: Sheet) -> list[BaseGeometry]:
    """Where what was measured is drawn, with its dimension lines on either hand."""
    points = sheet.all_at(witness.points)
    drawn = shapely.Point(points[0]) if len(points) == 1 else LineString(points)
    return [drawn.buffer(OFF_MM if witness.type == "segment" else 1.0)]


def _rows(finding: Finding, witness: Witness, units: str) -> Iterator[_Words]:
    """What was measured and what is asked, in words; of a length along a curve with that length, too."""
    measured, bound = finding.measured, finding.bound
    if not isinstance(measured, (int, float)):
        yield _Words(finding.expected, "needed", None)
        return
    curved = finding.unit == "m" and witness.type == "path" and _straight(finding, witness) is None
    shown, _, _ = format_apart(measured, measured if bound is None else bound, finding.unit, units=units)
    yield _Words(say("measured {value}", value=shown), "measured", measured if curved else None)
    yield _Words(finding.expected, "needed", bound if curved else None)


def _row(row: _Words, window: _Window, y: float, *, dimension: bool) -> Iterator[str]:
    """A row below the drawing: a dimension line, to scale where the row has a length, and its words."""
    reach = SAMPLE_MM if row.length_m is None else row.length_m * window.sheet.mm_per_m
    beside = reach + width_mm(row.words, WORDS_MM) + 4.0 <= window.width
    low = y if beside else y + 1.4
    yield from _arrowed((1.0, low), (1.0 + reach, low), row.class_, tips=dimension)
    yield text(row.words, (reach + 3.0, y) if beside else (3.0, y - 0.8), f"{row.class_}-words from-left")

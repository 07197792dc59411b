"""What a drawing says in figures and words: pass numbers, flags of findings, names."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from shapely import LineString, Polygon

from coursecheck.course.model import Pass
from coursecheck.equipment.outlines import blocked_ground
from coursecheck.geometry.frames import Frame, Point, bearing_deg
from coursecheck.language import say, to_say
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.reports.labels import Label, around, width_mm
from coursecheck.reports.ring_drawing import FIGURE_MM
from coursecheck.reports.svg import Sheet, circle, element, line, polygon, text

__all__ = ["FLAG_MM", "NUMBER_MM", "Lettering", "Mark", "flag", "flags", "names", "numbers"]

NUMBER_MM = 3.5
FLAG_MM = 3.7
LONGEST_NAME = 24


@dataclass(frozen=True, slots=True)
class Mark:
    """A numbered place of a finding.

    Attributes:
        number: as in the report; 0 for a sample without one.
        outcome: "breach", "close" or "unmeasurable".
        words: the finding in a few words, for screen readers.
        witness: what was measured, or None for the course as a whole.
    """

    number: int
    outcome: str
    words: str
    witness: Witness | None


@dataclass(frozen=True, slots=True)
class Lettering:
    """A label and how it is drawn once it has its place."""

    label: Label
    draw: Callable[[Point], str]


def numbers(scene: Scene, sheet: Sheet) -> Iterator[Lettering]:
    """The pass numbers, each on the approach side of its obstacle; passes by the same side share one label."""
    by_side: dict[tuple[str, bool], list[Pass]] = {}
    for run in scene.passes:
        by_side.setdefault((run.obstacle, run.reverse), []).append(run)
    for runs in by_side.values():
        words = ", ".join(str(run.number) for run in runs)
        entry = scene.way(runs[0]).entry
        bearing = _arrival_deg(scene, runs[0])
        anchor = sheet.at(entry.centre)
        half = entry.half_width_m * sheet.mm_per_m
        size = (width_mm(words, NUMBER_MM), NUMBER_MM)
        places = tuple(_approach_side(anchor, bearing, half, size[0] / 2))

        def draw(at: Point, words: str = words) -> str:
            return text(words, at, "number")

        yield Lettering(Label(anchor, size, places), draw)


def _arrival_deg(scene: Scene, run: Pass) -> float:
    """The bearing by which a dog comes in: the portal's, or the line's where any way in will do."""
    way = scene.way(run)
    if way.form != "stop" or len(scene.line.passes) < run.number:
        return way.entry.bearing_deg
    return bearing_deg(scene.line.passes[run.number - 1].entry.heading)


def _approach_side(anchor: Point, arrival_deg: float, half_mm: float, half_text_mm: float) -> Iterator[Point]:
    """Places before the entry: behind the bar on either hand, near first."""
    frame = Frame((0.0, 0.0), arrival_deg)
    beside = half_mm + half_text_mm
    for back in (2.4, 3.2, 4.2, 5.5, 7.0, 9.0, 11.5):
        for right in (
            0.0,
            half_mm * 0.6,
            beside,
            beside + 1.5,
            beside + 3.5,
            beside + half_text_mm + 1,
            half_mm + 7.0,
        ):
            for side in (right, -right) if right else (0.0,):
                x, y = frame.place(-back, side)
                yield (anchor[0] + x, anchor[1] - y)


def flags(marks: Sequence[Mark], sheet: Sheet, *, linked: bool) -> Iterator[Lettering]:
    """The flags of the findings that have a place, each on a staff from what was measured."""
    for mark in marks:
        if mark.witness is None:
            continue
        anchor = sheet.at(_middle(mark.witness))
        size = flag_size(mark)

        def draw(at: Point, mark: Mark = mark, anchor: Point = anchor) -> str:
            return _staff(anchor, at, mark) + flag(mark, at, linked=linked)

        places = around(anchor, (4.2, 5.6, 7.2, 9.0, 11.5, 14.5), 20)
        yield Lettering(Label(anchor, size, places), draw)


def flag_size(mark: Mark) -> tuple[float, float]:
    """Width and height of a flag."""
    return (width_mm(str(mark.number), FLAG_MM * 0.8) + 2.6, FLAG_MM)


def _middle(witness: Witness) -> Point:
    points = witness.points
    if witness.type == "point" or len(points) == 1:
        return points[0]
    if witness.type == "area" and len(points) > 2:
        middle = Polygon(points).representative_point()
    else:
        middle = LineString(points).interpolate(0.5, normalized=True)
    return (middle.x, middle.y)


def _staff(anchor: Point, at: Point, mark: Mark) -> str:
    width, height = flag_size(mark)
    foot = (
        min(max(anchor[0], at[0] - width / 2), at[0] + width / 2),
        min(max(anchor[1], at[1] - height / 2), at[1] + height / 2),
    )
    return line(anchor, foot, "staff") + circle(anchor, 0.5, "foot")


def flag(mark: Mark, at: Point, *, linked: bool) -> str:
    """A flag around `at`: a breach filled and pointed, a close one hollow and square, an unmeasurable one dashed.

    Args:
        mark: whose flag.
        at: its middle.
        linked: whether it leads to the finding of that number in the same page.
    """
    width, height = flag_size(mark)
    x, y = at
    corners = [(x - width / 2, y - height / 2), (x + width / 2, y - height / 2)]
    if mark.outcome == "breach":
        corners = [corners[0], (x + width / 2 - 0.9, y - height / 2), (x + width / 2 + 0.4, y)]
        corners.append((x + width / 2 - 0.9, y + height / 2))
    else:
        corners.append((x + width / 2, y + height / 2))
    corners.append((x - width / 2, y + height / 2))
    drawn = polygon(corners, "cloth") + (text(str(mark.number), at, "flag-number") if mark.number else "")
    class_ = f"flag {mark.outcome}"
    if not linked:
        return element("g", drawn, class_=class_)
    words = say("Finding {number}: {finding}", number=mark.number, finding=mark.words)
    return element(
        "a", drawn, class_=class_, id=f"mark-{mark.number}", href=f"#finding-{mark.number}", aria_label=words
    )


def names(scene: Scene, sheet: Sheet, *, everyone: bool = False) -> Iterator[Lettering]:
    """Start and finish, entrance and exit, obstacles without a number (or every one), blocked places."""
    course = scene.course
    for words, gap in ((say("entrance"), course.ring.entrance), (say("exit"), course.ring.exit)):
        if gap is not None:
            yield _beside_edge(words, sheet.at(gap[0]), sheet.at(gap[1]))
    for name, place in start_and_finish(scene):
        yield _name(say(name), sheet.at(place[0]), (3.0, 4.5, 6.0, 8.0))
    for name, shape in scene.shapes.items():
        if everyone or not scene.numbers(name):
            yield _name(name, sheet.at(shape.centre), (3.0, 4.5, 6.0, 8.0, 10.5))
    for blocked in course.ring.blocked:
        middle = blocked_ground(blocked).representative_point()
        yield _name(blocked.name, sheet.at((middle.x, middle.y)), (0.0, 3.0, 4.5, 6.0, 8.0))


def start_and_finish(scene: Scene) -> Iterator[tuple[str, tuple[Point, Point]]]:
    """The start and the finish line as the plan gives them: square across the first entry and the last exit.

    Yields:
        "start" or "finish", and the two ends of the line.
    """
    if not scene.passes:
        return
    course = scene.course
    first, last = scene.way(scene.passes[0]).entry, scene.way(scene.passes[-1]).exit
    for name, portal, ahead in (
        (to_say("start"), first, -course.start_line_m),
        (to_say("finish"), last, course.finish_line_m),
    ):
        if ahead:
            half = portal.half_width_m + 0.5
            yield name, (portal.frame.place(ahead, -half), portal.frame.place(ahead, half))


def _name(words: str, anchor: Point, distances: Sequence[float]) -> Lettering:
    short = words if len(words) <= LONGEST_NAME else f"{words[: LONGEST_NAME - 1]}…"
    half = width_mm(short, FIGURE_MM) / 2
    places = [
        (x + math.copysign(half, x - anchor[0]) * (abs(x - anchor[0]) > 1.0), y) for x, y in around(anchor, distances)
    ]
    return Lettering(
        Label(anchor, (2 * half, FIGURE_MM), tuple(places)),
        lambda at: text(short, at, "name"),
    )


def _beside_edge(words: str, a: Point, b: Point) -> Lettering:
    """Words along a gap of the ring's edge, on whichever side of it has room."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy)
    upright = abs(dy) > abs(dx)
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    along = width_mm(words, FIGURE_MM)
    size = (FIGURE_MM, along) if upright else (along, FIGURE_MM)
    places = tuple(
        (middle[0] - dy / length * off + dx / length * slide, middle[1] + dx / length * off + dy / length * slide)
        for off in (2.4, -2.4, 3.4, -3.4, 5.0, -5.0)
        for slide in (0.0, 2.0, -2.0, 4.0, -4.0, 8.0, -8.0)
    )
    return Lettering(Label(middle, size, places), lambda at: text(words, at, "name", -90.0 if upright else 0.0))

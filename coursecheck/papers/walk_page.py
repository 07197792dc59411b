"""A course walk as one HTML page: the plan with numbered remarks, and the walk leg by leg; to read or to print.

Without any script: the heading of a leg leads to its layer on the plan, and the style sheet shows the layer that was
led to: the way of the dog, what it looks at, and where the handler goes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import LineString
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.frames import Point
from coursecheck.language import capital, say
from coursecheck.reports.drawing import Extra, draw_plan
from coursecheck.reports.labels import Label, around
from coursecheck.reports.lettering import Lettering
from coursecheck.reports.pages import render_page
from coursecheck.reports.svg import Sheet, circle, element, path, polygon, text
from coursecheck.reports.terms import cautions
from coursecheck.reports.walk_drawing import view_cone
from coursecheck.reports.walk_words import (
    advice,
    classes_words,
    doubt_words,
    figure_words,
    figures_used,
    flow_words,
    judge_words,
    leg_title,
    leg_words,
    plan_words,
    start_words,
)
from coursecheck.walk.handler import HandlingPlan
from coursecheck.walk.handler_ground import Ground
from coursecheck.walk.legs import Leg
from coursecheck.walk.merging import Shared, shared_remarks
from coursecheck.walk.names import handler_word
from coursecheck.walk.walking import ClassWalk, Walk

__all__ = ["render_walk_page"]

ROOM_MM = (160.0, 175.0)  # what the head of the page leaves for the ground on the first sheet of A4
NUMBER_MM = 2.6


@dataclass(frozen=True, slots=True)
class _Said:
    """A remark on the page."""

    number: int
    classes: str
    sentence: str
    doubt: str


@dataclass(frozen=True, slots=True)
class _Part:
    """A leg, or what comes after the last one, with its remarks; `leg` is 0 where there is no layer to show."""

    leg: int
    title: str
    words: str
    remarks: tuple[_Said, ...]


def render_walk_page(walked: Walk) -> str:
    """The page of a walk.

    Returns:
        A whole HTML document that needs nothing but itself, the same for the same input.
    """
    remarks = shared_remarks(walked)
    last = list(walked.classes)[-1]
    numbered = list(enumerate(sorted(remarks, key=lambda shared: shared.remark.whole), 1))
    return render_page(
        "walk.html.jinja",
        "report.css",
        "walk.css",
        drawings={"plan": _plan(walked, walked.classes[last], numbered)},
        course=walked.course,
        classes=", ".join(walked.classes),
        several=len(walked.classes) > 1,
        last=last,
        legend=_legend(walked.classes[last]),
        parts=tuple(_parts(walked, last, numbered)),
        whole=tuple(_said(n, shared, walked) for n, shared in numbered if shared.remark.whole),
        start=capital(start_words(walked)),
        summary=tuple(map(capital, (*flow_words(walked), *plan_words(walked), *judge_words(walked)))),
        figures=tuple(figure_words(figure) for figure in figures_used(walked, remarks)),
        advice=advice(),
        cautions=cautions(),
    )


def _shown(one: ClassWalk) -> HandlingPlan | None:
    """The plan whose handler is drawn: the middling one, or the only one there is."""
    return one.plans[len(one.plans) // 2] if one.plans else None


def _legend(one: ClassWalk) -> str:
    """What a leg shows on the plan."""
    plan = _shown(one)
    if plan is None:
        return say("Choose a leg to see it on the plan: the dog's way, where it looks.")
    return say(
        "Choose a leg to see it on the plan: the dog's way, where it looks, and the way of the {which} handler.",
        which=handler_word(plan.handler),
    )


def _parts(walked: Walk, last: str, numbered: Sequence[tuple[int, Shared]]) -> Iterator[_Part]:
    one = walked.classes[last]
    local = [(n, shared) for n, shared in numbered if not shared.remark.whole]
    for leg, sight, hard in zip(one.legs, one.sights, one.flow.difficulty, strict=True):
        number = leg.before.number
        said = tuple(_said(n, shared, walked) for n, shared in local if shared.remark.leg == number)
        yield _Part(number, capital(leg_title(walked, last, leg)), capital(leg_words(leg, sight, hard)), said)
    end = len(walked.course.passes)
    rest = tuple(_said(n, shared, walked) for n, shared in local if shared.remark.leg == end)
    if rest:
        yield _Part(0, say("After {last}", last=end), "", rest)


def _said(number: int, shared: Shared, walked: Walk) -> _Said:
    return _Said(number, classes_words(shared, walked), shared.remark.sentence, doubt_words(shared))


def _plan(walked: Walk, one: ClassWalk, numbered: Sequence[tuple[int, Shared]]) -> str:
    view = walked.figures["view"]
    local = [(n, shared) for n, shared in numbered if not shared.remark.whole]
    ground = one.ground

    def strokes(sheet: Sheet) -> Iterator[str]:
        for i, leg in enumerate(one.legs):
            yield element("g", *_layer(one, ground, i, leg, view, sheet), id=f"leg-{leg.before.number}", class_="leg")
        for _, shared in local:
            yield from _witness(shared, sheet)

    def letters(sheet: Sheet) -> Iterator[Lettering]:
        for number, shared in local:
            yield _numbered(number, shared, sheet)

    lines: list[BaseGeometry] = [
        LineString(shared.remark.witness.points)
        for _, shared in local
        if shared.remark.witness.type == "segment" and len(set(shared.remark.witness.points)) > 1
    ]
    return draw_plan(
        one.scene,
        title=say("Plan of {title} with the remarks of the walk", title=walked.course.title),
        line_words=say("line, class {height}", height=list(walked.classes)[-1]),
        room_mm=ROOM_MM,
        extra=Extra(strokes, letters, lines),
    )


def _layer(one: ClassWalk, ground: Ground, index: int, leg: Leg, view_deg: float, sheet: Sheet) -> Iterator[str]:
    """What belongs to one leg: the dog's view where it carries on, its way, the handler's way."""
    if one.scene.way(leg.before).form != "stop":
        yield polygon(sheet.all_at(view_cone(leg, view_deg)), "cone")
    yield path(sheet.all_at(one.scene.track(leg.before)), class_="on-leg")
    shown = _shown(one)
    if shown is not None:
        done = shown.legs[index]
        route = ground.route(done.start.point, done.end.point) or (done.start.point, done.end.point)
        yield path(sheet.all_at(route), class_="handler")
        yield circle(sheet.at(done.start.point), 0.7, "handler-from")
        yield circle(sheet.at(done.end.point), 1.1, "handler-to")


def _witness(shared: Shared, sheet: Sheet) -> Iterator[str]:
    witness = shared.remark.witness
    if witness.type == "segment":
        yield path(sheet.all_at(witness.points), class_="seen")


def _numbered(number: int, shared: Shared, sheet: Sheet) -> Lettering:
    """The number of a remark beside the middle of its place."""
    points = shared.remark.witness.points
    if shared.remark.witness.type == "segment":
        middle = ((points[0][0] + points[-1][0]) / 2, (points[0][1] + points[-1][1]) / 2)
    else:
        middle = points[len(points) // 2]
    anchor, words = sheet.at(middle), str(number)
    wide = NUMBER_MM * 0.7 * len(words) + 1.6

    def draw(at: Point) -> str:
        x, y = at
        box = [(x - wide / 2, y - 1.7), (x + wide / 2, y - 1.7), (x + wide / 2, y + 1.7), (x - wide / 2, y + 1.7)]
        return element(
            "g", path((anchor, at), class_="staff"), polygon(box, "cloth"), text(words, at, "remark-number")
        )

    return Lettering(Label(anchor, (wide, 3.4), around(anchor, (2.6, 4.0, 5.6))), draw)

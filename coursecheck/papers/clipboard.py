"""The clipboard card: what the judge carries into the ring, on the two sides of a sheet of A5."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from shapely import LineString

from coursecheck.geometry.frames import Point
from coursecheck.language import clauses, say, written
from coursecheck.measures.scene import Scene
from coursecheck.measures.standing import KEEP_OFF_M, SIGHT_M, Standing, standing_places
from coursecheck.papers import PaperOptions
from coursecheck.papers.plan_sheet import shortened
from coursecheck.papers.refusals import REFUSALS
from coursecheck.reports.drawing import Extra, Look, draw_plan
from coursecheck.reports.labels import Label, around
from coursecheck.reports.lettering import Lettering
from coursecheck.reports.pages import render_page
from coursecheck.reports.svg import Sheet, circle, line, text
from coursecheck.reports.times_notes import missing_words, ways_measured
from coursecheck.reports.times_table import wheel_words
from coursecheck.reports.wheel_table import wheel_tables
from coursecheck.reports.wording import length_shown
from coursecheck.units import FOOT_M, format_figure
from coursecheck.verdict.model import Verdict
from coursecheck.wheel import WheelCheck

__all__ = ["render", "render_card"]

ROOM_MM = (96.0, 84.0)  # for the plan of the places to stand
MOST_ROWS = 18
TITLE_LETTERS = 60
NAME_LETTERS = 18
LETTER_MM = 3.5


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place to stand as the card tells it."""

    letter: str
    where: str
    views: tuple[str, ...]


def render(verdict: Verdict, options: PaperOptions) -> str:
    """The card for the plan as it was drawn."""
    return render_card(verdict, options)


def render_card(verdict: Verdict, options: PaperOptions, wheel: Sequence[WheelCheck] = ()) -> str:
    """The card; `wheel` holds the wheel's figure against the plan, where the times come from the wheel."""
    scene = verdict.scenes[options.height_of(verdict)]
    places, unseen = standing_places(verdict.scenes)
    units = verdict.course.units
    drawing = draw_plan(
        scene,
        title=say("Where to stand"),
        room_mm=ROOM_MM,
        look=Look(paper="A5", line=False, grid=False),
        extra=_views(places),
    )
    kinds = {scene.shape(run).kind.name: say(scene.shape(run).kind.title) for run in scene.passes}
    return render_page(
        "clipboard.html.jinja",
        "sheets.css",
        "clipboard.css",
        drawings={"drawing": drawing},
        title=shortened(verdict.course.title, TITLE_LETTERS),
        course=verdict.course,
        rows=list(_rows(verdict)),
        how=_how(verdict),
        notes=wheel_words(wheel, units),
        tables=wheel_tables(verdict, MOST_ROWS),
        order=list(_order(scene)),
        spots=[_spot(letter, place, units) for letter, place in _lettered(places)],
        unseen=unseen,
        near=_whole_in_metres(KEEP_OFF_M, units),
        far=_whole_in_metres(SIGHT_M, units),
        refusals=_refusals(kinds),
        units=units,
    )


def _rows(verdict: Verdict) -> Iterator[tuple[str, str, str, str]]:
    """Class, length, SCT, MCT."""
    for length, times in zip(verdict.lengths, verdict.times, strict=True):
        shown = length_shown(length.length_m, verdict.course.units)
        sct, mct = ("–" if time is None else written(time) for time in (times.sct_s, times.mct_s))
        yield shortened(length.height, NAME_LETTERS), shown, sct, mct


def _how(verdict: Verdict) -> str:
    """How the lengths were measured, and why a time is missing."""
    return clauses((*ways_measured(verdict), *missing_words(verdict)))


def _order(scene: Scene) -> Iterator[tuple[int, str, str]]:
    """Number, kind and name of each pass."""
    for run in scene.passes:
        kind = say(scene.shape(run).kind.title)
        yield (
            run.number,
            say("{kind}, reverse", kind=kind) if run.reverse else kind,
            shortened(run.obstacle, NAME_LETTERS),
        )


def _refusals(kinds: Mapping[str, str]) -> list[tuple[str, str]]:
    """Kinds and what to watch for there; kinds that share the words share the line."""
    together: dict[str, list[str]] = {}
    for name, title in kinds.items():
        if name in REFUSALS:
            together.setdefault(REFUSALS[name], []).append(title)
    return [(", ".join(titles), say(words)) for words, titles in together.items()]


def _lettered(places: Sequence[Standing]) -> Iterator[tuple[str, Standing]]:
    """The places as A, B, C, ..., after Z as A2, B2, ..."""
    for i, place in enumerate(places):
        yield f"{chr(ord('A') + i % 26)}{i // 26 + 1 if i >= 26 else ''}", place


def _whole_in_metres(length_m: float, units: str) -> str:
    """A length of whole metres; in feet it has a decimal."""
    return format_figure(length_m, "m", units=units, decimals=0 if units == "m" else 1)


def _spot(letter: str, standing: Standing, units: str) -> _Spot:
    unit_m = 1.0 if units == "m" else FOOT_M
    x, y = (value / unit_m for value in standing.place)
    views = tuple(
        f"{view.words}, {format_figure(view.distance_m, 'm', units=units, decimals=0)}" for view in standing.views
    )
    return _Spot(
        letter, say("{x:.0f} {units} from the left, {y:.0f} {units} from the bottom", x=x, y=y, units=units), views
    )


def _views(places: Sequence[Standing]) -> Extra:
    """The places and their lines of sight, drawn over the plan."""

    def strokes(sheet: Sheet) -> Iterator[str]:
        for standing in places:
            for view in standing.views:
                yield line(sheet.at(standing.place), sheet.at(view.point), "thin")
            yield circle(sheet.at(standing.place), 1.3, "solid")

    def letters(sheet: Sheet) -> Iterator[Lettering]:
        for letter, standing in _lettered(places):
            anchor = sheet.at(standing.place)

            def draw(at: Point, letter: str = letter) -> str:
                return text(letter, at, "number")

            size = (LETTER_MM * len(letter), LETTER_MM)
            yield Lettering(Label(anchor, size, around(anchor, (3.4, 4.6, 6.0))), draw)

    lines = [LineString([standing.place, view.point]) for standing in places for view in standing.views]
    return Extra(strokes, letters, lines)

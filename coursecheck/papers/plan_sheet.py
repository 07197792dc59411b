"""The plan on one sheet of paper, at the largest round scale that fits, with a title block."""

from __future__ import annotations

from dataclasses import dataclass

from coursecheck.language import say
from coursecheck.measures.scene import Scene
from coursecheck.papers import SIZES_MM, PaperOptions
from coursecheck.papers.png import png_of
from coursecheck.reports.drawing import MARGINS_MM, Look, draw_plan, scale_that_fits
from coursecheck.reports.pages import render_page
from coursecheck.reports.terms import book_title
from coursecheck.reports.times_notes import abbreviations
from coursecheck.reports.wording import length_shown, printable, time_shown
from coursecheck.units import format_figure
from coursecheck.verdict.model import Verdict

__all__ = ["EDGE_MM", "Sheet", "page_for", "paper_name", "picture", "render", "shortened", "upright_sheet"]

EDGE_MM = 8.0  # the margin that nearly every printer can leave
BLOCK_MM = 38.0  # the title block with its distance from the drawing
SLACK_MM = 1.5  # so that no rounding pushes the block to a second page
TITLE_LETTERS = 80
LINE_LETTERS = 55
EDITION_LETTERS = 25


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper, upright or on its side.

    Attributes:
        width_mm, height_mm: of the paper as it is read.
        room_mm: what it leaves for the ground of a plan.
    """

    width_mm: float
    height_mm: float
    room_mm: tuple[float, float]


def render(verdict: Verdict, options: PaperOptions) -> str:
    """A page with the plan at a round scale; with the line of one height class, or with none."""
    return render_page(
        "plan_sheet.html.jinja",
        "sheets.css",
        drawings={"drawing": _drawing(verdict, options)},
        sheet=_page(verdict, options),
        edge_mm=EDGE_MM,
        title=shortened(verdict.course.title, TITLE_LETTERS),
        course=verdict.course,
        facts=_facts(verdict),
        rows=_rows(verdict),
        abbreviations=abbreviations(),
        sha256=verdict.course.origin.sha256[:12] if verdict.course.origin else "",
    )


def picture(verdict: Verdict, options: PaperOptions) -> bytes:
    """The drawing of the sheet alone, as a PNG.

    Raises:
        MissingPackageError: what draws pictures is not installed.
    """
    return png_of(_drawing(verdict, options))


def _page(verdict: Verdict, options: PaperOptions) -> Sheet:
    return page_for(verdict.scenes[options.height_of(verdict)], options.paper, BLOCK_MM)


def _drawing(verdict: Verdict, options: PaperOptions) -> str:
    height = options.height_of(verdict)
    return draw_plan(
        verdict.scenes[height],
        title=say("Plan of {title}", title=verdict.course.title),
        line_words=say("line, class {height}", height=height),
        room_mm=_page(verdict, options).room_mm,
        look=Look(paper=paper_name(options.paper), line=options.line),
    )


def page_for(scene: Scene, paper: str, block_mm: float) -> Sheet:
    """The way to hold the paper that gives a plan the larger scale; upright where both give the same.

    Args:
        scene: what is drawn.
        paper: one of SIZES_MM.
        block_mm: the height of everything beside the drawing.
    """
    short, long = SIZES_MM[paper]
    ways = [_sheet(width, height, block_mm) for width, height in ((short, long), (long, short))]
    return min(ways, key=lambda way: scale_that_fits(scene, way.room_mm))


def upright_sheet(paper: str, block_mm: float) -> Sheet:
    """The paper held upright, with the room that a block of that height leaves for the ground."""
    return _sheet(*SIZES_MM[paper], block_mm)


def _sheet(width_mm: float, height_mm: float, block_mm: float) -> Sheet:
    wide = width_mm - 2 * EDGE_MM - MARGINS_MM[0] - SLACK_MM
    high = height_mm - 2 * EDGE_MM - MARGINS_MM[1] - block_mm - SLACK_MM
    return Sheet(width_mm, height_mm, (wide, high))


def paper_name(paper: str) -> str:
    """The paper as it is called: A4, A3, Letter."""
    return paper.capitalize()


def shortened(words: str, most: int) -> str:
    """Words that fit a place of so many letters."""
    shown = printable(words)
    return shown if len(shown) <= most else f"{shown[: most - 1]}…"


def _facts(verdict: Verdict) -> list[tuple[str, str]]:
    """What a title block says of the course, beside its title."""
    course, book = verdict.course, verdict.rulebook
    x0, y0, x1, y1 = verdict.scenes[next(iter(verdict.scenes))].ring.bounds
    size = " × ".join(format_figure(side, "m", units=course.units) for side in (x1 - x0, y1 - y0))
    title, edition = shortened(book_title(book), LINE_LETTERS), shortened(book.edition, EDITION_LETTERS)
    for_whom = say("{discipline}, grade {grade}", discipline=course.discipline, grade=course.grade)
    return [
        (say("for"), shortened(for_whom, LINE_LETTERS)),
        (say("rulebook"), say("{title}, edition {edition}", title=title, edition=edition)),
        (say("ring"), say("{size}, indoors", size=size) if course.ring.indoor else size),
        (
            say("obstacles"),
            say("{numbered} in order, {all} in the ring", numbered=len(course.passes), all=len(course.obstacles)),
        ),
    ]


def _rows(verdict: Verdict) -> list[tuple[str, str, str, str]]:
    """Length, SCT and MCT of each height class."""
    rows = []
    for length, times in zip(verdict.lengths, verdict.times, strict=True):
        shown = length_shown(length.length_m, verdict.course.units)
        rows.append((shortened(length.height, 16), shown, time_shown(times.sct_s), time_shown(times.mct_s)))
    return rows

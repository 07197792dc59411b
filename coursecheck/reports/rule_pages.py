"""Every limit of a rulebook on a page of its own, from the rulebook's own data: what for, how, how much, says who."""

from __future__ import annotations

import base64
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from coursecheck.examples import Example, Setting, example, key_of
from coursecheck.language import say, spoken
from coursecheck.measures import MEASURES, Witness
from coursecheck.reports.audience_words import (
    ask_words,
    class_words,
    clause_words,
    counted_words,
    grade_words,
    reckoning_words,
    scope_words,
)
from coursecheck.reports.drawing import Mark, draw_plan
from coursecheck.reports.explain import metric_sentence
from coursecheck.reports.pages import render_page
from coursecheck.reports.rulebook_tables import lacking_words, limit_entries, time_entries, validity_words
from coursecheck.reports.terms import (
    BASES,
    basis_name,
    basis_words,
    book_title,
    cautions,
    outcome_words,
    severity_name,
    severity_words,
)
from coursecheck.rulebook.model import SEVERITIES, Limit, Rulebook
from coursecheck.rulebook.tabulation import audience
from coursecheck.verdict.compare import metric_name
from coursecheck.verdict.model import CourseLength

__all__ = ["LimitPage", "Picture", "RowWords", "Studio", "limit_page", "render_index", "render_rulebook"]

STYLES = ("report.css", "rule_pages.css")
PICTURE_ROOM_MM = (150.0, 84.0)


@dataclass(frozen=True, slots=True)
class Picture:
    """A plan that keeps or breaks a limit.

    Attributes:
        outcome: in words. caption: what was measured and how that stands to the limit.
        svg: the drawing.
    """

    outcome: str
    caption: str
    svg: str

    @property
    def source(self) -> str:
        """The drawing as a data URI: the page needs no other file, and its ids stay its own."""
        return "data:image/svg+xml;base64," + base64.b64encode(self.svg.encode()).decode()


@dataclass(frozen=True, slots=True)
class RowWords:
    """Where a row stands, what it asks of whom, and who says so."""

    place: str
    asks: str
    applies: str
    clause: str
    basis: str
    source: str
    reason: str


@dataclass(frozen=True, slots=True)
class LimitPage:
    """Everything that the page of one limit says.

    Attributes:
        name: the limit's id. title: what is measured.
        purpose: what the limit is for. measure: what is measured, in a sentence.
        metrics: each way in which it is measured, with its sentence. counted: what a count counts.
        pictures: a plan that keeps it and one that breaks it. setting: for whom they are drawn.
        values: applies to, grades, classes, what is asked, clause, basis: one row for all who are asked the same.
        rows: the rows of the rulebook, in order; the last that fits decides.
    """

    name: str
    title: str
    purpose: str
    measure: str
    metrics: tuple[tuple[str, str], ...]
    counted: tuple[str, ...]
    pictures: tuple[Picture, ...]
    setting: str
    values: tuple[tuple[str, ...], ...]
    rows: tuple[RowWords, ...]


class Studio:
    """Draws pictures of limits kept and broken, the same one only once for all rulebooks that share it."""

    def __init__(self) -> None:
        self._drawn: dict[str, tuple[Picture, ...]] = {}

    def pictures(self, book: Rulebook, row: Limit, setting: Setting) -> tuple[Picture, ...]:
        """A plan that keeps the row and one that breaks it, as far as they can be found."""
        key = f"{spoken()} {key_of(book, row, setting)}"
        if key not in self._drawn:
            found = (example(book, row, setting, good=good) for good in (True, False))
            self._drawn[key] = tuple(_picture(shown, row, setting) for shown in found if shown is not None)
        return self._drawn[key]


def _picture(shown: Example, row: Limit, setting: Setting) -> Picture:
    outcome = outcome_words(shown.outcome)
    marks = [Mark(1, shown.outcome, outcome, _shown_at(shown))] if shown.value else []
    svg = draw_plan(
        shown.scene,
        marks,
        title=f"{row.id}: {outcome}",
        line_words=say("line, class {height}", height=setting.height),
        room_mm=PICTURE_ROOM_MM,
    )
    return Picture(outcome, shown.message, svg)


def _shown_at(shown: Example) -> Witness | None:
    """Where the flag goes: at what was measured, else at the obstacles that count; None for the course as a whole."""
    if shown.value is None or shown.value.witness is not None:
        return None if shown.value is None else shown.value.witness
    shapes = [shown.scene.shapes[name] for name in shown.value.obstacles]
    return Witness("point", tuple(shape.centre for shape in shapes)) if shapes else None


def limit_page(book: Rulebook, name: str, studio: Studio) -> LimitPage | None:
    """The page of a limit; None where it speaks to none of this rulebook's grades and height classes.

    Args:
        book: the rulebook.
        name: the limit's id.
        studio: draws the pictures.
    """
    entries = list(limit_entries(book, name, audience(book)))
    if not entries:
        return None
    rows = [row for row in book.limits if row.id == name]
    first, row = entries[0]
    setting = Setting(*first.grades[0], first.heights[-1])
    measure = MEASURES[row.measure]
    return LimitPage(
        name=name,
        title=say(measure.title),
        purpose=say(rows[0].about),
        measure=say(measure.about),
        metrics=tuple({each.metric: (metric_name(each.metric), metric_sentence(each)) for each in rows}.values()),
        counted=tuple(words for words in dict.fromkeys(counted_words(each, book.units) for each in rows) if words),
        pictures=studio.pictures(book, row, setting),
        setting=say(
            "{discipline}, grade {grade}, class {height}",
            discipline=setting.discipline,
            grade=setting.grade,
            height=setting.height,
        ),
        values=tuple(
            (
                scope_words(entry.scope),
                grade_words(entry.grades, book),
                class_words(entry.heights, book),
                ask_words(chosen, book.units),
                chosen.clause or "–",
                basis_name(chosen.basis),
            )
            for entry, chosen in entries
        ),
        rows=tuple(_row_words(each, book) for each in rows),
    )


def _row_words(row: Limit, book: Rulebook) -> RowWords:
    return RowWords(
        place=say("{rulebook}, line {line}", rulebook=row.place.rulebook, line=row.place.line),
        asks=ask_words(row, book.units),
        applies=scope_words(row.where),
        clause=clause_words(row),
        basis=basis_words(row.basis),
        source=say(row.source),
        reason=say(row.reason),
    )


def render_rulebook(book: Rulebook, studio: Studio) -> Iterator[tuple[str, str]]:
    """The pages of a rulebook: file name and HTML of each limit's page, then of the index.

    Every page is whole: style and pictures inside, no script, nothing fetched; links lead to the pages beside it.
    """
    pages: list[LimitPage] = []
    silent: list[str] = []
    for name in dict.fromkeys(row.id for row in book.limits):
        page = limit_page(book, name, studio)
        if page is None:
            silent.append(name)
        else:
            pages.append(page)
    names = ["", *(page.name for page in pages), ""]
    for page, before, after in zip(pages, names, names[2:], strict=False):
        html = render_page(
            "rule_page.html.jinja",
            *STYLES,
            book=book,
            title=book_title(book),
            page=page,
            before=before,
            after=after,
            cautions=cautions(),
        )
        yield f"limit-{page.name}.html", html
    times = [
        (
            grade_words(entry.grades, book),
            class_words(entry.heights, book),
            reckoning_words(rule.sct),
            reckoning_words(rule.mct),
            basis_name(rule.basis),
        )
        for entry, rule in time_entries(book, audience(book))
    ]
    yield (
        "index.html",
        render_page(
            "rulebook_page.html.jinja",
            *STYLES,
            book=book,
            title=book_title(book),
            missing=[say(topic) for topic in book.missing],
            length=_length_words(book),
            validity=validity_words(book),
            pages=pages,
            silent=silent,
            times=times,
            meanings=[
                *((severity_name(severity), severity_words(severity)) for severity in SEVERITIES),
                *((basis_name(basis), basis_words(basis)) for basis in BASES),
            ],
            cautions=cautions(),
        ),
    )


def _length_words(book: Rulebook) -> str:
    """How the rulebook measures the course length."""
    return CourseLength("", None, book.length.how, None, book.length.start, book.length.end).described


def render_index(books: Sequence[Rulebook]) -> str:
    """The page that leads to all rulebooks."""
    rows = [
        (book, book_title(book), validity_words(book), _held_words(book), len({row.id for row in book.limits}))
        for book in books
    ]
    return render_page("rulebooks_page.html.jinja", *STYLES, rows=rows, cautions=cautions())


def _held_words(book: Rulebook) -> str:
    held = say("in full") if book.coverage == "full" else say("in part")
    return f"{held}, {lacking_words(book)}" if book.missing else held

"""A limit in words: what it is for, what it asks of whom, and which of its rows a plan falls under."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coursecheck.course.model import Course
from coursecheck.equipment import KINDS
from coursecheck.language import labelled, say
from coursecheck.measures import MEASURES
from coursecheck.reports.audience_words import ask_words, clause_words, counted_words, scope_words
from coursecheck.reports.tables import plain_table
from coursecheck.reports.terms import basis_name, book_title, outcome_words
from coursecheck.reports.wording import printable
from coursecheck.rulebook.model import Limit, Rulebook, Selectors
from coursecheck.rulebook.resolve import resolve
from coursecheck.rulebook.tabulation import scopes, stand_in
from coursecheck.verdict.compare import metric_name
from coursecheck.verdict.tracing import Choice, Subject

__all__ = ["metric_sentence", "render_limit", "render_measure", "render_trace"]


def metric_sentence(row: Limit) -> str:
    """How a row measures, in the measure's words; of a size of equipment, what that size is."""
    metrics = MEASURES[row.measure].metrics
    if row.metric in metrics:
        return say(metrics[row.metric])
    named = row.where.get("kind", tuple(KINDS))
    return next((say(KINDS[kind].sizes[row.metric].about) for kind in named if row.metric in KINDS[kind].sizes), "")


def render_limit(book: Rulebook, limit: str, heights: Sequence[str] = (), *, colour: bool) -> str:
    """Everything about one limit of a rulebook: purpose, measure, values by grade and height, clause and source.

    Args:
        book: the rulebook.
        limit: the limit's id.
        heights: the height classes whose values are shown; by default all.
        colour: whether the terminal is coloured.
    """
    rows = [row for row in book.limits if row.id == limit]
    measure = MEASURES[rows[-1].measure]
    heading = say("{limit} ({title}, edition {edition})", limit=limit, title=book_title(book), edition=book.edition)
    lines = [heading, "", say(rows[0].about), ""]
    lines.append(say("Measured: {measure}. {about}", measure=say(measure.title), about=say(measure.about)))
    lines += [
        f"  {labelled(metric_name(row.metric), metric_sentence(row))}"
        for row in {row.metric: row for row in rows}.values()
    ]
    counted = dict.fromkeys(counted_words(row, book.units) for row in rows)
    lines += [say("Counted: {what}", what=words) for words in counted if words]
    for scope in scopes(rows):
        lines += ["", *_values(book, rows, scope, heights, colour=colour)]
    lines += ["", say("Rows, the last that fits decides:")]
    lines += [f"  {line}" for row in rows for line in _row_lines(row, book.units)]
    return "\n".join(lines) + "\n"


def render_measure(name: str, books: Sequence[Rulebook]) -> str:
    """A measure: what and how it measures, what a limit may choose by, and which limits ask for it."""
    measure = MEASURES[name]
    used = sorted({row.id for book in books for row in book.limits if row.measure == name})
    lines = [f"{name}: {say(measure.title)}", "", say(measure.about)]
    lines += [f"  {metric}: {say(about)}" for metric, about in measure.metrics.items()]
    if measure.facets:
        lines += ["", say("A row may choose by: {facets}", facets=", ".join(measure.facets))]
    if used:
        lines += ["", say("Limits that ask for it: {limits}", limits=", ".join(used))]
    return "\n".join(lines) + "\n"


def _values(
    book: Rulebook, rows: Sequence[Limit], scope: Selectors, only: Sequence[str], *, colour: bool
) -> Iterator[str]:
    """A table of the bound by discipline and grade (down) and height class (across)."""
    heights, subject = [name for name in book.heights if not only or name in only], stand_in(scope, rows)
    table = []
    for discipline, grades in book.disciplines.items():
        for grade in grades:
            plan = {"discipline": discipline, "grade": grade, **subject}
            chosen = [resolve(rows, [{**plan, "height": height}]).row for height in heights]
            table.append((f"{discipline} {grade}", *(ask_words(row, book.units) for row in chosen)))
    opening = f"{scope_words(scope)}: " if scope else ""
    if not only and all(cell == table[0][1] for row in table for cell in row[1:]):
        yield opening + say("every grade and height class: {asked}", asked=table[0][1])
        return
    if opening:
        yield opening.rstrip(" ")
    yield plain_table((say("grade"), *heights), table, colour=colour).rstrip("\n")


def _row_lines(row: Limit, units: str) -> Iterator[str]:
    place = say("{rulebook} line {line}", rulebook=row.place.rulebook, line=row.place.line)
    asked, whom = ask_words(row, units), scope_words(row.where)
    yield say("{place}: {asked}; applies to {whom}", place=place, asked=asked, whom=whom)
    clause, basis = clause_words(row), basis_name(row.basis)
    yield "    " + say(
        "{clause}; basis: {basis}; source: {source}", clause=clause, basis=basis, source=say(row.source)
    )
    if row.reason:
        yield "    " + say("reason: {reason}", reason=say(row.reason))


def render_trace(course: Course, book: Rulebook, limit: str, choices: Sequence[Choice]) -> str:
    """Which row of a limit was chosen for each subject of a plan, and why."""
    lines = [
        say(
            "{limit} on {course} ({discipline}, grade {grade}), by {rulebook}",
            limit=limit,
            course=course.title,
            discipline=course.discipline,
            grade=course.grade,
            rulebook=book_title(book),
        )
    ]
    if not choices:
        lines += ["", say("Nothing in this plan falls under this limit.")]
    for choice in choices:
        row = choice.row
        if row is None:
            chosen = say("No row applies")
        else:
            chosen = say("Line {line} of {file} decides", line=row.place.line, file=row.place.file)
        lines += ["", labelled(chosen, ask_words(row, course.units)), *(f"    {step}" for step in choice.why)]
        lines += [f"  {words}" for words in _subject_lines(choice.subjects)]
    return "".join(f"{printable(line)}\n" for line in lines)


def _subject_lines(subjects: Sequence[Subject]) -> Iterator[str]:
    """A line for each subject and what was found, with the height classes that it was found for."""
    together: dict[tuple[str, str], list[str]] = {}
    for subject in subjects:
        said = subject.message or say("{subject}: no limit", subject=subject.words)
        together.setdefault((outcome_words(subject.outcome), said), []).append(subject.height)
    for (outcome, said), heights in together.items():
        yield f"{outcome:<14} {said} [{', '.join(heights)}]"

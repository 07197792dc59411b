"""A limit in words: what it is for, what it asks of whom, and which of its rows a plan falls under."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coursecheck.course.model import Course
from coursecheck.equipment import KINDS
from coursecheck.measures import MEASURES
from coursecheck.reports.audience_words import ask_words, clause_words, counted_words, scope_words
from coursecheck.reports.tables import plain_table
from coursecheck.reports.wording import OUTCOME_WORDS, printable
from coursecheck.rulebook.model import Limit, Rulebook, Selectors
from coursecheck.rulebook.resolve import resolve
from coursecheck.rulebook.tabulation import scopes, stand_in
from coursecheck.verdict.tracing import Choice, Subject

__all__ = ["metric_sentence", "render_limit", "render_trace"]


def metric_sentence(row: Limit) -> str:
    """How a row measures, in the measure's words; of a size of equipment, what that size is."""
    metrics = MEASURES[row.measure].metrics
    if row.metric in metrics:
        return metrics[row.metric]
    named = row.where.get("kind", tuple(KINDS))
    return next((KINDS[kind].sizes[row.metric].about for kind in named if row.metric in KINDS[kind].sizes), "")


def render_limit(book: Rulebook, limit: str, *, colour: bool) -> str:
    """Everything about one limit of a rulebook: purpose, measure, values by grade and height, clause and source."""
    rows = [row for row in book.limits if row.id == limit]
    measure = MEASURES[rows[-1].measure]
    lines = [f"{limit} ({book.title}, edition {book.edition})", "", rows[0].about, ""]
    lines.append(f"Measured: {measure.title}. {measure.about}")
    lines += [f"  {row.metric}: {metric_sentence(row)}" for row in {row.metric: row for row in rows}.values()]
    counted = dict.fromkeys(counted_words(row, book.units) for row in rows)
    lines += [f"Counted: {words}" for words in counted if words]
    for scope in scopes(rows):
        lines += ["", *_values(book, rows, scope, colour=colour)]
    lines += ["", "Rows, the last that fits decides:"]
    lines += [f"  {line}" for row in rows for line in _row_lines(row, book.units)]
    return "\n".join(lines) + "\n"


def _values(book: Rulebook, rows: Sequence[Limit], scope: Selectors, *, colour: bool) -> Iterator[str]:
    """A table of the bound by discipline and grade (down) and height class (across)."""
    heights, subject = list(book.heights), stand_in(scope, rows)
    table = []
    for discipline, grades in book.disciplines.items():
        for grade in grades:
            plan = {"discipline": discipline, "grade": grade, **subject}
            chosen = [resolve(rows, [{**plan, "height": height}]).row for height in heights]
            table.append((f"{discipline} {grade}", *(ask_words(row, book.units) for row in chosen)))
    opening = f"{scope_words(scope)}: " if scope else ""
    if all(cell == table[0][1] for row in table for cell in row[1:]):
        yield f"{opening}every grade and height class: {table[0][1]}"
        return
    if opening:
        yield opening.rstrip(" ")
    yield plain_table(("grade", *heights), table, colour=colour).rstrip("\n")


def _row_lines(row: Limit, units: str) -> Iterator[str]:
    place = f"{row.place.rulebook} line {row.place.line}"
    yield f"{place}: {ask_words(row, units)}; applies to {scope_words(row.where)}"
    yield f"    {clause_words(row)}; basis: {row.basis}; source: {row.source}"
    if row.reason:
        yield f"    reason: {row.reason}"


def render_trace(course: Course, book: Rulebook, limit: str, choices: Sequence[Choice]) -> str:
    """Which row of a limit was chosen for each subject of a plan, and why."""
    lines = [f"{limit} on {course.title} ({course.discipline}, grade {course.grade}), by {book.title}"]
    if not choices:
        lines += ["", "Nothing in this plan falls under this limit."]
    for choice in choices:
        row = choice.row
        chosen = "No row applies" if row is None else f"Line {row.place.line} of {row.place.file} decides"
        lines += ["", f"{chosen}: {ask_words(row, course.units)}", *(f"    {step}" for step in choice.why)]
        lines += [f"  {words}" for words in _subject_lines(choice.subjects)]
    return "".join(f"{printable(line)}\n" for line in lines)


def _subject_lines(subjects: Sequence[Subject]) -> Iterator[str]:
    """A line for each subject and what was found, with the height classes that it was found for."""
    together: dict[tuple[str, str], list[str]] = {}
    for subject in subjects:
        said = subject.message or f"{subject.words}: no limit"
        together.setdefault((OUTCOME_WORDS[subject.outcome], said), []).append(subject.height)
    for (outcome, said), heights in together.items():
        yield f"{outcome:<14} {said} [{', '.join(heights)}]"

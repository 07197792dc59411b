"""Rulebooks in words: what a limit is for and what it asks, and which rulebooks there are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coursecheck.measures import MEASURES
from coursecheck.reports.tables import plain_table
from coursecheck.rulebook.model import Limit, Rulebook, Selectors
from coursecheck.rulebook.resolve import resolve
from coursecheck.verdict.compare import expected_words

__all__ = ["render_limit", "render_rulebooks", "scope_words"]

PLAN_FACETS = ("discipline", "grade", "height", "indoor")
_WORDS = {"from": "from", "to": "to", "kind": "at", "pass": "the", "reverse": "reverse", "indoor": "indoors"}


def render_rulebooks(books: Sequence[Rulebook], *, colour: bool) -> str:
    """A table of rulebooks: id, title, edition, validity, coverage, number of limits."""
    rows = []
    for book in books:
        since = f"from {book.valid_from}" if book.valid_from else ""
        until = f"until {book.valid_to}" if book.valid_to else ""
        valid = " ".join(part for part in (since, until) if part) or "dates not known"
        lacking = f", {len(book.missing)} topics missing" if book.missing else ""
        count = len({row.id for row in book.limits})
        rows.append((book.id, book.title, book.edition, valid, f"{book.coverage}{lacking}", str(count)))
    heads = ("rulebook", "title", "edition", "in force", "coverage", "limits")
    return plain_table(heads, rows, colour=colour)


def render_limit(book: Rulebook, limit: str, *, colour: bool) -> str:
    """Everything about one limit of a rulebook: purpose, measure, values by grade and height, clause and source."""
    rows = [row for row in book.limits if row.id == limit]
    measure = MEASURES[rows[-1].measure]
    lines = [f"{limit} ({book.title}, edition {book.edition})", "", rows[0].about, ""]
    lines.append(f"Measured: {measure.title}. {measure.about}")
    for metric in dict.fromkeys(row.metric for row in rows):
        how = measure.metrics.get(metric, measure.metrics.get("*", ""))
        lines.append(f"  {metric}: {how}")
    kinds = dict.fromkeys(", ".join(row.of) for row in rows if row.of)
    lines += [f"Counted: {names}" for names in kinds]
    for scope in dict.fromkeys(_subject_scope(row) for row in rows):
        lines += ["", *_values(book, rows, dict(scope), colour=colour)]
    lines += ["", "Rows, the last that fits decides:"]
    lines += [f"  {line}" for row in rows for line in _row_lines(row)]
    return "\n".join(lines) + "\n"


def _subject_scope(row: Limit) -> tuple[tuple[str, str], ...]:
    """What a row asks of the subject, beside the plan's own facets: one value of each selector stands for it."""
    return tuple((facet, words[0]) for facet, words in row.where.items() if facet not in PLAN_FACETS)


def _values(book: Rulebook, rows: Sequence[Limit], scope: dict[str, str], *, colour: bool) -> Iterator[str]:
    """A table of the bound by discipline and grade (down) and height class (across)."""
    heights = list(book.heights)
    table = []
    for discipline, grades in book.disciplines.items():
        for grade in grades:
            cells = [_bound(rows, {"discipline": discipline, "grade": grade, "height": h, **scope}) for h in heights]
            table.append((f"{discipline} {grade}", *cells))
    if all(cell == table[0][1] for row in table for cell in row[1:]):
        yield f"{scope_words_of(scope)}every grade and height class: {table[0][1]}"
        return
    if scope:
        yield scope_words_of(scope).rstrip(" ")
    yield plain_table(("grade", *heights), table, colour=colour).rstrip("\n")


def _bound(rows: Sequence[Limit], facets: dict[str, str]) -> str:
    row = resolve(rows, [{"indoor": "false", "reverse": "false", **facets}]).row
    if row is None:
        return "no limit"
    return f"{row.severity} {expected_words(row, MEASURES[row.measure].unit_of(row.metric), 'm')}"


def scope_words_of(scope: dict[str, str]) -> str:
    """The subject that a scope stands for, in words, with a colon; nothing for no scope."""
    return f"{scope_words({facet: (word,) for facet, word in scope.items()})}: " if scope else ""


def scope_words(where: Selectors) -> str:
    """Whom a row applies to, in words."""
    if not where:
        return "all"
    parts = [f"{_WORDS.get(facet, facet)} {' or '.join(words)}" for facet, words in where.items()]
    return ", ".join(parts)


def _row_lines(row: Limit) -> Iterator[str]:
    unit = MEASURES[row.measure].unit_of(row.metric)
    clause = f"clause {row.clause}" if row.clause else "no clause known"
    yield f"{row.severity}: {expected_words(row, unit, 'm')}; applies to {scope_words(row.where)}"
    yield f"    {clause}; basis: {row.basis}; source: {row.source}"
    if row.reason:
        yield f"    reason: {row.reason}"

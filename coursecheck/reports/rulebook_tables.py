"""Rulebooks as tables for the terminal: which there are, all limits of one, what changed from one to another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from coursecheck.measures import MEASURES
from coursecheck.reports.audience_words import (
    ask_words,
    class_words,
    counted_words,
    grade_words,
    reckoning_words,
    scope_words,
)
from coursecheck.reports.tables import plain_table
from coursecheck.reports.wording import printable
from coursecheck.rulebook.diff import Change, Difference
from coursecheck.rulebook.model import Limit, Rulebook, TimeRule
from coursecheck.rulebook.resolve import Facets, resolve
from coursecheck.rulebook.tabulation import Audience, Entry, tabulate
from coursecheck.verdict.comparison import VerdictChange

__all__ = [
    "limit_entries",
    "render_difference",
    "render_limits",
    "render_rulebooks",
    "time_entries",
    "validity_words",
]


def render_rulebooks(books: Sequence[Rulebook], *, colour: bool) -> str:
    """A table of rulebooks: id, title, edition, validity, coverage, number of limits."""
    rows = []
    for book in books:
        lacking = f", {len(book.missing)} topics missing" if book.missing else ""
        count = len({row.id for row in book.limits})
        coverage = f"{book.coverage}{lacking}"
        rows.append((book.id, book.title, book.edition, validity_words(book), coverage, str(count)))
    heads = ("rulebook", "title", "edition", "in force", "coverage", "limits")
    return plain_table(heads, rows, colour=colour)


def validity_words(book: Rulebook) -> str:
    """From when until when a rulebook is in force, as far as that is known."""
    since = f"from {book.valid_from}" if book.valid_from else ""
    until = f"until {book.valid_to}" if book.valid_to else ""
    return " ".join(part for part in (since, until) if part) or "dates not known"


def limit_entries(book: Rulebook, name: str, to: Audience) -> Iterator[tuple[Entry[int], Limit]]:
    """What a limit asks of whom: each entry with the row that decides; nobody is named whom no row speaks to.

    Where a row for more subjects decides, that is said of those once and not again of these.
    """
    rows = [row for row in book.limits if row.id == name]

    def say(facets: Facets) -> int:
        chosen = resolve(rows, [facets]).row
        return -1 if chosen is None else rows.index(chosen)

    for entry in tabulate(rows, to, say):
        if entry.said >= 0 and _own_scope(rows[entry.said]) == entry.scope:
            yield entry, rows[entry.said]


def _own_scope(row: Limit) -> dict[str, tuple[str, ...]]:
    return {facet: words for facet, words in row.where.items() if facet not in ("discipline", "grade", "height")}


def time_entries(book: Rulebook, to: Audience) -> Iterator[tuple[Entry[int], TimeRule]]:
    """How the times are found, by grade and height class."""
    rules = book.times

    def say(facets: Facets) -> int:
        chosen = resolve(rules, [facets]).row
        same = (i for i, rule in enumerate(rules) if chosen and (rule.sct, rule.mct) == (chosen.sct, chosen.mct))
        return next(same, -1)

    for entry in tabulate(rules, to, say):
        if entry.said >= 0:
            yield entry, rules[entry.said]


def render_limits(book: Rulebook, to: Audience, *, units: str, colour: bool) -> str:
    """All limits of a rulebook for these grades and height classes, then how the times are found."""
    lines = [f"{book.title}, edition {book.edition} ({book.coverage}, {validity_words(book)})", ""]
    rows: list[tuple[str, ...]] = []
    for name in dict.fromkeys(row.id for row in book.limits):
        for entry, row in limit_entries(book, name, to):
            first = not rows or _last_name(rows) != name
            asked = f"{row.measure}, {row.metric}"
            counted = counted_words(row, units)
            rows.append(
                (
                    name if first else "",
                    f"{asked}: {counted}" if counted else asked,
                    scope_words(entry.scope),
                    grade_words(entry.grades, book),
                    class_words(entry.heights, book),
                    ask_words(row, units),
                    row.clause or "–",
                    row.basis,
                )
            )
    heads = ("limit", "measure, metric", "applies", "grades", "classes", "asks", "clause", "basis")
    lines.append(plain_table(heads, rows, colour=colour, width=200))
    times = [
        (grade_words(e.grades, book), class_words(e.heights, book), *map(reckoning_words, (r.sct, r.mct)), r.basis)
        for e, r in time_entries(book, to)
    ]
    if times:
        lines.append(plain_table(("grades", "classes", "SCT", "MCT", "basis"), times, colour=colour))
    if book.missing:
        lines += ["Not in this file:", *(f"  {printable(topic)}" for topic in book.missing), ""]
    return "\n".join(lines)


def _last_name(rows: Sequence[tuple[str, ...]]) -> str:
    return next(row[0] for row in reversed(rows) if row[0])


def render_difference(
    old: Rulebook,
    new: Rulebook,
    difference: Difference,
    courses: Sequence[VerdictChange],
    *,
    units: str,
    colour: bool,
) -> str:
    """What changed from the old rulebook to the new one, and what that does to some courses."""
    lines = [f"from {old.id} (edition {old.edition}) to {new.id} (edition {new.edition})", ""]
    lines += [f"{change.what}: {change.old or 'none'} → {change.new or 'none'}" for change in difference.head]
    lines += [""] if difference.head else []
    if not difference.limits and not difference.times:
        lines += ["No limit and no time differs.", ""]
    for how, changes in groupby(sorted(difference.limits, key=_how_place), key=lambda change: change.how):
        lines += [how.upper(), plain_table(_HEADS, list(_limit_rows(changes, old, new, units)), colour=colour)]
    times = [(*_audience(c, old, new), _time(c.old), _time(c.new)) for c in difference.times]
    if times:
        lines += ["TIMES", plain_table(("grades", "classes", "old", "new"), times, colour=colour)]
    for course in courses:
        lines += [*_course_lines(course, old, new), ""]
    return "\n".join(lines).rstrip("\n") + "\n"


_HEADS = ("limit", "applies", "grades", "classes", "old", "new")


def _how_place(change: Change[Limit]) -> int:
    return ("removed", "added", "changed").index(change.how)


def _limit_rows(
    changes: Iterator[Change[Limit]], old: Rulebook, new: Rulebook, units: str
) -> Iterator[tuple[str, ...]]:
    for change in changes:
        scope = scope_words(change.scope)
        yield (change.name, scope, *_audience(change, old, new), *_sides(change, units))


def _audience(change: Change[Limit] | Change[TimeRule], old: Rulebook, new: Rulebook) -> tuple[str, str]:
    book = new if change.how == "added" else old
    return grade_words(change.grades, book), class_words(change.heights, book)


def _sides(change: Change[Limit], units: str) -> tuple[str, str]:
    """What was asked and what is; what is measured, too, where both do not measure the same."""
    old, new = change.old, change.new
    same = old and new and _measured(old, units) == _measured(new, units)
    asked = [
        ask_words(row, units) if same or row is None else f"{ask_words(row, units)} ({_measured(row, units)})"
        for row in (old, new)
    ]
    return asked[0], asked[1]


def _measured(row: Limit, units: str) -> str:
    counted = counted_words(row, units)
    return f"{MEASURES[row.measure].title}, {row.metric}{f': {counted}' if counted else ''}"


def _time(rule: TimeRule | None) -> str:
    if rule is None:
        return "no rule"
    return f"SCT {reckoning_words(rule.sct)}; MCT {reckoning_words(rule.mct)}"


def _course_lines(change: VerdictChange, old: Rulebook, new: Rulebook) -> Iterator[str]:
    if change.why_not:
        yield printable(f"{change.course}: not compared: {change.why_not}")
        return
    words = [
        f"{'legal' if legal else 'not legal'} by {book.id}" for legal, book in ((change.was, old), (change.now, new))
    ]
    yield printable(f"{change.course}: {words[0]}, {words[1]}{'' if change.was == change.now else ': CHANGED'}")
    for sign, findings in (("-", change.gone), ("+", change.come)):
        for finding in findings:
            classes = f" [{finding.height}]" if finding.height else ""
            yield printable(f"  {sign} {finding.severity} {finding.limit}: {finding.message}{classes}")

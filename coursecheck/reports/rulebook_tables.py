"""Rulebooks as tables for the terminal: which there are, all limits of one, what changed from one to another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from coursecheck.language import labelled, say, say_as, say_count, to_say
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
from coursecheck.reports.terms import basis_name, book_title, coverage_name, severity_name
from coursecheck.reports.wording import printable
from coursecheck.rulebook.diff import Change, Difference
from coursecheck.rulebook.model import Limit, Rulebook, TimeRule
from coursecheck.rulebook.resolve import Facets, resolve
from coursecheck.rulebook.tabulation import Audience, Entry, scope_of, tabulate
from coursecheck.verdict.compare import metric_name
from coursecheck.verdict.comparison import VerdictChange

__all__ = [
    "lacking_words",
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
        count = len({row.id for row in book.limits})
        coverage = coverage_name(book)
        coverage = f"{coverage}, {lacking_words(book)}" if book.missing else coverage
        rows.append((book.id, book_title(book), book.edition, validity_words(book), coverage, str(count)))
    heads = (say("rulebook"), say("title"), say("edition"), say("in force"), say("coverage"), say("limits"))
    return plain_table(heads, rows, colour=colour)


def lacking_words(book: Rulebook) -> str:
    """How many topics a rulebook file lacks."""
    return say_count("{count} topic missing", "{count} topics missing", len(book.missing))


def validity_words(book: Rulebook) -> str:
    """From when until when a rulebook is in force, as far as that is known."""
    if book.valid_from and book.valid_to:
        return say("from {day} until {last}", day=book.valid_from, last=book.valid_to)
    if book.valid_from:
        return say("from {day}", day=book.valid_from)
    return say("until {last}", last=book.valid_to) if book.valid_to else say("dates not known")


def limit_entries(book: Rulebook, name: str, to: Audience) -> Iterator[tuple[Entry[int], Limit]]:
    """What a limit asks of whom: each entry with the row that decides; nobody is named whom no row speaks to.

    Where a row for more subjects decides, that is said of those once and not again of these.
    """
    rows = [row for row in book.limits if row.id == name]

    def choose(facets: Facets) -> int:
        chosen = resolve(rows, [facets]).row
        return -1 if chosen is None else rows.index(chosen)

    for entry in tabulate(rows, to, choose):
        if entry.said >= 0 and scope_of(rows[entry.said]) == entry.scope:
            yield entry, rows[entry.said]


def time_entries(book: Rulebook, to: Audience) -> Iterator[tuple[Entry[int], TimeRule]]:
    """How the times are found, by grade and height class."""
    rules = book.times

    def choose(facets: Facets) -> int:
        chosen = resolve(rules, [facets]).row
        same = (i for i, rule in enumerate(rules) if chosen and rule.effect == chosen.effect)
        return next(same, -1)

    for entry in tabulate(rules, to, choose):
        if entry.said >= 0:
            yield entry, rules[entry.said]


def render_limits(book: Rulebook, to: Audience, *, units: str, colour: bool) -> str:
    """All limits of a rulebook for these grades and height classes, then how the times are found."""
    heading = say(
        "{title}, edition {edition} ({coverage}, {validity})",
        title=book_title(book),
        edition=book.edition,
        coverage=coverage_name(book),
        validity=validity_words(book),
    )
    lines = [heading, ""]
    rows: list[tuple[str, ...]] = []
    for name in dict.fromkeys(row.id for row in book.limits):
        for entry, row in limit_entries(book, name, to):
            first = not rows or _last_name(rows) != name
            asked = f"{row.measure}, {metric_name(row.metric)}"
            counted = counted_words(row, units)
            rows.append(
                (
                    name if first else "",
                    labelled(asked, counted) if counted else asked,
                    scope_words(entry.scope),
                    grade_words(entry.grades, book),
                    class_words(entry.heights, book),
                    ask_words(row, units),
                    row.clause or "–",
                    basis_name(row.basis),
                )
            )
    heads = (
        say("limit"),
        say("measure, metric"),
        say("applies"),
        say("grades"),
        say("classes"),
        say("asks"),
        say("clause"),
        say("basis"),
    )
    lines.append(plain_table(heads, rows, colour=colour, width=200))
    times = [
        (
            grade_words(e.grades, book),
            class_words(e.heights, book),
            *map(reckoning_words, (r.sct, r.mct)),
            basis_name(r.basis),
        )
        for e, r in time_entries(book, to)
    ]
    if times:
        lines.append(
            plain_table((say("grades"), say("classes"), say("SCT"), say("MCT"), say("basis")), times, colour=colour)
        )
    if book.missing:
        lines += [say("Not in this file:"), *(f"  {printable(say(topic))}" for topic in book.missing), ""]
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
    heading = say(
        "from {old} (edition {old_edition}) to {new} (edition {new_edition})",
        old=old.id,
        old_edition=old.edition,
        new=new.id,
        new_edition=new.edition,
    )
    lines = [heading, ""]
    nothing = say_as("value", "none")
    lines += [
        labelled(say(change.what), f"{change.old or nothing} → {change.new or nothing}") for change in difference.head
    ]
    lines += [""] if difference.head else []
    if not difference.limits and not difference.times:
        lines += [say("No limit and no time differs."), ""]
    for how, changes in groupby(sorted(difference.limits, key=_how_place), key=lambda change: change.how):
        lines += [say(how).upper(), plain_table(_heads(), list(_limit_rows(changes, old, new, units)), colour=colour)]
    times = [(*_audience(c, old, new), _time(c.old), _time(c.new)) for c in difference.times]
    if times:
        lines += [
            say("times").upper(),
            plain_table((say("grades"), say("classes"), say("old"), say("new")), times, colour=colour),
        ]
    for course in courses:
        lines += [*_course_lines(course, old, new), ""]
    return "\n".join(lines).rstrip("\n") + "\n"


def _heads() -> tuple[str, ...]:
    return (say("limit"), say("applies"), say("grades"), say("classes"), say("old"), say("new"))


def _how_place(change: Change[Limit]) -> int:
    return (to_say("removed"), to_say("added"), to_say("changed")).index(change.how)


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
    measured = f"{say(MEASURES[row.measure].title)}, {metric_name(row.metric)}"
    return labelled(measured, counted) if counted else measured


def _time(rule: TimeRule | None) -> str:
    if rule is None:
        return say("no rule")
    return say("SCT {sct}; MCT {mct}", sct=reckoning_words(rule.sct), mct=reckoning_words(rule.mct))


def _course_lines(change: VerdictChange, old: Rulebook, new: Rulebook) -> Iterator[str]:
    if change.why_not:
        yield printable(say("{course}: not compared: {why}", course=change.course, why=change.why_not))
        return
    words = [
        say("legal by {rulebook}", rulebook=book.id) if legal else say("not legal by {rulebook}", rulebook=book.id)
        for legal, book in ((change.was, old), (change.now, new))
    ]
    changed = "" if change.was == change.now else f": {say('changed').upper()}"
    yield printable(f"{change.course}: {words[0]}, {words[1]}{changed}")
    for sign, findings in (("-", change.gone), ("+", change.come)):
        for finding in findings:
            classes = f" [{finding.height}]" if finding.height else ""
            yield printable(f"  {sign} {severity_name(finding.severity)} {finding.limit}: {finding.message}{classes}")

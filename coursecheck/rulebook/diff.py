"""What changed from one rulebook to another: limits, times, and the words that course files may use."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Generic, Literal, TypeVar

from coursecheck.language import clauses, say_as, say_count, to_say
from coursecheck.rulebook.model import Limit, Rulebook, Selectors, TimeRule
from coursecheck.rulebook.resolve import Facets, Row, resolve
from coursecheck.rulebook.tabulation import Audience, audience, common, tabulate

__all__ = ["Change", "Difference", "HeadChange", "diff"]

R = TypeVar("R", bound=Row)


@dataclass(frozen=True, slots=True)
class Change(Generic[R]):
    """What one row says in the old and another in the new rulebook to the same audience.

    Attributes:
        name: the limit's id; empty for times.
        how: "added" and "removed": the limit, or the times, are in one of the two alone; else "changed".
        scope: the selectors beside discipline, grade and height class.
        grades: disciplines and grades. heights: height classes.
        old: the row that decides in the old rulebook, or None. new: likewise.
    """

    name: str
    how: Literal["added", "removed", "changed"]
    scope: Selectors
    grades: tuple[tuple[str, str], ...]
    heights: tuple[str, ...]
    old: R | None
    new: R | None


@dataclass(frozen=True, slots=True)
class HeadChange:
    """Something that the rulebooks say of themselves, in words."""

    what: str
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Difference:
    """All that changed. Grades and height classes that one rulebook alone has are told in `head` and not compared."""

    head: tuple[HeadChange, ...]
    limits: tuple[Change[Limit], ...]
    times: tuple[Change[TimeRule], ...]


def diff(old: Rulebook, new: Rulebook) -> Difference:
    """What changed from the old rulebook to the new one; limits in the order of the old one, then the added ones."""
    ids = dict.fromkeys(row.id for book in (old, new) for row in book.limits)
    limits = [change for name in ids for change in _changes(name, old, new, _rows(old, name), _rows(new, name))]
    times = _changes("", old, new, old.times, new.times)
    return Difference(tuple(_head(old, new)), tuple(limits), tuple(times))


def _rows(book: Rulebook, name: str) -> list[Limit]:
    return [row for row in book.limits if row.id == name]


def _changes(name: str, old: Rulebook, new: Rulebook, before: Sequence[R], after: Sequence[R]) -> Iterator[Change[R]]:
    how: Literal["added", "removed", "changed"] = "added" if not before else "removed" if not after else "changed"
    rows = [*before, *after]

    def say(facets: Facets) -> tuple[int, int]:
        """The rows that decide, each by the place of the first one that does the same."""
        chosen = [resolve(side, [facets]).row for side in (before, after)]
        found = (-1 if row is None else _place(rows, row) for row in chosen)
        return next(found), next(found)

    for entry in tabulate(rows, _audience(how, old, new), say):
        first, second = entry.said
        if first != second:
            rows_of = (rows[first] if first >= 0 else None, rows[second] if second >= 0 else None)
            yield Change(name, how, entry.scope, entry.grades, entry.heights, *rows_of)


def _place(rows: Sequence[R], row: R) -> int:
    return next(i for i, other in enumerate(rows) if other.effect == row.effect)


def _audience(how: str, old: Rulebook, new: Rulebook) -> Audience:
    if how == "changed":
        return common(audience(old), audience(new))
    return audience(new if how == "added" else old)


def _head(old: Rulebook, new: Rulebook) -> Iterator[HeadChange]:
    for what, read in _HEAD.items():
        before, after = read(old), read(new)
        if before != after:
            yield HeadChange(what, before, after)


def _coverage(book: Rulebook) -> str:
    return say_as("coverage", book.coverage)


def _lacking(book: Rulebook) -> str:
    return say_count("{count} topic missing", "{count} topics missing", len(book.missing))


def _grades(book: Rulebook) -> str:
    return clauses(f"{name} {', '.join(grades)}" for name, grades in book.disciplines.items())


def _classes(book: Rulebook) -> str:
    return ", ".join(
        f"{name} ({height.withers_cm} cm)" if height.withers_cm else name for name, height in book.heights.items()
    )


_HEAD: dict[str, Callable[[Rulebook], str]] = {
    to_say("edition"): lambda book: book.edition,
    to_say("disciplines and grades"): _grades,
    to_say("height classes"): _classes,
    to_say("course length"): lambda book: f"{book.length.how}, {book.length.start} to {book.length.end}",
    to_say("coverage"): lambda book: f"{_coverage(book)}, {_lacking(book)}" if book.missing else _coverage(book),
}

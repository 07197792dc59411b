"""What a rulebook says, laid out by whom it says it to: obstacles, grades, height classes."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from coursecheck.rulebook.model import Rulebook, Selectors
from coursecheck.rulebook.resolve import Facets, Row

__all__ = ["Audience", "Entry", "audience", "common", "scope_of", "scopes", "stand_in", "tabulate"]

T = TypeVar("T", bound=Hashable)
GRADE_FACETS = ("discipline", "grade", "height")


@dataclass(frozen=True, slots=True)
class Audience:
    """The grades, each with its discipline, and the height classes that something is laid out for."""

    grades: tuple[tuple[str, str], ...]
    heights: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Entry(Generic[T]):
    """The same thing for all of these.

    Attributes:
        scope: the selectors that the subject falls under, those on discipline, grade and height left aside.
        grades: disciplines and grades.
        heights: height classes.
        said: what holds for them.
    """

    scope: Selectors
    grades: tuple[tuple[str, str], ...]
    heights: tuple[str, ...]
    said: T


def audience(
    book: Rulebook, discipline: str | None = None, grade: str | None = None, height: str | None = None
) -> Audience:
    """The grades and height classes of a rulebook, or those of one discipline, grade or class."""
    grades = tuple(
        (name, own)
        for name, owns in book.disciplines.items()
        for own in owns
        if discipline in (None, name) and grade in (None, own)
    )
    return Audience(grades, tuple(name for name in book.heights if height in (None, name)))


def common(one: Audience, other: Audience) -> Audience:
    """The grades and height classes that both have."""
    return Audience(
        tuple(pair for pair in one.grades if pair in other.grades),
        tuple(height for height in one.heights if height in other.heights),
    )


def scope_of(row: Row) -> Selectors:
    """What a row asks of the subject beside discipline, grade and height class."""
    return {facet: words for facet, words in row.where.items() if facet not in GRADE_FACETS}


def scopes(rows: Sequence[Row]) -> list[Selectors]:
    """What rows ask of the subject, each once, in their order."""
    found: list[Selectors] = []
    for row in rows:
        scope = scope_of(row)
        if scope not in found:
            found.append(scope)
    return found


def stand_in(scope: Selectors, rows: Sequence[Row]) -> Facets:
    """A subject of this scope that falls under as few of the other scopes' rows as can be."""
    others = [other for other in scopes(rows) if other != scope]

    def intruders(facets: Facets) -> int:
        return sum(all(facets.get(facet) in words for facet, words in other.items()) for other in others)

    subjects = [dict(zip(scope, words, strict=True)) for words in itertools.product(*scope.values())]
    return min(subjects, key=intruders)


def tabulate(rows: Sequence[Row], to: Audience, say: Callable[[Facets], T]) -> Iterator[Entry[T]]:
    """What is said to each scope, grade and height class, with those that hear the same put together.

    Args:
        rows: give the scopes.
        to: the grades and height classes.
        say: what is said of a subject.
    """
    for scope in scopes(rows):
        subject = stand_in(scope, rows)
        by_row: dict[tuple[T, ...], list[tuple[str, str]]] = {}
        for discipline, grade in to.grades:
            plan = {"discipline": discipline, "grade": grade}
            across = tuple(say({**plan, "height": height, **subject}) for height in to.heights)
            by_row.setdefault(across, []).append((discipline, grade))
        for across, grades in by_row.items():
            for said in dict.fromkeys(across):
                heights = tuple(h for h, words in zip(to.heights, across, strict=True) if words == said)
                yield Entry(scope, tuple(grades), heights, said)

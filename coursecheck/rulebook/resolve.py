"""Which row of a rulebook applies: one function both decides and explains."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from coursecheck.language import clauses, labelled, say
from coursecheck.rulebook.model import Limit, Place, Rulebook, Selectors

__all__ = ["Facets", "Resolution", "Row", "Shortlist", "resolve", "shortlist", "size_of"]

Facets = Mapping[str, str]
"""What a selector sees of a subject: facet name -> its one value; a facet that it lacks fits no selector on it."""


class Row(Protocol):
    """Any row of a rulebook that says whom it applies to: a limit, an equipment size, a rule on times."""

    @property
    def where(self) -> Selectors:
        """Whom it applies to."""
        ...

    @property
    def place(self) -> Place:
        """Where it stands."""
        ...

    @property
    def reason(self) -> str:
        """Why it goes before a row of the base."""
        ...

    @property
    def effect(self) -> object:
        """What it does to those whom it applies to: rows of the same effect need no order."""
        ...


R = TypeVar("R", bound=Row)


@dataclass(frozen=True, slots=True)
class Resolution(Generic[R]):
    """The row that applies, or None, and, when asked for, one line a row that says why."""

    row: R | None
    trace: tuple[str, ...] = ()


def resolve(rows: Sequence[R], alternatives: Sequence[Facets], *, explain: bool = False) -> Resolution[R]:
    """Of rows that answer the same question, the last that fits.

    Args:
        rows: in the rulebook's order, those of its bases first.
        alternatives: the ways to see the subject; a row fits when all its selectors fit any one of them.
        explain: whether to say of each row why it fits or not, and what goes before what.
    """
    winner: R | None = None
    for row in reversed(rows):
        if _fits(row.where, alternatives):
            winner = row
            break
    if not explain:
        return Resolution(winner)
    return Resolution(winner, tuple(_explain(row, winner, alternatives) for row in rows))


@dataclass(frozen=True, slots=True)
class Shortlist(Generic[R]):
    """Rows that answer the same question and that a plan does not rule out, for those who ask about many subjects.

    Attributes:
        rows: the one that goes before the others first, each with what it asks of a subject beside the plan.
    """

    rows: tuple[tuple[R, tuple[tuple[str, tuple[str, ...]], ...]], ...]

    def choose(self, alternatives: Sequence[Facets]) -> R | None:
        """The row that `resolve` would find for a subject of the plan, seen in these ways."""
        for row, asked in self.rows:
            for seen in alternatives:
                for facet, words in asked:
                    if seen.get(facet) not in words:
                        break
                else:
                    return row
        return None


def shortlist(rows: Sequence[R], plan: Facets) -> Shortlist[R]:
    """The rows that fit a plan as a whole.

    Args:
        rows: in the rulebook's order, those of its bases first.
        plan: what is seen of the plan; its subjects have none of these facets of their own.
    """
    return Shortlist(
        tuple(
            (row, tuple(asked for asked in row.where.items() if asked[0] not in plan))
            for row in reversed(rows)
            if all(plan[facet] in words for facet, words in row.where.items() if facet in plan)
        )
    )


def size_of(rulebook: Rulebook, kind: str, size: str, facets: Facets) -> float | None:
    """The rulebook's size of a kind of obstacle, in metres, degrees or a count; None where it gives none."""
    rows = [row for row in rulebook.sizes if row.kind == kind and row.size == size]
    chosen = resolve(rows, [facets]).row
    return None if chosen is None else chosen.value


def _fits(where: Selectors, alternatives: Sequence[Facets]) -> bool:
    return any(all(facets.get(facet) in words for facet, words in where.items()) for facets in alternatives)


def _explain(row: Row, winner: Row | None, alternatives: Sequence[Facets]) -> str:
    opening = f"{_place_words(row)}{_bound_words(row)}"
    if not _fits(row.where, alternatives):
        return say("{row} does not apply: {why}", row=opening, why=_misfit_words(row.where, alternatives))
    fit = say("for {whom}", whom=_where_words(row.where)) if row.where else say("for all")
    if row is winner or winner is None:
        told = say("{row} applies, {fit}", row=opening, fit=fit)
        return clauses((told, say(row.reason))) if row.reason else told
    told = say("{row} fits, {fit}, but {winner} goes before it", row=opening, fit=fit, winner=_place_words(winner))
    return labelled(told, say(winner.reason)) if winner.reason else told


def _place_words(row: Row) -> str:
    return say("{rulebook} line {line}", rulebook=row.place.rulebook, line=row.place.line)


def _bound_words(row: Row) -> str:
    """The bound of a limit in the rulebook's own words, so that the lines of a trace can be told apart."""
    return f" ({row.severity}, {row.written})" if isinstance(row, Limit) else ""


def _where_words(where: Selectors) -> str:
    return ", ".join(f"{facet} {say(' or ').join(words)}" for facet, words in where.items())


def _misfit_words(where: Selectors, alternatives: Sequence[Facets]) -> str:
    """What keeps a row from fitting, by the way to see the subject that comes nearest."""
    misfits = [
        [_misfit(facet, words, facets) for facet, words in where.items() if facets.get(facet) not in words]
        for facets in alternatives
    ]
    nearest: list[str] = min(misfits, key=len, default=[say("there is nothing to apply it to")])
    return ", ".join(nearest)


def _misfit(facet: str, words: Sequence[str], facets: Facets) -> str:
    asked = say(" or ").join(words)
    if facet in facets:
        return say("{facet} is {found}, not {asked}", facet=facet, found=facets[facet], asked=asked)
    return say("there is no {facet} to be {asked}", facet=facet, asked=asked)

"""What is wrong with a rulebook that can be read: rows that never apply, rows in no clear order, bounds at odds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from coursecheck.errors import Problem
from coursecheck.language import either, say, say_as, say_count
from coursecheck.rulebook.model import EquipmentSize, Limit, Rulebook
from coursecheck.rulebook.resolve import Facets, Row, resolve
from coursecheck.rulebook.subjects import Domain, domain_of, subjects
from coursecheck.rulebook.vocabulary import MeasureWords

__all__ = ["Remark", "lint"]


@dataclass(frozen=True, slots=True, order=True)
class Remark:
    """One remark on a rulebook: an "error" where a row does not do what it says, a "warning" where it may not."""

    problem: Problem
    gravity: Literal["error", "warning"]

    def __str__(self) -> str:
        problem = self.problem
        return f"{problem.place}: {say_as('gravity', self.gravity)}: {problem.path}: {problem.words}"


@dataclass(frozen=True, slots=True)
class _Group:
    """Rows that answer the same question, the base's among them.

    Attributes:
        name: what they are about, for messages.
        rows: in the rulebook's order.
        domain: what their subjects can be.
    """

    name: str
    rows: Sequence[Row]
    domain: Domain


def lint(book: Rulebook, measures: Mapping[str, MeasureWords], kinds: Iterable[str]) -> tuple[Remark, ...]:
    """Remarks on the rows of a rulebook's own file, in the file's order; rows of its bases are not its own.

    Args:
        book: as read; everything that the reader refuses is settled already.
        measures: the measures there are.
        kinds: every kind of obstacle there is.
    """
    kinds = tuple(kinds)
    own = book.files[-1] if book.files else ""
    groups = list(_groups(book, measures, kinds))
    remarks = [*_on_head(book, own)]
    for group in groups:
        mine = [row for row in group.rows if row.place.file == own]
        if mine:
            tried = [(facets, _fitting(group.rows, facets)) for facets in subjects(book, group.rows, group.domain)]
            remarks += _on_reach(group, mine, [fitting for _, fitting in tried])
            remarks += _on_order(group, mine, tried)
    for row in book.limits:
        if row.place.file == own:
            remarks += _on_silence(row, measures[row.measure])
    remarks += _on_contradictions(book, own, measures, kinds)
    return tuple(sorted(set(remarks)))


def _groups(book: Rulebook, measures: Mapping[str, MeasureWords], kinds: Sequence[str]) -> Iterator[_Group]:
    limits: dict[str, list[Limit]] = {}
    for limit in book.limits:
        limits.setdefault(limit.id, []).append(limit)
    for name, rows in limits.items():
        domain = domain_of((measures[row.measure] for row in rows), kinds)
        yield _Group(f"limit {name}", rows, domain)
    sizes: dict[tuple[str, str], list[EquipmentSize]] = {}
    for size in book.sizes:
        sizes.setdefault((size.kind, size.size), []).append(size)
    for (kind, name), same in sizes.items():
        yield _Group(f"equipment {kind} {name}", same, {})
    yield _Group("time", book.times, {})


def _fitting(rows: Sequence[Row], facets: Facets) -> list[Row]:
    """The rows that fit a subject, the one that decides last."""
    return [row for row in rows if resolve([row], [facets]).row is not None]


def _error(row: Row, name: str, wrong: str, right: str = "") -> Remark:
    return Remark(Problem(row.place.file, row.place.line, name, wrong, right), "error")


def _warning(row: Row, name: str, wrong: str, right: str = "") -> Remark:
    return Remark(Problem(row.place.file, row.place.line, name, wrong, right), "warning")


def _on_head(book: Rulebook, own: str) -> Iterator[Remark]:
    if book.coverage == "full" and book.missing:
        wrong = say_count(
            'coverage is "full", but {count} topic is missing',
            'coverage is "full", but {count} topics are missing',
            len(book.missing),
        )
        right = say("write {what}", what=either(['"partial"', "missing = []"]))
        yield Remark(Problem(own, 0, "rulebook.coverage", wrong, right), "warning")
    if book.coverage == "partial" and not book.missing:
        wrong = say('coverage is "partial", but no topic is missing')
        right = say("list what this file has no rows for")
        yield Remark(Problem(own, 0, "rulebook.missing", wrong, right), "warning")


def _on_reach(group: _Group, mine: Sequence[Row], tried: Sequence[Sequence[Row]]) -> Iterator[Remark]:
    """Rows that never decide because later ones always go before them."""
    for row in mine:
        under = [fitting for fitting in tried if any(other is row for other in fitting)]
        if not under or any(fitting[-1] is row for fitting in under):
            continue
        lines = ", ".join(str(line) for line in sorted({fitting[-1].place.line for fitting in under}))
        wrong = say("never applies: what stands later, on line {lines}, always goes before it", lines=lines)
        right = say("put the special rows after the general ones, or leave this one out")
        yield _error(row, group.name, wrong, right)


def _on_order(group: _Group, mine: Sequence[Row], tried: Sequence[tuple[Facets, Sequence[Row]]]) -> Iterator[Remark]:
    """Rows that fit the same subject, where neither is the more special one and only their order decides."""
    for row in mine:
        for facets, fitting in tried:
            rivals = fitting[:-1] if fitting and fitting[-1] is row else []
            rival = next((other for other in reversed(rivals) if _rivals(other, row)), None)
            if rival is not None:
                where = ", ".join(f"{facet} {word}" for facet, word in facets.items() if facet in _both(rival, row))
                wrong = say(
                    "only its place decides between it and line {line} for {where}",
                    line=rival.place.line,
                    where=where,
                )
                yield _warning(row, group.name, wrong, say("add a row that names both"))
                break


def _both(one: Row, other: Row) -> set[str]:
    return {*one.where, *other.where}


def _rivals(one: Row, other: Row) -> bool:
    """Whether two rows of one file do different things and neither is for a part of what the other is for."""
    same_file = one.place.file == other.place.file
    nested = _within(one, other) or _within(other, one)
    return same_file and not nested and one.effect != other.effect


def _within(narrow: Row, wide: Row) -> bool:
    """Whether a row is for a part of what another one is for."""
    return all(
        facet in narrow.where and set(narrow.where[facet]) <= set(words) for facet, words in wide.where.items()
    )


def _on_silence(row: Limit, measure: MeasureWords) -> Iterator[Remark]:
    """Rows for subjects that their measure never has a value for."""
    for facet, words in row.where.items():
        silent = [word for word in words if word in measure.never.get(facet, ())]
        if not silent:
            continue
        wrong = say(
            "{measure} never has a value where {facet} is {words}",
            measure=measure.name,
            facet=facet,
            words=either(silent),
        )
        remark = _error if len(silent) == len(words) else _warning
        yield remark(row, f"limit {row.id}", wrong, say("leave it out"))


def _on_contradictions(
    book: Rulebook, own: str, measures: Mapping[str, MeasureWords], kinds: Sequence[str]
) -> Iterator[Remark]:
    """A least and a greatest value of the same thing, in two limits, that no plan can keep both."""
    asked: dict[tuple[object, ...], list[Limit]] = {}
    for row in book.limits:
        asked.setdefault((row.measure, row.metric, row.of, row.between), []).append(row)
    for rows in asked.values():
        names = dict.fromkeys(row.id for row in rows)
        if len(names) < 2 or not any(row.place.file == own for row in rows):
            continue
        for facets in subjects(book, rows, domain_of([measures[rows[0].measure]], kinds)):
            chosen = [resolve([row for row in rows if row.id == name], [facets]).row for name in names]
            yield from _at_odds([row for row in chosen if row is not None], own)


def _at_odds(rows: Sequence[Limit], own: str) -> Iterator[Remark]:
    lows = [(bound, row) for row in rows for bound in (row.min, row.equals) if bound is not None]
    highs = [(bound, row) for row in rows for bound in (row.max, row.equals) if bound is not None]
    for low, least in lows:
        for high, most in highs:
            later = max(least, most, key=lambda row: row.place.line if row.place.file == own else -1)
            if low > high and least.id != most.id and later.place.file == own:
                other = least if later is most else most
                wrong = say(
                    "no plan can keep both this and limit {limit}: at least {low}, at most {high}",
                    limit=other.id,
                    low=f"{low:g}",
                    high=f"{high:g}",
                )
                yield _warning(later, f"limit {later.id}", wrong, say("change one of them"))

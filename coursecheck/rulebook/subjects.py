"""The subjects that rows can be asked about: few enough to be tried one by one, and standing for all there are."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence

from coursecheck.rulebook.model import Rulebook, Selectors
from coursecheck.rulebook.resolve import Facets, Row
from coursecheck.rulebook.vocabulary import PLACES, SWITCHES, TURNS, MeasureWords

__all__ = ["Domain", "domain_of", "subjects"]

Domain = Mapping[str, tuple[str, ...]]
"""Facet -> every word that it can have; "" stands for a subject that lacks the facet."""


def domain_of(measures: Iterable[MeasureWords], kinds: Iterable[str]) -> Domain:
    """What the facets of the values of some measures can be, those of the plan as a whole left aside.

    Args:
        measures: the measures.
        kinds: every kind of obstacle there is.
    """
    chosen, kinds = list(measures), tuple(kinds)
    ends = (*kinds, "") if any("kind" in measure.facets for measure in chosen) else kinds
    words: Domain = {
        "kind": kinds,
        "from": ends,
        "to": ends,
        "pass": (*PLACES, "middle"),
        "turn": TURNS,
        "reverse": SWITCHES,
        "parallel": SWITCHES,
    }
    named = [facet for facet in words if any(facet in measure.facets for measure in chosen)]
    return {facet: tuple(w for w in words[facet] if not _never(chosen, facet, w)) for facet in named}


def _never(measures: Sequence[MeasureWords], facet: str, word: str) -> bool:
    return all(word in measure.never.get(facet, ()) for measure in measures if facet in measure.facets)


def subjects(book: Rulebook, rows: Sequence[Row], domain: Domain) -> Iterator[Facets]:
    """Subjects that tell the rows apart: every subject there is falls under the same rows as one of these.

    Of each facet only the words that some row names are tried, and one that none names, where there is one.
    """
    named = _named(row.where for row in rows)
    own = {facet: _stand_ins(words, domain[facet]) for facet, words in named.items() if facet in domain}
    own |= {"height": _stand_ins(named["height"], tuple(book.heights))} if "height" in named else {}
    own |= {"indoor": SWITCHES} if "indoor" in named else {}
    for plan in _plans(book, named):
        for words in itertools.product(*own.values()):
            yield plan | {facet: word for facet, word in zip(own, words, strict=True) if word}


def _plans(book: Rulebook, named: Mapping[str, Sequence[str]]) -> list[dict[str, str]]:
    """Disciplines with their grades, as far as rows choose by them."""
    if not {"discipline", "grade"} & set(named):
        return [{}]
    disciplines = _stand_ins(named.get("discipline", ()), tuple(book.disciplines))
    if "grade" not in named:
        return [{"discipline": discipline} for discipline in disciplines]
    every = book.disciplines if "discipline" not in named else disciplines
    return [
        {"discipline": discipline, "grade": grade}
        for discipline in every
        for grade in _stand_ins(named["grade"], book.disciplines[discipline])
    ]


def _named(wheres: Iterable[Selectors]) -> dict[str, tuple[str, ...]]:
    """Every word that some row names, by facet."""
    named: dict[str, dict[str, None]] = {}
    for where in wheres:
        for facet, words in where.items():
            named.setdefault(facet, {}).update(dict.fromkeys(words))
    return {facet: tuple(words) for facet, words in named.items()}


def _stand_ins(named: Sequence[str], every: Sequence[str]) -> tuple[str, ...]:
    """The words that are named, and one for all that are not."""
    others = [word for word in every if word not in named]
    return (*(word for word in every if word in named), *others[:1])

"""The words that a rulebook may use, and its selectors held against them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from msgspec import UNSET, structs

from coursecheck.course.document import kind_synonyms
from coursecheck.course.kinds import KindWords
from coursecheck.documents import Problems, nearest
from coursecheck.language import say, to_say
from coursecheck.rulebook.document import WhereTable
from coursecheck.rulebook.model import Selectors

__all__ = ["PLAN_FACETS", "MeasureWords", "Vocabulary", "check_facets", "check_words", "facets_of", "selectors_of"]

PLAN_FACETS = ("discipline", "grade", "height", "indoor")
"""What selectors can see of every plan."""
PLACES = ("first", "last")
SWITCHES = ("true", "false")
TURNS = ("straight", "angled", "side", "back")

DISCIPLINE, GRADE, HEIGHT = to_say("discipline"), to_say("grade"), to_say("height class")
KIND, PLACE, SWITCH, TURN = to_say("kind of obstacle"), to_say("place"), to_say("word"), to_say("turn")
"""What a word of a row stands for, as messages call it."""


def facets_of(discipline: str, grade: str, height: str, *, indoor: bool) -> dict[str, str]:
    """What selectors see of a plan, by PLAN_FACETS."""
    return dict(zip(PLAN_FACETS, (discipline, grade, height, str(indoor).lower()), strict=True))


class MeasureWords(Protocol):
    """What a rulebook has to know of a measure."""

    @property
    def name(self) -> str:
        """Its name."""
        ...

    @property
    def metrics(self) -> Mapping[str, str]:
        """How it can be measured; "*" stands for the name of any size."""
        ...

    @property
    def facets(self) -> tuple[str, ...]:
        """What selectors can see of its values, beside PLAN_FACETS."""
        ...

    @property
    def never(self) -> Mapping[str, tuple[str, ...]]:
        """Values of a facet that none of its values ever has."""
        ...

    def knows(self, metric: str) -> bool:
        """Whether it can be measured that way."""
        ...

    def unit_of(self, metric: str) -> str:
        """The unit of a metric: "m", "m2", "deg", "s", "count" or "kind"."""
        ...


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The measures and kinds of obstacle there are, and the disciplines and height classes of one rulebook file."""

    measures: Mapping[str, MeasureWords]
    kinds: Mapping[str, KindWords]
    disciplines: Mapping[str, tuple[str, ...]]
    heights: Collection[str]

    def grades(self, disciplines: Iterable[str] = ()) -> tuple[str, ...]:
        """The grades of these disciplines, or of all."""
        chosen = [name for name in disciplines if name in self.disciplines] or list(self.disciplines)
        return tuple(dict.fromkeys(grade for name in chosen for grade in self.disciplines[name]))

    def synonyms(self) -> dict[str, str]:
        """Other words for kinds of obstacle."""
        return kind_synonyms(self.kinds)


def check_words(
    words: Iterable[str],
    known: Collection[str],
    what: str,
    path: str,
    problems: Problems,
    synonyms: Mapping[str, str] | None = None,
) -> None:
    """Notes every word that is not known; `what` says what it should be: one of DISCIPLINE, GRADE, ..."""
    for word in words:
        if word not in known:
            wrong = say('unknown {what} "{word}"', what=say(what), word=word)
            problems.add(path, wrong, nearest(word, known, synonyms))


def check_facets(selectors: Selectors, seen: Collection[str], path: str, problems: Problems) -> None:
    """Notes every selector on what cannot be seen there: such a row would never apply.

    Args:
        selectors: of the row.
        seen: what can be seen beside PLAN_FACETS.
        path: the key path of the row.
        problems: where they are noted.
    """
    known = (*PLAN_FACETS, *seen)
    for facet in selectors:
        if facet not in known:
            wrong = say("nothing that this row speaks of has a {facet}, so it would never apply", facet=facet)
            problems.add(f"{path}.where.{facet}", wrong, say("choose by {facets}", facets=", ".join(known)))


def selectors_of(where: WhereTable, path: str, words: Vocabulary, problems: Problems) -> Selectors:
    """The selectors of a row: one word is a list of one, true and false are words.

    Args:
        where: as read.
        path: its key path, for messages.
        words: what its values are held against.
        problems: where unknown values are noted.
    """
    given = zip(where.__struct_encode_fields__, structs.astuple(where), strict=True)
    selectors = {facet: _as_words(value) for facet, value in given if value is not UNSET}
    if not selectors:
        return {}
    kinds = words.kinds
    known: dict[str, tuple[str, Collection[str]]] = {
        "discipline": (DISCIPLINE, words.disciplines),
        "grade": (GRADE, words.grades(selectors.get("discipline", ()))),
        "height": (HEIGHT, words.heights),
        "kind": (KIND, kinds),
        "from": (KIND, kinds),
        "to": (KIND, kinds),
        "pass": (PLACE, PLACES),
        "reverse": (SWITCH, SWITCHES),
        "indoor": (SWITCH, SWITCHES),
        "turn": (TURN, TURNS),
        "parallel": (SWITCH, SWITCHES),
    }
    for facet, values in selectors.items():
        what, allowed = known[facet]
        check_words(values, allowed, what, f"{path}.{facet}", problems, words.synonyms())
    return selectors


def _as_words(value: bool | str | list[str]) -> tuple[str, ...]:
    if isinstance(value, bool):
        return (str(value).lower(),)
    return (value,) if isinstance(value, str) else tuple(value)

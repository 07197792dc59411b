"""Which limits are judged when somebody asks for a part of them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase

from coursecheck.documents import nearest
from coursecheck.errors import UsageError
from coursecheck.language import say
from coursecheck.rulebook.model import Rulebook

__all__ = ["EVERYTHING", "Selection"]


@dataclass(frozen=True, slots=True)
class Selection:
    """Some of a rulebook's limits.

    A word is the id of a limit, the name of a measure, or a pattern of either with `*`, `?` and `[...]`.

    Attributes:
        select: what is judged; empty: everything.
        ignore: what is not, even where it is selected.
    """

    select: tuple[str, ...] = ()
    ignore: tuple[str, ...] = ()

    def options(self) -> dict[str, str]:
        """What was asked for, by option, for the provenance."""
        asked = {"select": ", ".join(self.select), "ignore": ", ".join(self.ignore)}
        return {name: words for name, words in asked.items() if words}

    def apply(
        self, rulebook: Rulebook, measures: Collection[str], elsewhere: Callable[[], Iterable[Rulebook]]
    ) -> tuple[Rulebook, tuple[str, ...]]:
        """The rulebook with the chosen limits alone, and the ids of those left out, in the rulebook's order.

        Args:
            rulebook: whose limits.
            measures: the names of all measures.
            elsewhere: gives other rulebooks; a word that fits one of them is no mistake where many plans are judged
                by several rulebooks. Asked only when this rulebook does not know a word.

        Raises:
            UsageError: a word that fits nothing anywhere, or nothing is left to judge.
        """
        if not self.select and not self.ignore:
            return rulebook, ()
        names = _names(rulebook)
        self._check_words(names, measures, elsewhere)
        chosen = [limit for limit, own in names.items() if self._chosen(own)]
        if not chosen:
            wrong = say(
                "{rulebook} has no limit that is selected and not ignored, so nothing would be judged",
                rulebook=rulebook.id,
            )
            raise UsageError(wrong)
        kept = tuple(row for row in rulebook.limits if row.id in chosen)
        return replace(rulebook, limits=kept), tuple(limit for limit in names if limit not in chosen)

    def _chosen(self, names: Collection[str]) -> bool:
        selected = not self.select or any(_fits(word, names) for word in self.select)
        return selected and not any(_fits(word, names) for word in self.ignore)

    def _check_words(
        self,
        names: Mapping[str, Collection[str]],
        measures: Collection[str],
        elsewhere: Callable[[], Iterable[Rulebook]],
    ) -> None:
        """A word that means nothing is a slip of the finger, and what it was to do would silently not be done."""
        own = {name for group in names.values() for name in group} | set(measures)
        strange = [word for word in (*self.select, *self.ignore) if not _fits(word, own)]
        if not strange:
            return
        known = own.union(*(group for book in elsewhere() for group in _names(book).values()))
        for word in strange:
            if not _fits(word, known):
                hint = nearest(word, sorted(known))
                raise UsageError(say('no limit or measure is called "{word}"; {hint}', word=word, hint=hint))


def _names(rulebook: Rulebook) -> dict[str, set[str]]:
    """By limit, the names that it goes by: its id and the measures of its rows."""
    names: dict[str, set[str]] = {}
    for row in rulebook.limits:
        names.setdefault(row.id, {row.id}).add(row.measure)
    return names


def _fits(word: str, names: Collection[str]) -> bool:
    return any(fnmatchcase(name, word) for name in names)


EVERYTHING = Selection()
"""All limits."""

"""Which edition of a rulebook is in force on a day, as far as the files know."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable

from coursecheck.language import clauses, say
from coursecheck.rulebook.model import Rulebook

__all__ = ["edition_note", "family"]


def family(rulebook_id: str) -> str:
    """What the editions of one rulebook share: the id without the year at its end, such as "fci" of "fci-2018"."""
    return re.sub(r"-\d{4}$", "", rulebook_id)


def edition_note(rulebook: Rulebook, date: datetime.date, editions: Iterable[Rulebook]) -> str | None:
    """What has to be said about judging by this rulebook on that day; None where it is in force.

    The plan names its edition, and nothing else is ever put in its place: this only tells.

    Args:
        rulebook: the one that the plan names.
        date: the day of the show.
        editions: the rulebooks of the same family, itself among them or not.
    """
    others = sorted((book for book in editions if book.id != rulebook.id), key=lambda book: book.id)
    named = say("{rulebook} (edition {edition})", rulebook=rulebook.id, edition=rulebook.edition)
    if rulebook.valid_from and date < rulebook.valid_from:
        wrong = say(
            "{rulebook} is not in force on {day}: it begins on {first}",
            rulebook=named,
            day=date,
            first=rulebook.valid_from,
        )
        return clauses((wrong, _instead(others, date)))
    if rulebook.valid_to and date > rulebook.valid_to:
        wrong = say(
            "{rulebook} is not in force on {day}: it ended on {last}",
            rulebook=named,
            day=date,
            last=rulebook.valid_to,
        )
        return clauses((wrong, _instead(others, date)))
    if rulebook.valid_from and rulebook.valid_to:
        return None
    return _half_known(rulebook, named, date, others)


def _half_known(rulebook: Rulebook, named: str, date: datetime.date, others: list[Rulebook]) -> str | None:
    """The dates do not contradict, but one of them, or both, are not known."""
    later = [
        book
        for book in _in_force(others, date)
        if rulebook.valid_from is None or (book.valid_from and book.valid_from > rulebook.valid_from)
    ]
    if later:
        return say(
            "{rulebook} gives no date for its end, and {others} is in force on {day}; see which one holds",
            rulebook=named,
            others=_listed(later),
            day=date,
        )
    if rulebook.valid_from is None:
        return say(
            "whether {rulebook} is in force on {day} is not known: it does not say when it began",
            rulebook=named,
            day=date,
        )
    return None


def _instead(others: list[Rulebook], date: datetime.date) -> str:
    in_force = _in_force(others, date)
    if in_force:
        return say("of the shipped editions, {others} is", others=_listed(in_force))
    undated = [book for book in others if book.valid_from is None and not (book.valid_to and date > book.valid_to)]
    if undated:
        return say("no shipped edition is known to be; when {others} began is not known", others=_listed(undated))
    return say("no shipped edition is")


def _in_force(books: Iterable[Rulebook], date: datetime.date) -> list[Rulebook]:
    """Those known to have begun and not known to have ended; one without an end gives way to one that began later."""
    begun = [
        (book.valid_from, book)
        for book in books
        if book.valid_from and book.valid_from <= date and not (book.valid_to and date > book.valid_to)
    ]
    latest = max((first for first, _ in begun), default=date)
    return [book for first, book in begun if book.valid_to or first == latest]


def _listed(books: list[Rulebook]) -> str:
    return say(" or ").join(book.id for book in books)

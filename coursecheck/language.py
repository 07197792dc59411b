"""The reader's language: every sentence of papers and terminal is looked up here by its English words.

English needs no catalogue and reads no file. The catalogues of the other languages lie in `locale/`: a `.po` to edit
and the `.mo` made from it, where gettext looks for it. What programs read (keys, codes, file formats) is never
translated. This module is imported whenever the program starts: what only other languages need is imported by them.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from decimal import Decimal
    from gettext import NullTranslations
    from string import Formatter

__all__ = [
    "DOMAIN",
    "LANGUAGES",
    "LOCALE",
    "both",
    "capital",
    "clauses",
    "either",
    "form_for",
    "labelled",
    "say",
    "say_as",
    "say_count",
    "speaking",
    "spoken",
    "to_say",
    "written",
]

LANGUAGES = MappingProxyType({"en": "English", "de": "Deutsch", "fr": "français"})
"""Every language by its code, in its own words. All but English write a decimal comma."""

DOMAIN = "coursecheck"
LOCALE = os.path.join(os.path.dirname(__file__), "locale")
"""The name of the catalogues, and the folder where they lie, as gettext wants them."""

_current: ContextVar[str] = ContextVar("language", default="en")


def spoken() -> str:
    """The code of the language that is spoken now."""
    return _current.get()


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Speaks a language for as long as the block lasts.

    Raises:
        UsageError: there is no such language.
    """
    if language not in LANGUAGES:
        from coursecheck.errors import UsageError

        raise UsageError(say("no language {name!r}; there are {known}", name=language, known=", ".join(LANGUAGES)))
    token = _current.set(language)
    try:
        yield
    finally:
        _current.reset(token)


def say(message: str, /, **values: object) -> str:
    """A sentence in the language that is spoken, its {fields} filled in; as it stands where it is not translated.

    Args:
        message: the English words. Without values braces mean nothing.
        values: the fields by name; numbers are written as the language writes them.
    """
    language = _current.get()
    if language == "en" or not message:
        return message.format(**values) if values else message
    return _filled(_catalogue(language).gettext(message), values, language)


def say_count(one: str, many: str, /, count: int, **values: object) -> str:
    """A sentence about `count` things, which is a field of it, too: the form that the language has for so many."""
    return _filled(form_for(one, many, count), {"count": count, **values}, _current.get())


def form_for(one: str, many: str, /, count: int) -> str:
    """The form that the language has for so many, its fields not yet filled in."""
    language = _current.get()
    if language == "en":
        return one if count == 1 else many
    return _catalogue(language).ngettext(one, many, count)


def say_as(context: str, message: str, /) -> str:
    """A word that stands for different things in different places, such as "note"; `context` tells them apart."""
    language = _current.get()
    return message if language == "en" else _catalogue(language).pgettext(context, message)


def to_say(message: str, /) -> str:
    """Words that are kept as data and said later; given back as they are."""
    return message


def written(value: float | Decimal, spec: str = "") -> str:
    """A number as the language writes it, by a format such as ".1f"."""
    text = format(value, spec)
    return text if _current.get() == "en" else _with_comma(text)


def either(words: Sequence[str]) -> str:
    """One of several: "a, b or c"."""
    return words[0] if len(words) == 1 else say("{some} or {last}", some=", ".join(words[:-1]), last=words[-1])


def both(words: Sequence[str]) -> str:
    """All of several: "a, b and c"."""
    return words[0] if len(words) == 1 else say("{some} and {last}", some=", ".join(words[:-1]), last=words[-1])


def capital(words: str) -> str:
    """Words that open a sentence: their first letter is a capital, the rest stays as it is."""
    return words[:1].upper() + words[1:]


def clauses(parts: Iterable[str]) -> str:
    """Clauses one after the other: "a; b"."""
    return say("; ").join(parts)


def labelled(name: str, words: str) -> str:
    """What something is called, and what is said of it: "a: b"."""
    return say("{name}: {words}", name=name, words=words)


@cache
def _catalogue(language: str) -> NullTranslations:
    from gettext import translation

    return translation(DOMAIN, LOCALE, [language])


def _filled(words: str, values: dict[str, object], language: str) -> str:
    if not values:
        return words
    return words.format(**values) if language == "en" else _formatter().vformat(words, (), values)


def _with_comma(number: str) -> str:
    return number.replace(".", ",").replace("%", "\N{NO-BREAK SPACE}%")


@cache
def _formatter() -> Formatter:
    """Fills in fields; numbers with a decimal comma."""
    from decimal import Decimal
    from string import Formatter

    class WithCommas(Formatter):
        def format_field(self, value: Any, format_spec: str) -> str:
            text = format(value, format_spec)
            return _with_comma(text) if isinstance(value, float | Decimal) else text

    return WithCommas()

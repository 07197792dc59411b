"""Why a file or a port could not be used: what the system and the TOML parser commonly say."""

from __future__ import annotations

import re

from coursecheck.language import say, to_say

__all__ = ["cause_words", "syntax_hint", "syntax_words"]

_OF_THE_SYSTEM = frozenset(
    (
        to_say("Address already in use"),
        to_say("File exists"),
        to_say("File name too long"),
        to_say("Input/output error"),
        to_say("Is a directory"),
        to_say("No such file or directory"),
        to_say("No space left on device"),
        to_say("Not a directory"),
        to_say("Operation not permitted"),
        to_say("Permission denied"),
        to_say("Read-only file system"),
        to_say("Too many levels of symbolic links"),
        to_say("Too many open files"),
    )
)

_OF_TOML = (
    to_say("invalid statement"),
    to_say("invalid value"),
    to_say("invalid date or datetime"),
    to_say("invalid hex value"),
    to_say("invalid initial character for a key part"),
    to_say("expected '=' after a key in a key/value pair"),
    to_say("expected ']' at the end of a table declaration"),
    to_say("expected ']]' at the end of an array declaration"),
    to_say("expected newline or end of document after a statement"),
    to_say("expected {mark}"),
    to_say("unterminated string"),
    to_say("unclosed array"),
    to_say("unclosed inline table"),
    to_say("unescaped '\\' in a string"),
    to_say("found invalid character {mark}"),
    to_say("illegal character {mark}"),
    to_say("escaped character is not a Unicode scalar value"),
    to_say("cannot overwrite a value"),
    to_say("cannot declare {key} twice"),
    to_say("cannot mutate immutable namespace {key}"),
    to_say("cannot redefine namespace {key}"),
    to_say("duplicate inline table key {key}"),
)

_ONCE = to_say("a key or table may stand only once; keep one of the two")
_HINTS_OF_TOML = {
    "cannot overwrite a value": _ONCE,
    "cannot declare": _ONCE,
    "duplicate inline table key": _ONCE,
    "invalid value": to_say('write text in "double quotes", numbers with a point, lists like [1.5, 2.0]'),
    "unclosed array": to_say("write a list like [1.5, 2.0], with commas between"),
    "expected newline or end of document": to_say("write each key on a line of its own, and numbers with a point"),
    "illegal character '\\n'": to_say("close the text with a quotation mark"),
}


def cause_words(cause: Exception) -> str:
    """What the system says against a file or a port; in its own words where they are none of the common ones."""
    words = getattr(cause, "strerror", None) or str(cause)
    return say(words) if words in _OF_THE_SYSTEM else words


def syntax_words(wrong: str) -> str:
    """What the TOML parser says against a file; in its own words where they are none of those known here."""
    wrong = wrong[:1].lower() + wrong[1:]
    for sentence in _OF_TOML:
        text, _, field = sentence.partition("{")
        if wrong == text:
            return say(text)
        rest = re.fullmatch(re.escape(text) + "(.+?)" + re.escape(field.partition("}")[2]), wrong)
        if field and rest:
            return say(sentence, **{field.partition("}")[0]: _dotted(rest[1])})
    return wrong


def syntax_hint(wrong: str) -> str:
    """What would be right, where the TOML parser says something common against a file; else nothing."""
    wrong = wrong[:1].lower() + wrong[1:]
    return next((say(hint) for start, hint in _HINTS_OF_TOML.items() if wrong.startswith(start)), "")


def _dotted(key: str) -> str:
    """A key as a file has it, where the parser shows its parts as a tuple."""
    parts = re.fullmatch(r"\((.+?),?\)", key)
    return ".".join(part.strip().strip("'") for part in parts[1].split(",")) if parts else key

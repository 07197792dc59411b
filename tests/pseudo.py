"""A made-up language in which every letter of a sentence is "ж": what is still readable was not looked up."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterable, Iterator, Mapping
from string import Formatter
from typing import Any

from coursecheck import language

LETTER = re.compile(r"[^\W\d_]")
TAG = re.compile(r"(<[^>]*>)")
WORD = re.compile(r"[A-Za-z]{2,}[A-Za-z-]*")


class Pseudo:
    """Says everything in the made-up language; fields and markup stay."""

    def gettext(self, message):
        return "".join(_masked(*part) for part in Formatter().parse(message))

    def ngettext(self, one, many, count):
        return self.gettext(one if count == 1 else many)

    def pgettext(self, _context, message):
        return self.gettext(message)


def _masked(literal, name, spec, conversion):
    words = "".join(part if TAG.fullmatch(part) else LETTER.sub("ж", part) for part in TAG.split(literal))
    if name is None:
        return words
    return words + ("{" + name + (f"!{conversion}" if conversion else "") + (f":{spec}" if spec else "") + "}")


def readable(text: str, known: Iterable[str]) -> set[str]:
    """The words of a text that can be read, apart from those of the `known` texts and hexadecimal numbers."""
    aside = {word.lower() for one in known for word in WORD.findall(one)} | {"coursecheck"}
    return {
        word for word in WORD.findall(text) if word.lower() not in aside and not re.fullmatch(r"[a-f0-9-]+", word)
    }


def words_of_schema(schema: Any) -> Iterator[str]:
    """The keys and the values that a file of a JSON Schema may have: what is said of them aside."""
    if isinstance(schema, Mapping):
        yield from (str(key) for key in schema)
        for key, part in schema.items():
            if key not in ("title", "description"):
                yield from words_of_schema(part)
    elif isinstance(schema, list):
        yield from (word for part in schema for word in words_of_schema(part))
    elif isinstance(schema, str):
        yield schema


@contextlib.contextmanager
def speaking_pseudo(monkeypatch):
    """The made-up language, spoken in the block."""
    monkeypatch.setattr(language, "LANGUAGES", {**language.LANGUAGES, "xx": "жж"})
    monkeypatch.setattr(language, "_catalogue", lambda _language: Pseudo())
    with language.speaking("xx"):
        yield

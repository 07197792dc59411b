"""A made-up language in which every letter of a sentence is "ж": what is still readable was not looked up."""

import contextlib
import re
from string import Formatter

from coursecheck import language

LETTER = re.compile(r"[^\W\d_]")
TAG = re.compile(r"(<[^>]*>)")


class Pseudo:
    """Says everything in the made-up language; fields and markup stay."""

    def gettext(self, message):
        return "".join(_masked(*part) for part in Formatter().parse(message))

    def ngettext(self, one, many, count):
        return self.gettext(one if count == 1 else many)

    def pgettext(self, _context, message):
        return self.gettext(message)


def _masked(literal, name, spec, _conversion):
    words = "".join(part if TAG.fullmatch(part) else LETTER.sub("ж", part) for part in TAG.split(literal))
    if name is None:
        return words
    return words + ("{" + name + (f":{spec}" if spec else "") + "}")


@contextlib.contextmanager
def speaking_pseudo(monkeypatch):
    """The made-up language, spoken in the block."""
    monkeypatch.setattr(language, "LANGUAGES", {**language.LANGUAGES, "xx": "жж"})
    monkeypatch.setattr(language, "_catalogue", lambda _language: Pseudo())
    with language.speaking("xx"):
        yield

"""The page in the reader's language: its words, and who is answered in which language."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from coursecheck.language import LANGUAGES, LOCALE, say, speaking, spoken
from coursecheck.resources import PACKAGE

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Receive, Scope, Send

__all__ = ["PAGE", "InItsLanguage", "page", "words_in", "words_of_page"]

PAGE = PACKAGE / "board" / "static" / "index.html"

# What a reader of HTML is told: text that has letters, and names for screen readers.
_WORDS = re.compile(r'(?<=>)[^<>]*[^\W\d_][^<>]*(?=<)|(?<=aria-label=")[^"]+')


def page() -> str:
    """The page, its words in the language that is spoken.

    It names all modules, so that the browser fetches them at once, not each when it has read another one.
    """
    modules = "".join(f'<link rel="modulepreload" href="{path.name}">\n' for path in sorted(PAGE.parent.glob("*.js")))
    text = PAGE.read_text(encoding="utf-8").replace("<script", f"{modules}<script", 1)
    if spoken() == "en":
        return text
    return _WORDS.sub(_said, text.replace('<html lang="en">', f'<html lang="{spoken()}">'))


def _said(found: re.Match[str]) -> str:
    words = found[0].strip()
    return found[0].replace(words, html.escape(say(html.unescape(words))))


def words_in(text: str) -> Iterator[str]:
    """Everything in a page that a reader is told."""
    yield from (html.unescape(found.strip()) for found in _WORDS.findall(text))


def words_of_page() -> bytes:
    """What the scripts of the page say in the language that is spoken, by their English words, as JSON."""
    return b"{}" if spoken() == "en" else Path(LOCALE, spoken(), "page.json").read_bytes()


class InItsLanguage:
    """Has requests answered in the language whose code their path begins with, else in the one that is spoken."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hands a request on without the code."""
        code, slash, rest = scope.get("path", "").removeprefix("/").partition("/")
        if not slash or code not in LANGUAGES:
            await self._app(scope, receive, send)
            return
        with speaking(code):
            await self._app({**scope, "path": f"/{rest}"}, receive, send)

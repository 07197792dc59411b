"""From a page to a PDF: the same bytes for the same page and the same fonts."""

from __future__ import annotations

import base64
import contextlib
import gc
import os
import re
from collections.abc import Iterator
from typing import Any

from coursecheck.errors import MissingPackageError
from coursecheck.language import say

__all__ = ["pdf_of"]

LETTERS_ON_WHITE = re.compile(r'(<text [^>]*class="(?:number|name)\b[^>]*?)(>[^<]*</text>)')
"""Words that a drawing sets on a white rim, drawn under the letters: WeasyPrint does not know that order."""

DRAWING = re.compile(r'<svg\b[^>]*?\bclass="([^"]*)".*?</svg>', re.DOTALL)
"""A drawing in a page, and its classes."""


def pdf_of(html: str) -> bytes:
    """A page as a PDF.

    Args:
        html: a whole document that needs nothing but itself; nothing else is fetched.

    Raises:
        MissingPackageError: WeasyPrint, or the Pango library that it draws with, is not installed.
    """
    weasyprint = _weasyprint()
    page = DRAWING.sub(_as_picture, LETTERS_ON_WHITE.sub(r'\1 style="fill: none"\2\1 style="stroke: none"\2', html))
    fetcher = weasyprint.urls.URLFetcher(allowed_protocols=("data",))
    with _fixed_date(), _no_collecting():
        made: bytes = weasyprint.HTML(string=page, url_fetcher=fetcher).write_pdf()
    return made


def _as_picture(drawing: re.Match[str]) -> str:
    """A drawing as a file of its own in the page, so that nobody tries the page's style on each of its lines."""
    data = base64.b64encode(drawing[0].encode()).decode()
    return f'<img class="{drawing[1]}" alt="" src="data:image/svg+xml;base64,{data}">'


def _weasyprint() -> Any:
    """The package, imported where a PDF is asked for."""
    try:
        import weasyprint
    except ModuleNotFoundError as cause:
        raise MissingPackageError(
            say("a PDF needs WeasyPrint: pip install 'coursecheck[pdf]'; or print the HTML file from a browser")
        ) from cause
    except OSError as cause:
        raise MissingPackageError(
            say(
                "a PDF needs the Pango library: install it with the system's packages (apt install libpango-1.0-0 "
                "libpangoft2-1.0-0, brew install pango); or print the HTML file from a browser"
            )
        ) from cause
    return weasyprint


@contextlib.contextmanager
def _no_collecting() -> Iterator[None]:
    """Everything in a document is in use until it is written: looking for garbage meanwhile takes an eighth more."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


@contextlib.contextmanager
def _fixed_date() -> Iterator[None]:
    """Fonts in a PDF carry a date: the one of SOURCE_DATE_EPOCH, where it is not given the first of all."""
    given = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = given or "0"
    try:
        yield
    finally:
        if given is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = given

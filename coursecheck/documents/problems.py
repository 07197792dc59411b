"""Collecting the mistakes of a file, so that all of them are told in one go."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from coursecheck.documents.lines import nearest_line
from coursecheck.documents.toml import Document
from coursecheck.errors import DocumentError, Problem
from coursecheck.language import say

__all__ = ["Problems", "likely", "nearest"]


class Problems:
    """The mistakes of one file.

    Attributes:
        document: the file.
        found: the mistakes so far.
    """

    def __init__(self, document: Document) -> None:
        self.document = document
        self.found: list[Problem] = []

    def __bool__(self) -> bool:
        return bool(self.found)

    def add(self, path: str, wrong: str, right: str = "") -> None:
        """Notes a mistake at a key path.

        Args:
            path: the key path; a key that is missing stands on the line of the table that it is missing from.
            wrong: what is wrong.
            right: what would be right.
        """
        line = nearest_line(self.document.lines, path)
        self.found.append(Problem(self.document.name, line, path, wrong, right))

    def raise_any(self, error: type[DocumentError]) -> None:
        """Raises all mistakes as one error, if there are any."""
        if self.found:
            raise error(self.found)


def nearest(word: str, known: Collection[str], synonyms: Mapping[str, str] | None = None) -> str:
    """What would be right instead of a word that is not known.

    Args:
        word: the word that was written.
        known: the words that would do.
        synonyms: other words for some of them.

    Returns:
        `write "tyre"` where one comes near or the word is a synonym of it, else all words that would do.
    """
    match = likely(word, known, synonyms)
    if match is not None:
        return say('write "{word}"', word=match)
    return say("known here: {words}", words=", ".join(known)) if known else ""


def likely(word: str, known: Collection[str], synonyms: Mapping[str, str] | None = None) -> str | None:
    """The known word that was most likely meant, or None where none comes near."""
    from difflib import get_close_matches

    match = (synonyms or {}).get(word.casefold())
    if match in known:
        return match
    folded = {name.casefold(): name for name in known}
    close = get_close_matches(word.casefold(), folded, n=1)
    return folded[close[0]] if close else None

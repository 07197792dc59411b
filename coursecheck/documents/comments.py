"""Comments in files that the program writes to start from: in the reader's language.

Comments stand in the text of the file as it is in English. Lines of prose that follow each other are one paragraph, a
line that begins with "# ---" is one by itself; an example that only waits for its # to be taken away is no prose.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from itertools import groupby

from coursecheck.language import say, spoken

__all__ = ["WIDTH", "commented", "comments_in", "say_comments"]

WIDTH = 112

_EXAMPLE = re.compile(r"# ?(?:\[|[a-z_]+ = )|#[a-z]|#$")
_HEADING = "# ---"
_BEHIND = re.compile(r"(?<=\S)(?P<gap> {4,}# )(?P<words>.+)")


def commented(text: str) -> str:
    """The text of a file whose comments are said when it is written; given back as it is."""
    return text


def say_comments(text: str, **values: object) -> str:
    """The text of a file, its {fields} filled in and its comments in the language that is spoken."""
    return text.format(**values) if spoken() == "en" else "\n".join(_said(text, values))


def comments_in(text: str) -> Iterator[str]:
    """The comments of a text as they are looked up, a paragraph as one line."""
    for prose, lines in _parts(text):
        if prose:
            yield prose
        else:
            yield from (behind["words"] for line in lines if (behind := _BEHIND.search(line)))


def _said(text: str, values: dict[str, object]) -> Iterator[str]:
    for prose, lines in _parts(text):
        if prose.startswith("---"):
            yield f"# {say(prose)}"
        elif prose:
            yield from textwrap.wrap(say(prose, **values), WIDTH, initial_indent="# ", subsequent_indent="# ")
        else:
            words = [_BEHIND.sub(lambda behind: behind["gap"] + say(behind["words"]), line) for line in lines]
            yield from (line.format(**values) for line in words)


def _parts(text: str) -> Iterator[tuple[str, list[str]]]:
    """The text piece by piece: paragraphs of prose as one line, other lines as they are behind an empty paragraph."""
    for _, group in groupby(enumerate(text.split("\n")), _sort):
        lines = [line for _, line in group]
        yield " ".join(line[2:] for line in lines) if _is_prose(lines[0]) else "", lines


def _sort(numbered: tuple[int, str]) -> object:
    number, line = numbered
    return ("heading", number) if line.startswith(_HEADING) else _is_prose(line)


def _is_prose(line: str) -> bool:
    return line.startswith("#") and not _EXAMPLE.match(line)

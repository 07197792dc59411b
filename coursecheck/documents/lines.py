"""Where each key of a TOML text stands."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from functools import cached_property

__all__ = ["KeyLines", "join_path", "nearest_line"]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_SCALAR = re.compile(r"[^,\]}#\n]*")
_STRINGS = (
    re.compile(r'"""(?:[^"\\]|\\.|"(?!""))*"{3,5}', re.DOTALL),
    re.compile(r"'''(?:[^']|'(?!''))*'{3,5}", re.DOTALL),
    re.compile(r'"(?:[^"\\]|\\.)*"'),
    re.compile(r"'[^']*'"),
)


def join_path(path: str, part: str | int) -> str:
    """The key path of a key, or of a place in a list, below another key path."""
    if isinstance(part, int):
        return f"{path}[{part}]"
    name = part if _BARE.fullmatch(part) else _quoted(part)
    return f"{path}.{name}" if path else name


def _quoted(key: str) -> str:
    from json import dumps

    return dumps(key, ensure_ascii=False)


def nearest_line(lines: Mapping[str, int], path: str) -> int:
    """The line of a key path, or of the nearest path above it that has one; 0 where none has."""
    while path and path not in lines:
        path = path[: max(path.rfind("."), path.rfind("["), 0)]
    return lines.get(path, 0)


class KeyLines(Mapping[str, int]):
    """The 1-based line of every key path of a text that is valid TOML: tables, keys, and the places in lists.

    The text is gone through when the first line is asked for, which of most files nobody does.
    """

    def __init__(self, text: str) -> None:
        self._text = text

    def __getitem__(self, path: str) -> int:
        return self._lines[path]

    def __iter__(self) -> Iterator[str]:
        return iter(self._lines)

    def __len__(self) -> int:
        return len(self._lines)

    @cached_property
    def _lines(self) -> dict[str, int]:
        scanner = _Scanner(self._text)
        scanner.run()
        return scanner.lines


def _unquoted(key: str) -> str:
    from ast import literal_eval

    text: str = literal_eval(key)
    return text


class _Scanner:
    """Walks over valid TOML and notes where each key begins. The syntax was checked before by tomllib."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.place = 0
        self.lines: dict[str, int] = {}
        self.tables: dict[str, int] = {}  # how many tables each list of tables has so far
        self.ends = [match.start() for match in re.finditer("\n", text)]

    def run(self) -> None:
        table = ""
        while self.peek(_BLANK):
            if self.text.startswith("[", self.place):
                table = self.header()
            else:
                self.pair(table)

    def peek(self, skip: re.Pattern[str]) -> str:
        """Skips what the pattern matches; the next character, or nothing at the end."""
        self.take(skip)
        return self.text[self.place : self.place + 1]

    def take(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.place)
        if match is None:
            return ""
        self.place = match.end()
        return match.group()

    def note(self, path: str, place: int) -> None:
        self.lines.setdefault(path, bisect_right(self.ends, place - 1) + 1)

    def header(self) -> str:
        """Takes `[a.b]` or `[[a.b]]`; the path of its table."""
        start = self.place
        brackets = 2 if self.text.startswith("[[", start) else 1
        self.place += brackets
        parts = self.key()
        self.peek(_SPACE)
        self.place += brackets
        path = ""
        for i, part in enumerate(parts):
            path = join_path(path, part)
            self.note(path, start)
            if i == len(parts) - 1 and brackets == 2:
                self.tables[path] = self.tables.get(path, 0) + 1
            if path in self.tables:
                path = join_path(path, self.tables[path] - 1)
                self.note(path, start)
        return path

    def pair(self, table: str) -> None:
        """Takes `key = value`."""
        start, path = self.place, table
        for part in self.key():
            path = join_path(path, part)
            self.note(path, start)
        self.peek(_SPACE)
        self.place += 1  # the equals sign
        self.peek(_SPACE)
        self.value(path)

    def key(self) -> list[str]:
        """Takes a key, dotted or not; its parts."""
        parts = []
        while True:
            quote = self.peek(_SPACE)
            if quote == '"':
                parts.append(_unquoted(self.string()))
            else:
                parts.append(self.string()[1:-1] if quote == "'" else self.take(_BARE))
            if self.peek(_SPACE) != ".":
                return parts
            self.place += 1

    def string(self) -> str:
        return next((taken for pattern in _STRINGS if (taken := self.take(pattern))), "")

    def value(self, path: str) -> None:
        first = self.text[self.place : self.place + 1]
        if first == "[":
            self.items(path)
        elif first == "{":
            self.inline_table(path)
        elif first in ('"', "'"):
            self.string()
        else:
            self.take(_SCALAR)

    def items(self, path: str) -> None:
        self.place += 1
        count = 0
        while (mark := self.peek(_BLANK)) != "]":
            if mark == ",":
                self.place += 1
                continue
            item = join_path(path, count)
            self.note(item, self.place)
            self.value(item)
            count += 1
        self.place += 1

    def inline_table(self, path: str) -> None:
        self.place += 1
        while (mark := self.peek(_BLANK)) != "}":
            if mark == ",":
                self.place += 1
            else:
                self.pair(path)
        self.place += 1

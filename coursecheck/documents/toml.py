"""Reading TOML whole, with the line of each key."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from os import PathLike
from pathlib import Path
from typing import Any, NoReturn

from coursecheck.documents.causes import cause_words, syntax_hint, syntax_words
from coursecheck.documents.lines import KeyLines
from coursecheck.errors import DocumentError, Problem
from coursecheck.language import say

__all__ = ["Document", "parse_toml", "read_toml"]

LIMIT_BYTES = 1 << 20  # beyond that a file is refused unread
DEEPEST = 50  # levels of lists and tables; no file of ours has more than six
BYTE_ORDER_MARK = "\ufeff"  # some editors put it before the first character

_PLACE = re.compile(
    r"^(?P<wrong>.*) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)$", re.DOTALL
)


@dataclass(frozen=True, slots=True)
class Document:
    """A TOML file as it was read.

    Attributes:
        name: the file as the user named it.
        text: all of it, byte order mark and line ends as they were.
        sha256: of its bytes, hexadecimal.
        raw: what TOML makes of it.
        lines: the 1-based line of each key path.
    """

    name: str
    text: str
    sha256: str
    raw: dict[str, Any]
    lines: Mapping[str, int] = field(repr=False)


def read_toml(path: str | PathLike[str], error: type[DocumentError]) -> Document:
    """Reads a TOML file.

    Args:
        path: the file.
        error: the class of error to raise.

    Raises:
        DocumentError: of the class given; the file is missing, no file, unreadable, too big, not UTF-8, not TOML or
            empty.
    """
    try:
        with Path(path).open("rb") as file:
            data = file.read(LIMIT_BYTES + 1)
    except FileNotFoundError:
        _refuse(error, str(path), say("there is no such file"))
    except IsADirectoryError:
        _refuse(error, str(path), say("is a folder, not a file"))
    except (OSError, ValueError) as cause:
        _refuse(error, str(path), say("cannot be read: {cause}", cause=cause_words(cause)))
    return parse_toml(data, str(path), error)


def parse_toml(data: bytes | str, name: str, error: type[DocumentError]) -> Document:
    """Reads TOML from bytes or text, such as standard input; `name` stands for the file in messages.

    Raises:
        DocumentError: like `read_toml`.
    """
    data = data if isinstance(data, bytes) else data.encode("utf-8", "surrogatepass")
    if len(data) > LIMIT_BYTES:
        wrong = say("is larger than {count} bytes", count=LIMIT_BYTES)
        _refuse(error, name, wrong, say("a file written by hand is far smaller"))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as cause:
        line = data.count(b"\n", 0, cause.start) + 1
        wrong = say("byte {place} is not UTF-8", place=cause.start)
        _refuse(error, name, wrong, say("save the file as UTF-8 text"), line)
    toml = text.removeprefix(BYTE_ORDER_MARK)
    try:
        raw = tomllib.loads(toml)
        too_deep = _is_deeper(raw, DEEPEST)
    except RecursionError:
        too_deep = True
    except tomllib.TOMLDecodeError as cause:
        _refuse_syntax(error, name, str(cause), toml.count("\n") + 1)
    except ValueError:
        _refuse(error, name, say("a whole number has more digits than can be read"))
    if too_deep:
        _refuse(error, name, say("lists or tables lie too deep inside each other"))
    if not raw:
        _refuse(error, name, say("the file is empty"))
    return Document(name, text, hashlib.sha256(data).hexdigest(), raw, KeyLines(toml))


def _is_deeper(raw: Any, levels: int) -> bool:
    """Whether lists and tables lie more than that many levels inside each other."""
    level = [raw]
    for _ in range(levels):
        level = [
            item
            for holder in level
            for item in (holder.values() if isinstance(holder, dict) else holder)
            if isinstance(item, dict | list)
        ]
        if not level:
            return False
    return True


def _refuse_syntax(error: type[DocumentError], name: str, message: str, last_line: int) -> NoReturn:
    """Raises the message of tomllib with its place as the line of the problem."""
    match = _PLACE.match(message)
    wrong = (match["wrong"] if match else message).strip()
    line = int(match["line"] or last_line) if match else 0
    cause, right = syntax_words(wrong), syntax_hint(wrong)
    if match and match["column"]:
        told = say("not TOML in column {column}: {cause}", column=match["column"], cause=cause)
        _refuse(error, name, told, right, line)
    _refuse(error, name, say("not TOML: {cause}", cause=cause), right, line)


def _refuse(error: type[DocumentError], name: str, wrong: str, right: str = "", line: int = 0) -> NoReturn:
    raise error([Problem(name, line, "", wrong, right)]) from None

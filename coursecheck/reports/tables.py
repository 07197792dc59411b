"""Plain text for the terminal: wrapped lines and tables.

The standard library does it: importing a richer one would take a twentieth of a cold start.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import zip_longest
from textwrap import TextWrapper
from unicodedata import combining, east_asian_width

import click

__all__ = ["plain_table", "wrapped"]

GAP = "   "  # between two columns
NARROWEST = 4  # letters that a column keeps, however narrow the terminal is


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """The lines of a text, broken between words and only a word that fits no line inside.

    Args:
        text: one paragraph or several.
        width: the most characters of a line.
        first: what stands before the first line.
        rest: what stands before the other lines.
    """
    wrap = TextWrapper(width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False).wrap
    return [line for paragraph in text.split("\n") for line in wrap(paragraph) or [""]]


def plain_table(
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    colour: bool,
    width: int = 160,
    right: Collection[int] = (),
) -> str:
    """A table with a rule under its heads, as text.

    Args:
        heads: what stands above each column.
        rows: the cells; as many in each row as there are heads.
        colour: whether escape sequences may be used.
        width: the most characters of a line; the widest columns are folded until it is kept.
        right: the columns whose cells end at the right, counted from 0.

    Returns:
        Lines that end with a line feed.
    """
    room = _column_widths([heads, *rows], width)
    first, *others = [_row_lines(row, room, right) for row in (heads, *rows)]
    rule = "─" * (sum(room) + len(GAP) * (len(room) - 1))
    lines = [*(click.style(line, bold=True) if colour else line for line in first), rule]
    return "".join(f"{line}\n" for line in (*lines, *(line for row in others for line in row)))


def _column_widths(rows: Sequence[Sequence[str]], width: int) -> list[int]:
    room = [max(_cells(cell) for cell in column) for column in zip(*rows, strict=True)]
    while sum(room) + len(GAP) * (len(room) - 1) > width and max(room) > NARROWEST:
        room[room.index(max(room))] -= 1
    return room


def _row_lines(row: Sequence[str], room: Sequence[int], right: Collection[int]) -> list[str]:
    folded = [wrapped(cell, most) if _cells(cell) > most else [cell] for cell, most in zip(row, room, strict=True)]
    return [
        GAP.join(
            _padded(part, most, i in right) for i, (part, most) in enumerate(zip(parts, room, strict=True))
        ).rstrip()
        for parts in zip_longest(*folded, fillvalue="")
    ]


def _padded(text: str, width: int, to_right: bool) -> str:
    space = " " * (width - _cells(text))
    return space + text if to_right else text + space


def _cells(text: str) -> int:
    """The columns of a terminal that a text takes: wide letters two, marks that combine with the last letter none."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(letter) else 2 if east_asian_width(letter) in "WF" else 1 for letter in text)

"""Options and arguments that several commands share, and where output goes."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

import click

from coursecheck.cli import spoken
from coursecheck.errors import UsageError, WriteError
from coursecheck.language import say

if TYPE_CHECKING:
    from coursecheck.rulebook.model import Rulebook

__all__ = [
    "best_option",
    "heights_option",
    "is_terminal",
    "make_folder",
    "no_discipline",
    "number",
    "refuse_to_replace",
    "setting_out_option",
    "speed_option",
    "wants_colour",
    "write",
    "write_pieces",
]


def positive(text: str) -> float:
    """A finite number above 0; a usage error for anything else."""
    value = from_zero(text)
    if value == 0.0:
        raise click.BadParameter(say("{what} makes no sense: give a number above 0", what=text))
    return value


def from_zero(text: str) -> float:
    """A finite number from 0 on; a usage error for anything else."""
    value = number(text)
    if not 0.0 <= value < float("inf"):
        raise click.BadParameter(say("{what} makes no sense: give a number from 0 on", what=text))
    return value


def number(text: str) -> float:
    """A number; a usage error for anything else."""
    try:
        return float(text)
    except ValueError as error:
        raise click.BadParameter(say("{text!r} is not a number", text=text)) from error


heights_option = spoken.option(
    "--height", "heights", multiple=True, metavar="CLASS", help="Only this height class; may be given several times."
)
speed_option = spoken.option(
    "--speed", "speed_mps", type=positive, metavar="M/S", help="The judge's speed instead of the plan's."
)
best_option = spoken.option(
    "--best",
    "best_s",
    type=positive,
    metavar="S",
    help="The best run, the fastest with the fewest course faults, where the SCT is derived from it.",
)
setting_out_option = spoken.option(
    "--setting-out",
    "setting_out_m",
    type=from_zero,
    metavar="M",
    help="Standard deviation of each set-out coordinate instead of the rulebook's (0.05 m as a rule).",
)


def no_discipline(book: Rulebook, word: str) -> UsageError:
    """The error that a rulebook has no such discipline."""
    known = ", ".join(book.disciplines)
    return UsageError(
        say("{rulebook} has no discipline {word!r}; it has {known}", rulebook=book.id, word=word, known=known)
    )


def refuse_to_replace(file: Path, *, force: bool) -> None:
    """Raises UsageError where a file exists that is not to be replaced by force."""
    if file.exists() and not force:
        raise UsageError(say("{file} exists; choose another name, or replace it with --force", file=file))


def make_folder(path: Path) -> None:
    """Makes a folder and those around it, where they are missing; raises WriteError where that cannot be done."""
    from coursecheck.documents.causes import cause_words

    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as cause:
        wrong = say("{folder}: cannot be made: {cause}", folder=path, cause=cause_words(cause))
        raise WriteError(wrong) from cause


def is_terminal(stream: TextIO | None) -> bool:
    """Whether a person reads the stream: it leads to a terminal, and is not closed."""
    return stream is not None and stream.isatty()


def wants_colour() -> bool:
    """Whether standard output is a terminal that may be coloured; NO_COLOR is honoured."""
    return is_terminal(sys.stdout) and not os.environ.get("NO_COLOR")


def write(text: str, output: Path | None) -> None:
    """Writes to a file, whole or not at all, or to standard output."""
    if output is None:
        click.echo(text, nl=not text.endswith("\n"))
        return
    from coursecheck.documents import write_atomic

    write_atomic(output, text.encode())


def write_pieces(pieces: Iterable[str], output: Path | None) -> None:
    """Writes pieces as they are made, so that they need not all be kept; else like `write`."""
    if output is None:
        for piece in pieces:
            click.echo(piece, nl=False)
        return
    from coursecheck.documents import write_atomic

    write_atomic(output, (piece.encode() for piece in pieces))

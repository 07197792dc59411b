"""Options and arguments that several commands share, and where output goes."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from pathlib import Path

import click

from coursecheck.language import LANGUAGES, speaking

__all__ = [
    "FIRST_GRAVE",
    "best_option",
    "heights_option",
    "language_option",
    "setting_out_option",
    "speed_option",
    "wants_colour",
    "write",
    "write_pieces",
]

FIRST_GRAVE = ("must", "should", "note", "never")


def positive(text: str) -> float:
    """A finite number above 0; a usage error for anything else."""
    number = from_zero(text)
    if number == 0.0:
        raise click.BadParameter(f"{text} makes no sense here: give a number above 0")
    return number


def from_zero(text: str) -> float:
    """A finite number from 0 on; a usage error for anything else."""
    try:
        number = float(text)
    except ValueError as error:
        raise click.BadParameter(f"{text!r} is not a number") from error
    if not 0.0 <= number < float("inf"):
        raise click.BadParameter(f"{text} makes no sense here: give a number from 0 on")
    return number


def _speak(context: click.Context, _parameter: click.Parameter, language: str | None) -> None:
    """Speaks the language until the command is done; without one what is spoken already."""
    if language is not None:
        context.with_resource(speaking(language))


language_option = click.option(
    "--language",
    type=click.Choice(tuple(LANGUAGES)),
    envvar="COURSECHECK_LANGUAGE",
    expose_value=False,
    is_eager=True,
    callback=_speak,
    help="Of what is written for people: en (by default), de or fr; COURSECHECK_LANGUAGE sets another default.",
)
heights_option = click.option(
    "--height", "heights", multiple=True, metavar="CLASS", help="Only this height class; may be given several times."
)
speed_option = click.option(
    "--speed", "speed_mps", type=positive, metavar="M/S", help="The judge's speed instead of the plan's."
)
best_option = click.option(
    "--best", "best_s", type=positive, metavar="S", help="The best run, where the SCT is derived from it."
)
setting_out_option = click.option(
    "--setting-out",
    "setting_out_m",
    type=from_zero,
    metavar="M",
    help="Standard deviation of each set-out coordinate instead of the rulebook's (0.05 m as a rule).",
)


def wants_colour() -> bool:
    """Whether standard output is a terminal that may be coloured; NO_COLOR is honoured."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


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

"""Options and arguments that several commands share, and where output goes."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

import click

__all__ = [
    "FIRST_GRAVE",
    "best_option",
    "heights_option",
    "setting_out_option",
    "speed_option",
    "wants_colour",
    "write",
]

FIRST_GRAVE = ("must", "should", "note", "never")


class Positive(click.ParamType):
    """A finite number above zero (or from zero on)."""

    name = "number"

    def __init__(self, *, zero: bool = False) -> None:
        self.zero = zero

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number; a usage error for anything else."""
        try:
            number = float(value)
        except ValueError:
            self.fail(f"{value!r} is not a number", param, ctx)
        low_enough = number >= 0.0 if self.zero else number > 0.0
        if not low_enough or number == float("inf"):
            self.fail(
                f"{value} makes no sense here: give a number {'from 0 on' if self.zero else 'above 0'}", param, ctx
            )
        return number


heights_option = click.option(
    "--height", "heights", multiple=True, metavar="CLASS", help="Only this height class; may be given several times."
)
speed_option = click.option(
    "--speed", "speed_mps", type=Positive(), metavar="M/S", help="The judge's speed instead of the plan's."
)
best_option = click.option(
    "--best", "best_s", type=Positive(), metavar="S", help="The best run, where the SCT is derived from it."
)
setting_out_option = click.option(
    "--setting-out",
    "setting_out_m",
    type=Positive(zero=True),
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

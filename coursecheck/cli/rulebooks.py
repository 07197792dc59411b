"""The command `rulebooks`."""

from __future__ import annotations

import click

from coursecheck.checking import load_rulebook, shipped_rulebooks
from coursecheck.cli.options import wants_colour, write

__all__ = ["command"]


@click.command("rulebooks")
def command() -> None:
    """List the rulebooks that ship: edition, validity, and how much of the rules they hold."""
    from coursecheck.reports.explain import render_rulebooks

    books = [load_rulebook(name) for name in shipped_rulebooks()]
    write(render_rulebooks(books, colour=wants_colour()), None)

"""The command `explain`."""

from __future__ import annotations

import click

from coursecheck.checking import load_rulebook, shipped_rulebooks
from coursecheck.cli.options import wants_colour, write
from coursecheck.errors import UsageError

__all__ = ["command"]


@click.command("explain")
@click.argument("limit")
@click.option(
    "--rulebook", default=None, help="A shipped rulebook or a path; by default the first that has the limit."
)
def command(limit: str, rulebook: str | None) -> None:
    """Tell what a limit is for, how it is measured, its value by grade and height, clause and source."""
    from difflib import get_close_matches

    from coursecheck.reports.explain import render_limit

    names = [rulebook] if rulebook else sorted(shipped_rulebooks(), key=lambda name: (name != "club-show", name))
    known: set[str] = set()
    for name in names:
        book = load_rulebook(name)
        if any(row.id == limit for row in book.limits):
            write(render_limit(book, limit, colour=wants_colour()), None)
            return
        known |= {row.id for row in book.limits}
    near = get_close_matches(limit, sorted(known), n=3)
    where = f" in {rulebook}" if rulebook else ""
    hint = f"did you mean {', '.join(near)}?" if near else f"known: {', '.join(sorted(known))}"
    raise UsageError(f"there is no limit {limit!r}{where}; {hint}")

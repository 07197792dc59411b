"""The command `docs`."""

from __future__ import annotations

from pathlib import Path

import click

from coursecheck.cli import spoken
from coursecheck.cli.options import make_folder
from coursecheck.language import say
from coursecheck.plans import load_rulebook, shipped_rulebooks

__all__ = ["command"]


@spoken.command("docs")
@spoken.argument("rulebooks", nargs=-1, metavar="[RULEBOOK]...")
@spoken.option(
    "-o",
    "--output",
    type=Path,
    metavar="FOLDER",
    required=True,
    help="The folder for the pages.",
)
def command(rulebooks: tuple[str, ...], output: Path) -> None:
    """Write the rulebooks as linked HTML pages: one for each limit, with pictures of it kept and broken.

    Each RULEBOOK is a name or a path; by default all that ship. The pages need no network and no script.
    """
    from coursecheck.documents import write_atomic
    from coursecheck.reports.rule_pages import Studio, render_index, render_rulebook

    books = [load_rulebook(name) for name in rulebooks or shipped_rulebooks()]
    studio, count = Studio(), 1
    make_folder(output)
    for book in books:
        folder = output / book.id
        make_folder(folder)
        for name, page in render_rulebook(book, studio):
            write_atomic(folder / name, page.encode())
            count += 1
    write_atomic(output / "index.html", render_index(books).encode())
    click.echo(say("{file}: {count} pages; open it in a browser", file=output / "index.html", count=count))

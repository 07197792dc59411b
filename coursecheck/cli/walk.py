"""The command `walk`."""

from __future__ import annotations

import shutil
from pathlib import Path

import click

from coursecheck.cli import spoken
from coursecheck.cli.options import heights_option, write
from coursecheck.cli.selecting import source_of
from coursecheck.judging import read_plan
from coursecheck.language import say

__all__ = ["command"]


def setting(text: str) -> tuple[str, float]:
    """NAME=VALUE; a usage error for anything else."""
    name, _, value = text.partition("=")
    try:
        return name.strip(), float(value)
    except ValueError as error:
        raise click.BadParameter(say("{text!r} is not NAME=VALUE with a number", text=text)) from error


@spoken.command("walk")
@spoken.argument("file", metavar="FILE")
@heights_option
@spoken.option(
    "--format",
    "form",
    type=click.Choice(("text", "json", "html")),
    default="text",
    show_default=True,
    help="text to read, json for programs, html to read beside the plan or to print.",
)
@spoken.option("-o", "--output", type=Path, metavar="FILE", help="Write here instead.")
@spoken.option(
    "--handler",
    "handlers",
    type=click.Choice(("slow", "middling", "fast")),
    multiple=True,
    help="Only this model handler; may be given several times.",
)
@spoken.option("--set", "settings", type=setting, multiple=True, metavar="NAME=VALUE", help="Another model figure.")
@spoken.option("--figures", "own", metavar="FILE", help="A file of model figures of your own.")
def command(
    file: str,
    heights: tuple[str, ...],
    form: str,
    output: Path | None,
    settings: tuple[tuple[str, float], ...],
    own: str | None,
    handlers: tuple[str, ...],
) -> None:
    """Walk a plan pass by pass: what it will be like to run. Advice, never a verdict."""
    from coursecheck.walk.figures import load_figures
    from coursecheck.walk.handler import HANDLERS
    from coursecheck.walk.walking import walk

    figures = load_figures(own)
    if settings:
        figures = figures.changed(dict(settings), say("changed by --set"))
    course, rulebook = read_plan(source_of(file))
    chosen = [name for name in HANDLERS if name in handlers] or HANDLERS
    walked = walk(course, rulebook, heights, figures, chosen)
    if form == "json":
        from coursecheck.reports.walk_json import render_walk_json

        write(render_walk_json(walked), output)
        return
    if form == "html":
        from coursecheck.papers.walk_page import render_walk_page

        write(render_walk_page(walked), output)
        return
    from coursecheck.reports.walk_text import render_walk_text

    width = 100 if output is not None else min(120, shutil.get_terminal_size((100, 24)).columns)
    write(render_walk_text(walked, width), output)

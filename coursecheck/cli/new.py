"""The command `new`."""

from __future__ import annotations

from pathlib import Path

import click

from coursecheck.checking import load_rulebook
from coursecheck.errors import UsageError

__all__ = ["command"]


def ring_size(text: str) -> tuple[float, float]:
    """Width and height in metres of a size such as 30x40; a usage error for anything else."""
    try:
        width, height = (float(part) for part in text.lower().replace("×", "x").split("x"))
    except ValueError as error:
        raise click.BadParameter(f"{text!r} is no ring size; write it like 30x40") from error
    if not (12.0 <= width <= 200.0 and 12.0 <= height <= 200.0):
        raise click.BadParameter(f"a ring of {text} m is beyond what makes sense (12 to 200 m a side)")
    return width, height


@click.command("new")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--size", type=ring_size, default="30x40", show_default=True, metavar="WxH", help="Ring size in metres."
)
@click.option("--rulebook", default="club-show", show_default=True, help="A shipped rulebook or a path.")
@click.option("--discipline", default=None, help="As the rulebook lists it; by default its first.")
@click.option("--grade", default=None, help="As the rulebook lists it; by default the discipline's first.")
@click.option("--title", default="New course", show_default=True, help="As printed on the papers.")
@click.option("--force", is_flag=True, help="Replace a file that exists.")
def command(
    file: Path,
    size: tuple[float, float],
    rulebook: str,
    discipline: str | None,
    grade: str | None,
    title: str,
    force: bool,
) -> None:
    """Write a commented starter course to draw on from."""
    from coursecheck.course.starter import starter_text
    from coursecheck.documents import write_atomic

    book = load_rulebook(rulebook, file.parent)
    discipline = discipline or next(iter(book.disciplines))
    if discipline not in book.disciplines:
        raise UsageError(f"{book.id} has no discipline {discipline!r}; it has {', '.join(book.disciplines)}")
    grades = book.disciplines[discipline]
    grade = grade or grades[0]
    if grade not in grades:
        raise UsageError(f"{book.id} has no grade {grade!r} in {discipline}; it has {', '.join(grades)}")
    if file.exists() and not force:
        raise UsageError(f"{file} exists; choose another name, or replace it with --force")
    text = starter_text(
        title=title,
        rulebook=rulebook,
        discipline=discipline,
        grade=grade,
        width_m=size[0],
        height_m=size[1],
        heights=tuple(book.heights),
    )
    write_atomic(file, text.encode())
    click.echo(f"{file}: written; judge it with: coursecheck check {file}")

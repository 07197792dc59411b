"""The command `new`."""

from __future__ import annotations

from pathlib import Path

import click

from coursecheck.cli import spoken
from coursecheck.cli.options import no_discipline, refuse_to_replace
from coursecheck.errors import UsageError
from coursecheck.language import say
from coursecheck.plans import load_rulebook, plan_from_text

__all__ = ["command"]


def ring_size(text: str) -> tuple[float, float]:
    """Width and height in metres of a size such as 30x40; a usage error for anything else."""
    try:
        width, height = (float(part) for part in text.lower().replace("×", "x").split("x"))
    except ValueError as error:
        raise click.BadParameter(say("{text!r} is no ring size; write it like 30x40", text=text)) from error
    if not (12.0 <= width <= 200.0 and 12.0 <= height <= 200.0):
        wrong = say("a ring of {size} m is beyond what makes sense (12 to 200 m a side)", size=text)
        raise click.BadParameter(wrong)
    return width, height


@spoken.command("new")
@spoken.argument("file", type=Path, metavar="FILE")
@spoken.option(
    "--size", type=ring_size, default="30x40", show_default=True, metavar="WxH", help="Ring size in metres."
)
@spoken.option(
    "--rulebook", default="club-show", show_default=True, metavar="RULEBOOK", help="A shipped rulebook or a path."
)
@spoken.option("--discipline", metavar="DISCIPLINE", help="As the rulebook lists it; by default its first.")
@spoken.option("--grade", metavar="GRADE", help="As the rulebook lists it; by default the discipline's first.")
@spoken.option("--title", metavar="TEXT", help="As printed on the papers; by default a new course.")
@spoken.option("--force", is_flag=True, help="Replace a file that exists.")
def command(
    file: Path,
    size: tuple[float, float],
    rulebook: str,
    discipline: str | None,
    grade: str | None,
    title: str | None,
    force: bool,
) -> None:
    """Write a commented starter course to draw on from."""
    from coursecheck.course.starter import starter_text
    from coursecheck.documents import write_atomic

    book = load_rulebook(rulebook, file.parent)
    discipline = discipline or next(iter(book.disciplines))
    if discipline not in book.disciplines:
        raise no_discipline(book, discipline)
    grades = book.disciplines[discipline]
    grade = grade or grades[0]
    if grade not in grades:
        known = ", ".join(grades)
        wrong = say(
            "{rulebook} has no grade {word!r} in {discipline}; it has {known}",
            rulebook=book.id,
            word=grade,
            discipline=discipline,
            known=known,
        )
        raise UsageError(wrong)
    refuse_to_replace(file, force=force)
    text = starter_text(
        title=title or say("New course"),
        rulebook=rulebook,
        discipline=discipline,
        grade=grade,
        width_m=size[0],
        height_m=size[1],
        heights=tuple(book.heights),
    )
    plan_from_text(text, str(file), file.parent)  # a title may hold what no title can
    write_atomic(file, text.encode())
    click.echo(say("{file}: written; judge it with: {command}", file=file, command=f"coursecheck check {file}"))

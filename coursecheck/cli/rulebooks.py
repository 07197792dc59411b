"""The command `rulebooks` and what can be done with one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from coursecheck.checking import check, no_height_class
from coursecheck.cli import spoken
from coursecheck.cli.options import no_discipline, refuse_to_replace, wants_colour, write
from coursecheck.errors import CoursecheckError, RulebookError, UsageError
from coursecheck.language import say
from coursecheck.plans import load_plan, load_rulebook, shipped_rulebooks

if TYPE_CHECKING:
    from coursecheck.rulebook.model import Rulebook
    from coursecheck.rulebook.tabulation import Audience
    from coursecheck.verdict.comparison import VerdictChange

__all__ = ["command"]

units_option = spoken.option(
    "--units", type=click.Choice(["m", "ft"]), default=None, help="Of lengths; by default the rulebook's own."
)


@spoken.group("rulebooks", invoke_without_command=True)
@click.pass_context
def command(context: click.Context) -> None:
    """List the rulebooks that ship, or read, check, compare and write one.

    Without a command: edition, validity, and how much of the rules each holds.
    """
    if context.invoked_subcommand is None:
        from coursecheck.reports.rulebook_tables import render_rulebooks

        books = [load_rulebook(name) for name in shipped_rulebooks()]
        write(render_rulebooks(books, colour=wants_colour()), None)


@command.command("lint")
@spoken.argument("files", nargs=-1, required=True, metavar="FILE...")
@spoken.option("--strict", is_flag=True, help="Warnings give status 1, too.")
@click.pass_context
def lint_command(context: click.Context, files: tuple[str, ...], strict: bool) -> None:
    """Check rulebooks: everything that the reader refuses, and rows that do not do what they seem to.

    Each FILE is a path or the name of a shipped rulebook. Status 0: no error; 1: a row that never applies or never
    has a value (with --strict: or a warning); 2: a file that cannot be read.
    """
    from coursecheck.equipment import KINDS
    from coursecheck.measures import MEASURES
    from coursecheck.rulebook.lint import lint

    refused, grave = False, False
    for name in files:
        try:
            book = load_rulebook(name)
        except CoursecheckError as error:
            refused = True
            click.echo(str(error), err=True)
            continue
        remarks = lint(book, MEASURES, KINDS)
        grave |= any(strict or remark.gravity == "error" for remark in remarks)
        for remark in remarks:
            click.echo(str(remark))
        if not remarks:
            told = say(
                "{file}: nothing to say against it ({count} rows on limits)",
                file=book.files[-1],
                count=len(book.limits),
            )
            click.echo(told)
    context.exit(2 if refused else int(grave))


@command.command("show")
@spoken.argument("name", metavar="RULEBOOK")
@spoken.option("--discipline", metavar="DISCIPLINE", help="Only this discipline.")
@spoken.option("--grade", metavar="GRADE", help="Only this grade.")
@spoken.option("--height", metavar="CLASS", help="Only this height class.")
@units_option
def show_command(name: str, discipline: str | None, grade: str | None, height: str | None, units: str | None) -> None:
    """Print all limits of a rulebook, each with the bound that decides, and how the times are found."""
    from coursecheck.reports.rulebook_tables import render_limits

    book = load_rulebook(name)
    to = _audience(book, discipline, grade, height)
    write(render_limits(book, to, units=units or book.units, colour=wants_colour()), None)


def _audience(book: Rulebook, discipline: str | None, grade: str | None, height: str | None) -> Audience:
    from coursecheck.rulebook.tabulation import audience

    if discipline is not None and discipline not in book.disciplines:
        raise no_discipline(book, discipline)
    if height is not None and height not in book.heights:
        raise no_height_class(book, height)
    to = audience(book, discipline, grade, height)
    if not to.grades:
        known = ", ".join(dict.fromkeys(grade for _, grade in audience(book, discipline).grades))
        wrong = say(
            "{rulebook} has no grade {word!r} there; it has {known}", rulebook=book.id, word=grade, known=known
        )
        raise UsageError(wrong)
    return to


@command.command("diff")
@spoken.argument("old", metavar="OLD")
@spoken.argument("new", metavar="NEW")
@spoken.argument("courses", nargs=-1, metavar="[COURSE]...")
@units_option
@click.pass_context
def diff_command(context: click.Context, old: str, new: str, courses: tuple[str, ...], units: str | None) -> None:
    """Tell what changed from one rulebook to another, and what that does to some courses.

    OLD and NEW are names of shipped rulebooks or paths. Each COURSE is judged by both, whichever rulebook it names.
    Status 1: the verdict on a course changes; 2: something could not be read.
    """
    from coursecheck.reports.rulebook_tables import render_difference
    from coursecheck.rulebook.diff import diff

    before, after = load_rulebook(old), load_rulebook(new)
    changes = [_verdict_change(course, before, after) for course in courses]
    text = render_difference(
        before, after, diff(before, after), changes, units=units or after.units, colour=wants_colour()
    )
    write(text, None)
    context.exit(2 if any(change.why_not for change in changes) else int(any(change.changed for change in changes)))


def _verdict_change(name: str, old: Rulebook, new: Rulebook) -> VerdictChange:
    """What becomes of a course; why it could not be judged by both, where it could not."""
    from coursecheck.verdict.comparison import VerdictChange, verdict_change

    try:
        course, _ = load_plan(name)
    except CoursecheckError as error:
        return VerdictChange(name, why_not=str(error))
    for book in (old, new):
        if course.grade not in book.disciplines.get(course.discipline, ()):
            why_not = say(
                "{rulebook} has no {discipline} of grade {grade}",
                rulebook=book.id,
                discipline=course.discipline,
                grade=course.grade,
            )
            return VerdictChange(name, why_not=why_not)
    shared = [height for height in course.heights or old.heights if height in old.heights and height in new.heights]
    if not shared:
        why_not = say("{old} and {new} have no height class of it in common", old=old.id, new=new.id)
        return VerdictChange(name, why_not=why_not)
    return verdict_change(name, *(check(course, book, heights=shared) for book in (old, new)))


@command.command("new")
@spoken.argument("file", type=Path, metavar="FILE")
@spoken.option(
    "--extends",
    default="club-show",
    show_default=True,
    metavar="RULEBOOK",
    help="A shipped rulebook or a path: what it goes on top of.",
)
@spoken.option("--title", metavar="TEXT", help="As printed on the papers; by default our club.")
@spoken.option("--force", is_flag=True, help="Replace a file that exists.")
def new_command(file: Path, extends: str, title: str | None, force: bool) -> None:
    """Write a rulebook of your own on top of another one: it loads as it is, with examples to uncomment."""
    import re

    from coursecheck.documents import write_atomic
    from coursecheck.measures import MEASURES
    from coursecheck.rulebook.overlay import overlay_text

    if file.suffix != ".toml":
        raise UsageError(say("{file}: a rulebook is a file that ends in .toml", file=file))
    refuse_to_replace(file, force=force)
    base = load_rulebook(extends, file.parent)
    name = re.sub(r"[^a-z0-9]+", "-", file.stem.lower()).strip("-") or "our-club"
    text = overlay_text(base, MEASURES, extends=extends, name=name, title=title or say("Our club"))
    before = file.read_bytes() if file.exists() else None
    write_atomic(file, text.encode())
    try:
        load_rulebook(str(file.resolve()))  # where it lies, so that it finds its base
    except RulebookError:
        if before is None:
            file.unlink()
        else:
            write_atomic(file, before)
        raise
    check_it = f"coursecheck rulebooks lint {file}"
    click.echo(say("{file}: written; check it with: {command}", file=file, command=check_it))
    row = f'rulebook = "{file.name}"'
    click.echo(say("Then write {row} in the course files beside it.", row=row))

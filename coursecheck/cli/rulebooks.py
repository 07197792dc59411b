"""The command `rulebooks` and what can be done with one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from coursecheck.checking import check, load_plan, load_rulebook, shipped_rulebooks
from coursecheck.cli.options import language_option, wants_colour, write
from coursecheck.errors import CoursecheckError, RulebookError, UsageError

if TYPE_CHECKING:
    from coursecheck.rulebook.model import Rulebook
    from coursecheck.rulebook.tabulation import Audience
    from coursecheck.verdict.comparison import VerdictChange

__all__ = ["command"]

units_option = click.option(
    "--units", type=click.Choice(["m", "ft"]), default=None, help="Of lengths; by default the rulebook's own."
)


@click.group("rulebooks", invoke_without_command=True)
@language_option
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
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option("--strict", is_flag=True, help="Warnings give status 1, too.")
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
            click.echo(f"{book.files[-1]}: nothing to say against it ({len(book.limits)} rows on limits)")
    context.exit(2 if refused else int(grave))


@command.command("show")
@language_option
@click.argument("name")
@click.option("--discipline", default=None, help="Only this discipline.")
@click.option("--grade", default=None, help="Only this grade.")
@click.option("--height", default=None, help="Only this height class.")
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
        raise UsageError(f"{book.id} has no discipline {discipline!r}; it has {', '.join(book.disciplines)}")
    if height is not None and height not in book.heights:
        raise UsageError(f"{book.id} has no height class {height!r}; it has {', '.join(book.heights)}")
    to = audience(book, discipline, grade, height)
    if not to.grades:
        known = dict.fromkeys(grade for _, grade in audience(book, discipline).grades)
        raise UsageError(f"{book.id} has no grade {grade!r} there; it has {', '.join(known)}")
    return to


@command.command("diff")
@language_option
@click.argument("old")
@click.argument("new")
@click.argument("courses", nargs=-1, metavar="[COURSE]...")
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
            why_not = f"{book.id} has no {course.discipline} of grade {course.grade}"
            return VerdictChange(name, why_not=why_not)
    shared = [height for height in course.heights or old.heights if height in old.heights and height in new.heights]
    if not shared:
        return VerdictChange(name, why_not=f"{old.id} and {new.id} have no height class of it in common")
    return verdict_change(name, *(check(course, book, heights=shared) for book in (old, new)))


@command.command("new")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--extends", default="club-show", show_default=True, help="A shipped rulebook or a path: what it goes on top of."
)
@click.option("--title", default="Our club", show_default=True, help="As printed on the papers.")
@click.option("--force", is_flag=True, help="Replace a file that exists.")
def new_command(file: Path, extends: str, title: str, force: bool) -> None:
    """Write a rulebook of your own on top of another one: it loads as it is, with examples to uncomment."""
    import re

    from coursecheck.documents import write_atomic
    from coursecheck.measures import MEASURES
    from coursecheck.rulebook.overlay import overlay_text

    if file.suffix != ".toml":
        raise UsageError(f"{file}: a rulebook is a file that ends in .toml")
    if file.exists() and not force:
        raise UsageError(f"{file} exists; choose another name, or replace it with --force")
    base = load_rulebook(extends, file.parent)
    name = re.sub(r"[^a-z0-9]+", "-", file.stem.lower()).strip("-") or "our-club"
    write_atomic(file, overlay_text(base, MEASURES, extends=extends, name=name, title=title).encode())
    try:
        load_rulebook(str(file.resolve()))
    except RulebookError:
        file.unlink()
        raise
    click.echo(f"{file}: written; check it with: coursecheck rulebooks lint {file}")
    click.echo(f'Then write rulebook = "{file.name}" in the course files beside it.')

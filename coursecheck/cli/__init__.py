"""The command line: a thin shell over the public functions. Each command is imported when it is asked for."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Sequence
from typing import Any, NoReturn

import click

from coursecheck.cli.spoken import Group, Option, speaking_as_asked
from coursecheck.language import say, to_say
from coursecheck.version import __version__

__all__ = ["main"]

COMMANDS = {
    "board": to_say("Draw a course by hand in the browser, judged while it is drawn."),
    "check": to_say("Judge course plans by their rulebook."),
    "demo": to_say("Run the main job on a sample course that ships with the program."),
    "docs": to_say("Write the rulebooks as linked HTML pages, with pictures."),
    "explain": to_say("Tell what a limit is for, how it is measured and what it asks."),
    "new": to_say("Write a commented starter course."),
    "papers": to_say("Write the papers that are printed, handed over or carried into the ring."),
    "report": to_say("Write the judge's report as one HTML file."),
    "rulebooks": to_say("List, show, check, compare and write rulebooks."),
    "schema": to_say("Print a JSON Schema of the files."),
    "times": to_say("Print the course times alone."),
    "waive": to_say("Accept a finding, with a reason."),
    "walk": to_say("Tell pass by pass what a plan will be like to run."),
}


class LazyGroup(Group):
    """A group that knows its commands by name and imports only the one that is run."""

    def main(self, args: Sequence[str] | None = None, *more: Any, **settings: Any) -> Any:
        """Runs the program, in the language that it is asked to speak."""
        with speaking_as_asked(sys.argv[1:] if args is None else args):
            try:
                return super().main(args, *more, **settings)
            except OSError as cause:
                if cause.filename is not None:
                    raise  # of a file, and not of the output
                _end_without_output(cause)

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All commands, by name."""
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, imported now."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"coursecheck.cli.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Lists the commands without importing them."""
        with formatter.section(say("Commands")):
            formatter.write_dl([(name, say(words)) for name, words in sorted(COMMANDS.items())])

    def invoke(self, ctx: click.Context) -> Any:
        """Runs the command; any error of ours is a message on stderr and status 2."""
        from coursecheck.errors import CoursecheckError

        try:
            return super().invoke(ctx)
        except CoursecheckError as error:
            click.echo(str(error), err=True)
            ctx.exit(2)


def _end_without_output(cause: OSError) -> NoReturn:
    """Ends the program with status 2, since its output cannot be written: no room is left, or the device is gone."""
    from coursecheck.documents.causes import cause_words

    click.echo(say("the output cannot be written: {cause}", cause=cause_words(cause)), err=True)
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # for what is still to be flushed at the end
    sys.exit(2)


@click.command(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(
    __version__,
    prog_name="coursecheck",
    message="%(prog)s %(version)s",
    cls=Option,
    help="Show the version and exit.",
)
def main() -> None:
    """Design, check and hand over dog-agility courses.

    The plan is checked on paper. The judge walks and inspects the built course; the rulebook in force, the
    organiser, the appointed judge and a vet prevail.
    """

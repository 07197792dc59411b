"""The command line: a thin shell over the public functions. Each command is imported when it is asked for."""

from __future__ import annotations

import importlib
from typing import Any

import click

from coursecheck.version import __version__

__all__ = ["main"]

COMMANDS = {
    "board": "Draw a course by hand in the browser, judged while it is drawn.",
    "check": "Judge course plans by their rulebook.",
    "demo": "Run the main job on a sample course that ships with the program.",
    "docs": "Write the rulebooks as linked HTML pages, with pictures.",
    "explain": "Tell what a limit is for, how it is measured and what it asks.",
    "new": "Write a commented starter course.",
    "papers": "Write the papers that are printed, handed over or carried into the ring.",
    "report": "Write the judge's report as one HTML file.",
    "rulebooks": "List, show, check, compare and write rulebooks.",
    "schema": "Print a JSON Schema of the files.",
    "times": "Print the course times alone.",
    "waive": "Accept a finding, with a reason.",
    "walk": "Tell pass by pass what a plan will be like to run.",
}


class LazyGroup(click.Group):
    """A group that knows its commands by name and imports only the one that is run."""

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
        with formatter.section("Commands"):
            formatter.write_dl(sorted(COMMANDS.items()))

    def invoke(self, ctx: click.Context) -> Any:
        """Runs the command; any error of ours is a message on stderr and status 2."""
        from coursecheck.errors import CoursecheckError

        try:
            return super().invoke(ctx)
        except CoursecheckError as error:
            click.echo(str(error), err=True)
            ctx.exit(2)


@click.command(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="coursecheck")
def main() -> None:
    """Design, check and hand over dog-agility courses.

    The plan is checked on paper. The judge walks and inspects the built course; the rulebook in force, the
    organiser, the appointed judge and a vet prevail.
    """

"""The command `board`."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import click

from coursecheck.cli import spoken
from coursecheck.errors import UsageError
from coursecheck.language import say

__all__ = ["command"]

NEEDED = ("starlette", "uvicorn", "watchfiles", "websockets")


def port_number(text: str) -> int:
    """The number of a port, 0 for any that is free; a usage error for anything else."""
    if not text.isdecimal() or int(text) > 65535:
        raise click.BadParameter(say("{text!r} is no port; write a number from 0 to 65535", text=text))
    return int(text)


@spoken.command("board")
@spoken.argument("file", type=Path, required=False, metavar="[FILE]")
@spoken.option(
    "--port", type=port_number, default="0", metavar="PORT", help="Where to listen; by default any free port."
)
@spoken.option("--no-open", is_flag=True, help="Print the address and open no browser.")
def command(file: Path | None, port: int, no_open: bool) -> None:
    """Draw a course by hand in the browser, judged while it is drawn.

    A FILE that does not exist yet is written with the first thing that is drawn; without FILE it is a new one in this
    folder. Ctrl-C ends the board.
    """
    missing = next((name for name in NEEDED if find_spec(name) is None), None)
    if missing:
        wrong = say(
            "the board needs {package}, which is not installed; install it with: pip install 'coursecheck[board]'",
            package=missing,
        )
        raise UsageError(wrong)
    from coursecheck.board.serving import serve

    serve(file or _new_file(), port, open_browser=not no_open, tell=click.echo)


def _new_file() -> Path:
    """The first name that is free."""
    number, file = 1, Path("untitled.course.toml")
    while file.exists():
        number += 1
        file = Path(f"untitled-{number}.course.toml")
    return file

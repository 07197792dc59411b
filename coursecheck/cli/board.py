"""The command `board`."""

from __future__ import annotations

from pathlib import Path

import click

from coursecheck.cli.options import language_option
from coursecheck.errors import UsageError

__all__ = ["command"]


@click.command("board")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False), required=False)
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Where to listen; by default any free port.")
@language_option
@click.option("--no-open", is_flag=True, help="Print the address and open no browser.")
def command(file: Path | None, port: int, no_open: bool) -> None:
    """Draw a course by hand in the browser, judged while it is drawn.

    A FILE that does not exist yet is written with the first thing that is drawn; without FILE it is a new one in this
    folder. Ctrl-C ends the board.
    """
    try:
        from coursecheck.board.serving import serve
    except ModuleNotFoundError as error:
        package = (error.name or "").split(".")[0]
        if package not in ("starlette", "uvicorn", "watchfiles", "anyio"):
            raise
        raise UsageError(
            f"the board needs {package}, which is not installed; install it with: pip install 'coursecheck[board]'"
        ) from error
    serve(file or _new_file(), port, open_browser=not no_open, tell=click.echo)


def _new_file() -> Path:
    """The first name that is free."""
    number, file = 1, Path("untitled.course.toml")
    while file.exists():
        number += 1
        file = Path(f"untitled-{number}.course.toml")
    return file

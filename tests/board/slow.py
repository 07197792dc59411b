"""A board that is long in judging: `python -m tests.board.slow board FILE`.

It judges at once until there is a file called `slowly` beside the course, and then waits until that is gone, or until
it is overtaken: each time it leaves off, the file `left` beside the course gets a line.
"""

import sys
import time
from pathlib import Path
from typing import Any

import click

from coursecheck.board.answer import Judge
from coursecheck.board.serving import serve
from coursecheck.path.overtaking import OvertakenError, give_way

if __name__ == "__main__":
    course = Path(sys.argv[2])
    at_once = Judge.answer

    def answer(self: Judge, *asked: Any) -> dict[str, Any]:
        try:
            while (course.parent / "slowly").exists():
                time.sleep(0.05)
                give_way()
            return at_once(self, *asked)
        except OvertakenError:
            with (course.parent / "left").open("a") as left:
                left.write("left\n")
            raise

    Judge.answer = answer  # type: ignore[method-assign]
    serve(course, 0, open_browser=False, tell=click.echo)

"""The program as it is started: `coursecheck`, or `python -m coursecheck`."""

from __future__ import annotations

import codecs
import gc
import io
import os
import sys

from coursecheck.cli import main

__all__ = ["run"]


def run() -> None:
    """Runs the command line, in one thread, and looks for garbage less often than by default.

    The matrices of a plan are small: threads for them only cost their start, and how many there are could change
    the last bit of a sum. Nearly all that a command makes it keeps to its end, so that each look for garbage finds
    nothing: together they would be a tenth of a cold start. What is left at the end is not gone through once more.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    gc.set_threshold(100_000, 50, 100)
    _take_every_letter()
    try:
        main()
    finally:
        gc.freeze()


def _take_every_letter() -> None:
    """Lets no letter of a title or a table stop a command.

    What goes to a file or another program is UTF-8 wherever nobody asked for something else; a terminal without some
    letter shows a question mark in its place.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            if not stream.isatty() and "PYTHONIOENCODING" not in os.environ:
                stream.reconfigure(encoding="utf-8")
            whole = codecs.lookup(stream.encoding).name == "utf-8"
            stream.reconfigure(errors="surrogateescape" if whole else "replace")


if __name__ == "__main__":
    run()

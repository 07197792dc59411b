"""The program as it is started: `coursecheck`, or `python -m coursecheck`."""

from __future__ import annotations

import gc

from coursecheck.cli import main

__all__ = ["run"]


def run() -> None:
    """Runs the command line, and looks for garbage less often than by default.

    Nearly all that a command makes it keeps to its end, so that each look finds nothing: together they would be a
    tenth of a cold start. What is left at the end is not gone through once more.
    """
    gc.set_threshold(100_000, 50, 100)
    try:
        main()
    finally:
        gc.freeze()


if __name__ == "__main__":
    run()

"""The program as it is started: `coursecheck`, or `python -m coursecheck`."""

from __future__ import annotations

import gc
import os

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
    try:
        main()
    finally:
        gc.freeze()


if __name__ == "__main__":
    run()

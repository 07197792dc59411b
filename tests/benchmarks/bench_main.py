"""Prints how long the main job takes, as ratios to a yardstick of the same machine. Asserts nothing.

python tests/benchmarks/bench_main.py
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import time
from pathlib import Path

SAMPLE = Path(__file__).parents[2] / "coursecheck" / "samples" / "saltmarsh.course.toml"
RUNS = 9


def seconds(arguments: list[str]) -> float:
    """Median processor time of a whole process, children included."""
    spent = []
    for _ in range(RUNS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, *arguments], check=False, capture_output=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent.append(after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)
    return statistics.median(spent)


def main() -> None:
    """Prints the ratios and the peak memory."""
    started = time.perf_counter()
    click = seconds(["-c", "import click"])
    stack = seconds(["-c", "import numpy, shapely, click"])
    rows = [
        ("coursecheck --help", seconds(["-m", "coursecheck", "--help"]), click, "import click", 1.5),
        ("coursecheck check (20 obstacles, 3 heights)", seconds(["-m", "coursecheck", "check", str(SAMPLE)]), stack,
         "import numpy, shapely, click", 2.5),
    ]  # fmt: skip
    for name, cost, yardstick, words, goal in rows:
        ratio = cost / yardstick
        print(f"{name}: {cost * 1e3:.0f} ms, {ratio:.2f} times `{words}` ({yardstick * 1e3:.0f} ms); goal {goal}")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"largest process: {peak:.0f} MB; goal under 200 MB")
    print(f"took {time.perf_counter() - started:.0f} s")


if __name__ == "__main__":
    main()

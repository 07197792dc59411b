"""Prints how long the main job takes, as ratios to a yardstick of the same machine. Asserts nothing.

python tests/benchmarks/bench_main.py
"""

from __future__ import annotations

import compileall
import os
import resource
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "coursecheck" / "samples" / "saltmarsh.course.toml"
RUNS = 15


@dataclass(frozen=True, slots=True)
class Cost:
    """Of a whole process at its best: seconds on the clock, and of processor time."""

    clock_s: float
    processor_s: float


def cost(*arguments: str) -> Cost:
    """The least of several runs: what others do on the machine only ever adds to it.

    The processor time of numpy's import holds the waiting of its idle threads, which the clock does not.
    """
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    clock, processor = [], []
    for _ in range(RUNS):
        before, started = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        subprocess.run([sys.executable, *arguments], check=False, capture_output=True, env=environment)
        clock.append(time.perf_counter() - started)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        processor.append(after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)
    return Cost(min(clock), min(processor))


def main() -> None:
    """Prints the ratios and the peak memory."""
    compileall.compile_dir(ROOT / "coursecheck", quiet=1)  # as an installer leaves it
    click, stack = cost("-c", "import click"), cost("-c", "import numpy, shapely, click")
    check = ("-m", "coursecheck", "check", str(SAMPLE))
    words = "import numpy, shapely, click"
    rows = [
        ("coursecheck --help", cost("-m", "coursecheck", "--help"), click, "import click", 1.5),
        ("coursecheck check, 20 obstacles, one height class", cost(*check, "--height", "large"), stack, words, 2.5),
        ("coursecheck check, 20 obstacles, three height classes", cost(*check), stack, words, 2.5),
    ]
    for name, spent, yardstick, of, goal in rows:
        clock, processor = spent.clock_s / yardstick.clock_s, spent.processor_s / yardstick.processor_s
        print(
            f"{name}: {spent.clock_s * 1e3:.0f} ms on the clock, {clock:.2f} times `{of}` "
            f"({yardstick.clock_s * 1e3:.0f} ms); by processor time {processor:.2f} times; goal {goal}"
        )
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"largest process: {peak:.0f} MB; goal under 200 MB")


if __name__ == "__main__":
    main()

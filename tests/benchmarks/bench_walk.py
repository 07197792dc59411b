"""Prints how long the course walk of the samples takes, all their height classes and three handlers. Asserts nothing.

python tests/benchmarks/bench_walk.py
"""

from __future__ import annotations

import time

import coursecheck
from coursecheck.resources import sample
from coursecheck.walk.walking import walk

RUNS = 3


def main() -> None:
    """Prints processor time by plan, with its lines computed and walked."""
    for name in ("saltmarsh", "granary", "meadow", "draft-with-faults"):
        course, rulebook = coursecheck.load_plan(sample(name))
        spent = []
        for _ in range(RUNS):
            started = time.process_time()
            walked = walk(course, rulebook)
            spent.append(time.process_time() - started)
        size = f"{len(course.passes)} passes, {len(walked.classes)} classes, 3 handlers"
        print(f"{name} ({size}): {min(spent):.2f} s; goal under 2 s")


if __name__ == "__main__":
    main()

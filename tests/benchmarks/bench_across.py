"""What judging costs while obstacles are dragged straight across the ring, over others.

Run `python tests/benchmarks/bench_across.py [SAMPLE] [STEPS]`, with the package installed. Each obstacle of a sample
is dragged in turn to the opposite side of its ring, by so many steps; told is the processor time of a step in one
height class: what is judged then is mostly a plan in which something stands in the way. The worst steps are named.
"""

import sys
import time
import tomllib
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

from coursecheck.board.tables import Library
from coursecheck.checking import check
from coursecheck.path.memo import Memo
from coursecheck.resources import sample

QUANTILES = (0.5, 0.9, 0.95, 0.99)
WORST = 5


def opposite(ring, at):
    """The place as far from the middle of a ring's box, on the other side."""
    return tuple(min(values) + max(values) - here for values, here in zip(zip(*ring, strict=True), at, strict=True))


def steps_across(course, number, count):
    """A course while one obstacle goes straight to the opposite side."""
    held = course.obstacles[number]
    to = opposite(course.ring.outline, held.at)
    for step in range(count + 1):
        at = tuple(here + (there - here) * step / count for here, there in zip(held.at, to, strict=True))
        obstacles = list(course.obstacles)
        obstacles[number] = replace(held, at=at)
        yield at, replace(course, obstacles=tuple(obstacles))


def main(name="saltmarsh", count=20):
    """Prints the figures."""
    path = Path(sample(name))
    course, book = Library(path.parent).course(tomllib.loads(path.read_text(encoding="utf-8")))
    height = [known for known in book.heights if not course.heights or known in course.heights][-1]
    memos = defaultdict(Memo)
    check(course, book, heights=(height,), memos=memos, complete=False)
    rows = []
    for number, held in enumerate(course.obstacles):
        for at, moved in steps_across(course, number, count):
            memos[height].turn()
            start = time.process_time()
            check(moved, book, heights=(height,), memos=memos, complete=False)
            rows.append((1000 * (time.process_time() - start), held.id, tuple(round(value, 2) for value in at)))
    rows.sort(reverse=True)
    times = sorted(row[0] for row in rows)
    told = ", ".join(f"p{100 * share:g} {times[int(share * (len(times) - 1))]:.0f}" for share in QUANTILES)
    print(
        f"{name}, {height}: {len(rows)} steps: {told}, worst {times[-1]:.0f}, mean {sum(times) / len(times):.0f} ms"
    )
    for took_ms, which, at in rows[:WORST]:
        print(f"  {took_ms:6.0f} ms  {which} at {at}")


if __name__ == "__main__":
    main(*sys.argv[1:2], *map(int, sys.argv[2:3]))

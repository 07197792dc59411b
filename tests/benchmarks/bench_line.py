"""How long a line takes, in processor time: run `python tests/benchmarks/bench_line.py`, with the package installed.

Prints the median over several courses from model to line for one height class and for four, with one obstacle moved
and a memo, the same for courses of nothing but jumps, which nothing parts into stretches, for 200 passes against 20,
and the peak memory.
"""

import random
import resource
import statistics
import sys
import time
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from coursecheck.course.model import Ring
from coursecheck.equipment import build_shapes
from coursecheck.path.compute import compute_line
from coursecheck.path.memo import Memo
from coursecheck.path.runner import Runner
from tests.path.line_plans import KINDS, random_plan

RUNNERS = [Runner(r, 1.2, 1.2) for r in (1.0, 1.25, 1.4, 1.5)]
PLANS = 8
JUMPS = ("jump", "jump", "jump", "spread")


def clock(work):
    """Processor time of one call, in milliseconds."""
    start = time.process_time()
    work()
    return 1000 * (time.process_time() - start)


def course(seed, passes, kinds=KINDS):
    """A course of that many passes in a ring that holds it."""
    wide = 8.0 * (passes // 4 + 2)
    return replace(random_plan(seed, passes, kinds=kinds), ring=Ring(((0, 0), (wide, 0), (wide, 40), (0, 40))))


def fresh(plan, runners=RUNNERS[:1], memos=(None,)):
    """From the model to the lines of some height classes."""
    for runner, memo in zip(runners, memos, strict=True):
        compute_line(plan, build_shapes(plan), runner, memo)


def dragged(plan, seed):
    """Times of single moves of one obstacle, with a memo."""
    rng, memo = random.Random(seed), Memo()  # noqa: S311 - plans, not secrets
    fresh(plan, memos=[memo])
    times = []
    for _ in range(5):
        old = rng.choice(plan.obstacles)
        new = replace(old, at=(old.at[0] + rng.uniform(-0.2, 0.2), old.at[1] + rng.uniform(-0.2, 0.2)))
        plan = replace(plan, obstacles=tuple(new if o is old else o for o in plan.obstacles))
        times.append(clock(lambda plan=plan: fresh(plan, memos=[memo])))
    return times


def main():
    """Prints the figures."""
    plans = [course(seed, 20) for seed in range(PLANS)]
    fresh(plans[0])
    one = [clock(lambda plan=plan: fresh(plan)) for plan in plans]
    four = [clock(lambda plan=plan: fresh(plan, RUNNERS, [None] * 4)) for plan in plans]
    moved = [t for seed, plan in enumerate(plans) for t in dragged(plan, seed)]
    jumps = [course(seed, 20, JUMPS) for seed in range(PLANS)]
    whole = [clock(lambda plan=plan: fresh(plan)) for plan in jumps]
    jump_moved = [t for seed, plan in enumerate(jumps) for t in dragged(plan, seed)]
    sets = [[course(seed, passes) for seed in range(800 // passes)] for passes in (20, 200)]
    short, long = ([clock(lambda plan=plan: fresh(plan)) for plan in chosen] for chosen in sets)
    rows = (
        ("20 passes, one height class", one),
        ("20 passes, four height classes", four),
        ("one obstacle moved, one class", moved),
        ("20 jumps, one height class", whole),
        ("one jump of 20 moved, one class", jump_moved),
        ("200 passes, one height class", long),
    )
    for title, times in rows:
        print(f"{title:32} median {statistics.median(times):7.1f} ms   worst {max(times):7.1f} ms")
    # By the mean: a long course is slow stretches and quick ones together, and few short courses have a slow one.
    print(f"200 passes cost {statistics.mean(long) / statistics.mean(short):.1f} times 20")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory {peak:.0f} MB")


if __name__ == "__main__":
    main()

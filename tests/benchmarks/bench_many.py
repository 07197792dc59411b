"""Prints how many plans a second `check FOLDER` judges, with one process and with all cores, and its memory.

Asserts nothing. The plans are a sample with every obstacle moved a little, each plan in its own way, for all height
classes of its rulebook.

python tests/benchmarks/bench_many.py [PLANS]
"""

from __future__ import annotations

import math
import os
import resource
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from coursecheck.batch import Job, run
from coursecheck.course.model import Course
from coursecheck.course.writing import render_course
from coursecheck.equipment import KINDS
from coursecheck.judging import Question, Source
from coursecheck.plans import load_course
from coursecheck.reports.forms import Look, PlanResult
from coursecheck.resources import sample

PLANS = 300
GOAL_PER_S, GOAL_MB = 12, 400


def shifted(course: Course, number: int) -> Course:
    """The plan with each obstacle up to 0.15 m and 3 degrees from where it was; the same for the same number."""
    moved = []
    for i, obstacle in enumerate(course.obstacles):
        a, b, c = (math.sin(number * 12.9898 + i * 78.233 + k * 37.719) for k in range(3))
        at = (obstacle.at[0] + 0.15 * a, obstacle.at[1] + 0.15 * b)
        moved.append(replace(obstacle, at=at, bearing_deg=(obstacle.bearing_deg + 3.0 * c) % 360.0))
    return replace(course, title=f"{course.title}, {number}", obstacles=tuple(moved), heights=(), origin=None)


def family(pid: int) -> Iterator[int]:
    """A process and those that it started."""
    yield pid
    for task in Path(f"/proc/{pid}/task").iterdir():
        for child in (task / "children").read_text().split():
            yield from family(int(child))


def memory_mb(pid: int) -> float:
    """What a process and those that it started hold together; pages that they share are counted once for each."""
    total = 0
    for one in family(pid):
        lines = Path(f"/proc/{one}/status").read_text().splitlines()
        total += sum(int(line.split()[1]) for line in lines if line.startswith("VmRSS:"))
    return total / 1024


def watched(stop: threading.Event, peaks: list[float]) -> None:
    """Notes the memory ten times a second, where the system tells it."""
    while not stop.wait(0.1):
        try:
            peaks.append(memory_mb(os.getpid()))
        except OSError:  # a process that has just ended, or a system without /proc
            continue


def processor_s() -> float:
    """Processor time of this process and of those that have ended."""
    usages = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(usage.ru_utime + usage.ru_stime for usage in usages)


def timed(sources: list[Source], processes: int | None) -> tuple[float, float, float, list[PlanResult]]:
    """Seconds, seconds of processor time, peak of memory in MB, results."""
    stop, peaks = threading.Event(), [0.0]
    watcher = threading.Thread(target=watched, args=(stop, peaks))
    watcher.start()
    started, spent = time.perf_counter(), processor_s()
    results = list(run(sources, Job(Question(), Look("text")), processes))
    took, spent = time.perf_counter() - started, processor_s() - spent
    stop.set()
    watcher.join()
    return took, spent, max(peaks), results


def main() -> None:
    """Prints the figures."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line has it, for the processes that it starts
    count = int(sys.argv[1]) if len(sys.argv) > 1 else PLANS
    course = load_course(sample("saltmarsh"))
    with tempfile.TemporaryDirectory() as folder:
        sources = []
        for number in range(count):
            path = Path(folder) / f"{number:03}.course.toml"
            path.write_text(render_course(shifted(course, number), KINDS))
            sources.append(Source(str(path)))
        some = sources[: max(1, count // 5)]
        alone, alone_cpu, alone_mb, _ = timed(some, 1)
        took, cpu, peak_mb, results = timed(sources, None)
    one, all_cores = len(some) / alone, count / took
    print(f"{count} plans of {len(course.obstacles)} obstacles, {sum(not r.problem for r in results)} judged")
    print(
        f"one process: {one:.1f} plans/s, {alone_cpu / len(some) * 1e3:.0f} ms of processor each, {alone_mb:.0f} MB"
    )
    print(f"{os.cpu_count()} cores: {all_cores:.1f} plans/s (goal {GOAL_PER_S}), {all_cores / one:.2f} times as many")
    print(f"{cpu / count * 1e3:.0f} ms of processor each, {peak_mb:.0f} MB in all processes (goal under {GOAL_MB})")


if __name__ == "__main__":
    main()

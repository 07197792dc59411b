"""Many plans in one go: on all cores, in the order of the files, and none stops the rest."""

from __future__ import annotations

import gc
import os
import signal
import traceback
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from coursecheck.errors import CoursecheckError
from coursecheck.judging import Question, Source, judge_plan
from coursecheck.language import say, speaking, spoken
from coursecheck.plans import Shelf
from coursecheck.reports.forms import Look, PlanResult, part_of
from coursecheck.reports.summary import SummaryRow, summary_row
from coursecheck.verdict.acceptance import broken_now

if TYPE_CHECKING:
    from concurrent.futures import Future, ProcessPoolExecutor

__all__ = ["Job", "plan_files", "run"]

PLANS_A_PROCESS = 4
"""With fewer plans for each, starting another process takes longer than it saves."""

AHEAD = 8
"""Plans that are handed to each process before the first result is waited for; the rest of the memory stays free."""


@dataclass(frozen=True, slots=True)
class Job:
    """What is to be done with every plan, and in which language; by default the one that is spoken."""

    question: Question
    look: Look
    language: str = field(default_factory=spoken)
    shelf: Shelf = field(default_factory=Shelf, compare=False)

    def __call__(self, source: Source) -> PlanResult:
        """Judges one plan and makes its part of the whole. No plan stops the others, whatever is wrong with it."""
        with speaking(self.language):
            if source.text is None and Path(source.name).is_dir():
                wrong = say("{file}: there is no *.course.toml below this folder", file=source.name)
                return _not_judged(source, wrong)
            try:
                return self._judged(source)
            except CoursecheckError as error:
                return _not_judged(source, str(error))
            except Exception:  # noqa: BLE001 (a mistake of ours in one plan is told and must not take the others)
                cause = traceback.format_exc()
                return _not_judged(source, say("{file}: could not be judged: {cause}", file=source.name, cause=cause))

    def _judged(self, source: Source) -> PlanResult:
        verdict = judge_plan(source, self.question, self.shelf)
        fail_on = self.look.fail_on
        return PlanResult(
            row=summary_row(source.name, verdict),
            part=part_of(source.name, verdict, self.look),
            grave=fail_on != "never" and bool(verdict.at_or_above(fail_on)),
            broken=broken_now(verdict),
        )


def _not_judged(source: Source, problem: str) -> PlanResult:
    return PlanResult(SummaryRow(source.name, say("not judged")), problem=problem)


def plan_files(names: Iterable[str]) -> list[str]:
    """The plans that are meant: files as they are named, and every `*.course.toml` below a folder, sorted.

    A plan that is named twice is judged once. A folder without plans stays in the list, to be told as such.
    """
    found: list[str] = []
    for name in names:
        below = sorted(str(path) for path in Path(name).rglob("*.course.toml")) if Path(name).is_dir() else []
        found += below or [name]
    return list(dict.fromkeys(found))


def run(sources: Sequence[Source], job: Job, processes: int | None = None) -> Iterator[PlanResult]:
    """The results, in the order of the plans, each as soon as it and those before it are there.

    Args:
        sources: the plans.
        job: what is to be done.
        processes: how many at once; by default as many as there are cores and as are worth starting.
    """
    worth = len(sources) // PLANS_A_PROCESS
    count = min(_cores(), worth) if processes is None else processes
    if count <= 1:
        yield from map(job, sources)
        return
    yield from _spread(sources, job, count)


def _cores() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _spread(sources: Sequence[Source], job: Job, count: int) -> Iterator[PlanResult]:
    from concurrent.futures import BrokenExecutor

    pool = _pool(job, count)
    waiting: deque[tuple[Source, Future[PlanResult]]] = deque()
    try:
        for source in sources:
            if len(waiting) >= count * AHEAD:
                yield _taken(*waiting.popleft())
            try:
                future = pool.submit(_judge, source)
            except BrokenExecutor:  # a process ended: what was handed out is lost with it, the plans to come are not
                pool.shutdown()
                pool = _pool(job, count)
                future = pool.submit(_judge, source)
            waiting.append((source, future))
        while waiting:
            yield _taken(*waiting.popleft())
    finally:
        pool.shutdown(cancel_futures=True)


def _pool(job: Job, count: int) -> ProcessPoolExecutor:
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    # Started afresh and not forked: numerical libraries may have threads, which a fork would leave in pieces.
    begin = (job.question, job.look, job.language)
    return ProcessPoolExecutor(count, get_context("spawn"), initializer=_begin, initargs=begin)


def _taken(source: Source, future: Future[PlanResult]) -> PlanResult:
    error = future.exception()
    if error is not None:
        wrong = say("{file}: the process that judged it ended: {cause}", file=source.name, cause=error)
        return _not_judged(source, wrong)
    return future.result()


_own_job: Job | None = None  # of this process, with the rulebooks that it has read


def _begin(question: Question, look: Look, language: str) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process that started this one ends it
    gc.set_threshold(100_000, 50, 100)  # a plan leaves hardly anything behind that only a search would find
    global _own_job  # noqa: PLW0603 (a process of the pool has nowhere else to keep its rulebooks)
    _own_job = Job(question, look, language)


def _judge(source: Source) -> PlanResult:
    if _own_job is None:
        raise AssertionError("a process of the pool begins with its job")
    return _own_job(source)

"""Judging one plan for several height classes at once: each class in a process that keeps what it worked out."""

from __future__ import annotations

import gc
import os
import signal
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from multiprocessing import get_context, resource_tracker
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from coursecheck.board.tables import Library
from coursecheck.checking import check, measure_course
from coursecheck.course.model import Course
from coursecheck.language import speaking, spoken
from coursecheck.measures.scene import Scene
from coursecheck.path.line import Line
from coursecheck.path.memo import Memo
from coursecheck.reports.grouping import SHOWN
from coursecheck.rulebook.model import SEVERITIES, Rulebook
from coursecheck.times import Times
from coursecheck.verdict.model import OUTCOMES, CourseLength, Finding, Verdict

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import SpawnProcess

__all__ = ["Crew", "Part", "Share", "classes_of", "merged", "part_of", "shares_of"]


@dataclass(frozen=True, slots=True)
class Part:
    """What a verdict says of one height class; of its findings those alone that a reader has to look at."""

    findings: tuple[Finding, ...]
    lengths: tuple[CourseLength, ...]
    times: tuple[Times, ...]


class Share(NamedTuple):
    """What a helper does for a plan.

    Attributes:
        judged: the height classes that it judges.
        lined: one of which it computes the line alone.
    """

    judged: tuple[str, ...]
    lined: str | None


@dataclass(slots=True)
class _Bench:
    """Judges plans for one height class after the other, and keeps what the next plan can use again."""

    library: Library
    memos: dict[tuple[str, str], Mapping[str, Memo]] = field(default_factory=dict)

    def line(self, course: Course, book: Rulebook, height: str) -> Line:
        """The line of a height class."""
        return measure_course(course, book, (height,), self._memos(course, book, height))[height].line

    def part(self, course: Course, book: Rulebook, height: str, line: Line | None = None) -> Part:
        """What is said of a height class; `line` is its line, where that is known."""
        return part_of(self.verdict(course, book, height, line))

    def verdict(self, course: Course, book: Rulebook, height: str, line: Line | None = None) -> Verdict:
        """The verdict for a height class as the command line would give it, without what nobody has to look at."""
        return check(
            course,
            book,
            heights=(height,),
            shelf=self.library.shelf,
            memos=self._memos(course, book, height),
            lines={height: line} if line else {},
            complete=False,
        )

    def _memos(self, course: Course, book: Rulebook, height: str) -> Mapping[str, Memo]:
        memos = self.memos.setdefault((course.rulebook, book.sha256), defaultdict(Memo))
        memos[height].turn()
        return memos


def classes_of(course: Course, book: Rulebook) -> list[str]:
    """The height classes that a plan is judged for, in the rulebook's order."""
    return [name for name in book.heights if not course.heights or name in course.heights]


def shares_of(others: Sequence[str], helpers: int) -> list[Share]:
    """What each helper does, always the same, so that what it kept is of use.

    Nobody has more to do than need be. What is left over is judged by the board itself, beside the class shown. Where
    one helper alone would still have a class more than the board, they share that one: the helper computes its line,
    first of all, and the board judges it.
    """
    shares: list[list[str]] = [[] for _ in range(helpers)]
    own = 1
    for name in others:
        least = min(shares, key=len, default=None)
        if least is not None and len(least) <= own:
            least.append(name)
        else:
            own += 1
    busiest = [names for names in shares if len(names) > own]
    shared = busiest[0].pop() if len(busiest) == 1 else None
    return [Share(tuple(names), shared if names in busiest else None) for names in shares]


class Crew:
    """Judges plan after plan, on as many cores as there are and as it takes.

    The others are started once the first plan has been judged, and judge it, too, so that they know it. Until they
    have, and when one of them is gone, everything is judged here.

    Args:
        library: where the rulebooks come from.
        beside: the folder that the course file lies in.
        most: how many other processes there may be at most.
    """

    def __init__(self, library: Library, beside: Path, most: int | None = None) -> None:
        self._bench = _Bench(library)
        self._beside = beside
        self._most = _cores() - 1 if most is None else most
        self._helpers: list[_Helper] | None = None

    def verdict(
        self, course: Course, book: Rulebook, shown: str, meanwhile: Callable[[Scene], None] = lambda _: None
    ) -> Verdict:
        """The verdict, with the scene of the class that is shown and with the findings that are shown.

        Args:
            course: the plan.
            book: its rulebook.
            shown: one of the height classes that it is judged for.
            meanwhile: is given its scene while the others may still be judging.
        """
        classes = classes_of(course, book)
        others = [name for name in classes if name != shown]
        asked = self._asked([helper for helper in self._helpers or () if helper.ready()], course, book, others)
        elsewhere = {name for _, share in asked for name in (*share.judged, share.lined)}
        verdict = self._bench.verdict(course, book, shown)
        parts = {shown: part_of(verdict)}
        parts |= {name: self._bench.part(course, book, name) for name in others if name not in elsewhere}
        meanwhile(verdict.scenes[shown])
        for helper, share in asked:
            if share.lined is not None:
                parts[share.lined] = self._bench.part(course, book, share.lined, helper.take())
        for helper, share in asked:
            parts |= helper.take() or {name: self._bench.part(course, book, name) for name in share.judged}
        if self._helpers is None:
            self._helpers = [_Helper(self._beside) for _ in range(min(self._most, len(classes) - 1))]
            self._asked(self._helpers, course, book, others)
        return merged({name: parts[name] for name in classes}, verdict)

    @staticmethod
    def _asked(
        helpers: Sequence[_Helper], course: Course, book: Rulebook, others: Sequence[str]
    ) -> list[tuple[_Helper, Share]]:
        """Has helpers do their shares of a plan: who was asked for what."""
        shares = zip(helpers, shares_of(others, len(helpers)), strict=True)
        return [(helper, share) for helper, share in shares if any(share) and helper.ask(course, book, share)]

    @property
    def ready(self) -> bool:
        """Whether every process that was started listens."""
        return self._helpers is not None and all(helper.ready() for helper in self._helpers)

    def close(self) -> None:
        """Ends the other processes."""
        for helper in self._helpers or ():
            helper.end()


class _Helper:
    """Another process that judges."""

    def __init__(self, beside: Path) -> None:
        context = get_context("spawn")
        self._line, theirs = context.Pipe()
        self._process: SpawnProcess = context.Process(target=_help, args=(theirs, beside), daemon=True)
        with _deaf():
            self._process.start()
        theirs.close()
        self._owed = 0  # answers
        self._is_gone = False

    def ready(self) -> bool:
        """Whether it has done what it was asked for, and is still there; what nobody took is of no use any more."""
        try:
            while self._owed and not self._is_gone and self._line.poll():
                self.take()
        except OSError:
            self._is_gone = True
        return not self._owed and not self._is_gone

    def ask(self, course: Course, book: Rulebook, share: Share) -> bool:
        """Has it do its share of a plan; False where it is gone."""
        self._owed = 1 if share.lined is None else 2
        try:
            self._line.send((course, book.sha256, spoken(), share))
        except OSError:
            self._is_gone = True
        return not self._is_gone

    def take(self) -> Any:
        """The next of its answers: the line of its share, where there is one, then what it judged, by height class.

        None where it is gone, or has another edition of the rulebook.
        """
        self._owed -= 1
        try:
            return self._line.recv()
        except (EOFError, OSError):
            self._is_gone = True
            return None

    def end(self) -> None:
        """Ends it: what it was doing is of no use to anybody."""
        self._line.close()
        self._process.terminate()
        self._process.join()


@contextmanager
def _deaf() -> Iterator[None]:
    """What is started in the block does not hear Ctrl-C: that is for the board, which ends its helpers itself."""
    if not hasattr(signal, "pthread_sigmask"):  # Windows: there it hears it until `_help` begins
        yield
        return
    resource_tracker.ensure_running()  # else the first start does it, and lets the signal through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _help(line: Connection, beside: Path) -> None:
    """Judges what it is asked for, until the one who asks is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.set_threshold(100_000, 50, 100)  # as in the command itself: nearly all that is made here is kept
    bench = _Bench(Library(beside))
    with suppress(EOFError, ConnectionError):  # whoever asks is gone
        while True:
            course, sha256, language, share = line.recv()
            book = bench.library.book(course.rulebook)
            known = book.sha256 == sha256
            with speaking(language):
                if share.lined is not None:
                    line.send(bench.line(course, book, share.lined) if known else None)
                line.send({name: bench.part(course, book, name) for name in share.judged} if known else None)


def part_of(verdict: Verdict) -> Part:
    """What is said of a height class by a verdict for it alone."""
    findings = tuple(finding.in_words() for finding in verdict.findings if finding.outcome in SHOWN)
    return Part(findings, verdict.lengths, verdict.times)


def merged(parts: Mapping[str, Part], shown: Verdict) -> Verdict:
    """One verdict of those for each height class by itself; of its findings those alone that a reader has to look at.

    Args:
        parts: what is said of each class, in the rulebook's order.
        shown: the verdict for the class whose scene is wanted; the scenes of the others are empty.
    """
    scene = next(iter(shown.scenes.values()))
    bare = replace(scene, shapes={}, line=Line(scene.line.runner, (), ()))
    return replace(
        shown,
        scenes={height: shown.scenes.get(height, bare) for height in parts},
        lengths=tuple(length for part in parts.values() for length in part.lengths),
        times=tuple(times for part in parts.values() for times in part.times),
        findings=_once({height: part.findings for height, part in parts.items()}),
    )


def _once(found: Mapping[str, Sequence[Finding]]) -> tuple[Finding, ...]:
    """The findings of all classes; those that are the same for every one are said once and for all of them."""
    if len(found) == 1:
        return tuple(finding for findings in found.values() for finding in findings)
    bare = {height: [finding._replace(height=None) for finding in findings] for height, findings in found.items()}
    first, *others = bare.values()
    common = [one for one in first if all(one in findings for findings in others)]
    own = [
        finding
        for height, findings in found.items()
        for finding, one in zip(findings, bare[height], strict=True)
        if one not in common
    ]
    order: dict[str | None, int] = {None: -1} | {height: i for i, height in enumerate(found)}
    return tuple(sorted([*common, *own], key=lambda finding: _rank(finding, order)))


def _rank(finding: Finding, order: Mapping[str | None, int]) -> tuple[object, ...]:
    """The order of a verdict, see `judge`."""
    gravity = (OUTCOMES.index(finding.outcome), SEVERITIES.index(finding.severity))
    return (*gravity, finding.limit, finding.passes, finding.obstacles, order[finding.height])


def _cores() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1

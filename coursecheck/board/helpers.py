"""Other processes that judge single height classes, each with a bench that keeps what the next plan can use again."""

from __future__ import annotations

import gc
import signal
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import partial
from multiprocessing import get_context, resource_tracker
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from coursecheck.board.merging import Part, part_of
from coursecheck.board.tables import Library
from coursecheck.checking import check, measure_course
from coursecheck.course.model import Course
from coursecheck.language import speaking, spoken
from coursecheck.path.line import Line
from coursecheck.path.memo import Memo
from coursecheck.path.overtaking import OvertakenError, give_way, until
from coursecheck.rulebook.model import Rulebook
from coursecheck.verdict.model import Verdict

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import SpawnProcess

__all__ = ["Bench", "Helper", "Share"]


class Share(NamedTuple):
    """What a helper does for a plan.

    Attributes:
        judged: the height classes that it judges.
        lined: one of which it computes the line alone.
    """

    judged: tuple[str, ...]
    lined: str | None


@dataclass(slots=True)
class Bench:
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


_GIVES_WAY_S = 0.02
"""How often whoever waits for another process looks whether that is still worth it."""


class Helper:
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
                self._receive()
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

        Raises:
            OvertakenError: nobody waits for it any more.
        """
        with suppress(OSError):
            while not self._line.poll(_GIVES_WAY_S):
                give_way()
        return self._receive()

    def _receive(self) -> Any:
        self._owed -= 1
        try:
            return self._line.recv()
        except (EOFError, OSError):
            self._is_gone = True
            return None

    def overtake(self) -> None:
        """Has it leave off, since nobody waits for what it owes; it soon has."""
        with suppress(OSError):
            self._line.send(None)
        while self._owed and not self._is_gone:
            self._receive()

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
    bench = Bench(Library(beside))
    with suppress(EOFError, ConnectionError):  # whoever asks is gone
        while True:
            asked = line.recv()
            if asked is not None:  # else it was overtaken when all was answered
                _answer(line, bench, *asked)


def _answer(line: Connection, bench: Bench, course: Course, sha256: str, language: str, share: Share) -> None:
    """Sends what is owed of a plan, as nothing once the next message says that it was overtaken."""
    book = bench.library.book(course.rulebook)
    works: list[Callable[[], Any]] = [lambda: {name: bench.part(course, book, name) for name in share.judged}]
    if share.lined is not None:
        works.insert(0, partial(bench.line, course, book, share.lined))
    for work in works:
        try:
            with speaking(language), until(line.poll):
                result = work() if book.sha256 == sha256 else None
        except OvertakenError:
            result = None
        line.send(result)

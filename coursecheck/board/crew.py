"""Judging one plan for several height classes at once: each class in a process that keeps what it worked out."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path

from coursecheck.board.helpers import Bench, Helper, Share
from coursecheck.board.merging import merged, part_of
from coursecheck.board.tables import Library
from coursecheck.course.model import Course
from coursecheck.measures.scene import Scene
from coursecheck.path.overtaking import OvertakenError
from coursecheck.rulebook.model import Rulebook
from coursecheck.verdict.model import Verdict

__all__ = ["Crew", "classes_of", "shares_of"]


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
        self._bench = Bench(library)
        self._beside = beside
        self._most = _cores() - 1 if most is None else most
        self._helpers: list[Helper] | None = None

    def verdict(
        self, course: Course, book: Rulebook, shown: str, meanwhile: Callable[[Scene], None] = lambda _: None
    ) -> Verdict:
        """The verdict, with the scene of the class that is shown and with the findings that are shown.

        Args:
            course: the plan.
            book: its rulebook.
            shown: one of the height classes that it is judged for.
            meanwhile: is given its scene while the others may still be judging.

        Raises:
            OvertakenError: nobody waits for it any more.
        """
        classes = classes_of(course, book)
        others = [name for name in classes if name != shown]
        asked = self._asked([helper for helper in self._helpers or () if helper.ready()], course, book, others)
        try:
            verdict = self._bench.verdict(course, book, shown)
            parts = {shown: part_of(verdict)}
            elsewhere = {name for _, share in asked for name in (*share.judged, share.lined)}
            parts |= {name: self._bench.part(course, book, name) for name in others if name not in elsewhere}
            meanwhile(verdict.scenes[shown])
            for helper, share in asked:
                if share.lined is not None:
                    parts[share.lined] = self._bench.part(course, book, share.lined, helper.take())
            for helper, share in asked:
                parts |= helper.take() or {name: self._bench.part(course, book, name) for name in share.judged}
        except OvertakenError:
            for helper, _ in asked:
                helper.overtake()
            raise
        if self._helpers is None:
            self._helpers = [Helper(self._beside) for _ in range(min(self._most, len(classes) - 1))]
            self._asked(self._helpers, course, book, others)
        return merged({name: parts[name] for name in classes}, verdict)

    @staticmethod
    def _asked(
        helpers: Sequence[Helper], course: Course, book: Rulebook, others: Sequence[str]
    ) -> list[tuple[Helper, Share]]:
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


def _cores() -> int:
    """How many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1

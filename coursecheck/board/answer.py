"""What the page is told of a plan: the verdict in words and the figures, as data for JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from coursecheck.board.crew import Crew, classes_of
from coursecheck.board.figures import Symbols, lines_of, obstacles_of, ring_of
from coursecheck.board.tables import Library
from coursecheck.board.tape import reaches
from coursecheck.course.model import Course
from coursecheck.judging import waivers_path
from coursecheck.language import labelled, spoken
from coursecheck.measures.scene import Scene
from coursecheck.reports.grouping import Entry, entries_of
from coursecheck.reports.terms import outcome_words, severity_name
from coursecheck.reports.wording import (
    authority_words,
    height_words,
    length_words,
    place_words,
    printable,
    time_shown,
    time_words,
    verdict_reason,
    verdict_words,
)
from coursecheck.rulebook.model import Rulebook
from coursecheck.units import format_figure
from coursecheck.verdict.model import Verdict

__all__ = ["Judge", "difference"]


class Judge:
    """Judges plan after plan of one board, and keeps what the next one can use again.

    Args:
        library: where the rulebooks come from.
        file: the course file; waivers beside it are put on.
        helpers: how many other processes there may be at most; by default as many as there are cores for.
    """

    def __init__(self, library: Library, file: Path, helpers: int | None = None) -> None:
        self._crew = Crew(library, file.parent, helpers)
        self._file = file
        self._last: tuple[Course, str, Verdict] | None = None
        self._symbols = Symbols()
        self._ring: tuple[object, str] = (None, "")

    def verdict(
        self, course: Course, book: Rulebook, shown: str, meanwhile: Callable[[Scene], None] = lambda _: None
    ) -> Verdict:
        """The verdict as the command line would give it, of its findings those alone that a reader has to look at.

        Args:
            course: the plan.
            book: its rulebook.
            shown: the height class whose scene is wanted; the last one where the plan has no such class.
            meanwhile: is given that scene while other classes may still be judged.

        Raises:
            CoursecheckError: the waivers beside the file cannot be taken.
        """
        verdict = self._crew.verdict(course, book, self._seen(course, book, shown), meanwhile)
        beside = waivers_path(str(self._file))
        if beside.exists():
            from coursecheck.verdict.acceptance import accept_waivers
            from coursecheck.verdict.waivers import read_waivers

            verdict = accept_waivers(verdict, read_waivers(beside), None)
        self._last = (course, shown, verdict)
        return verdict

    def scene(self, course: Course, book: Rulebook, shown: str) -> tuple[str, Scene]:
        """The height class that is shown, and the plan measured for it; mostly it is what was judged last."""
        last = self._last
        verdict = last[2] if last and last[:2] == (course, shown) else self.verdict(course, book, shown)
        seen = self._seen(course, book, shown)
        return seen, verdict.scenes[seen]

    def _seen(self, course: Course, book: Rulebook, shown: str) -> str:
        classes = classes_of(course, book)
        return shown if shown in classes else classes[-1]

    def close(self) -> None:
        """Ends what was started for it."""
        self._crew.close()

    def answer(self, course: Course, book: Rulebook, shown: str) -> dict[str, Any]:
        """Everything that the page shows of a plan.

        Args:
            course: the plan.
            book: its rulebook.
            shown: the height class whose line is drawn; the last one where the plan has no such class.
        """
        drawing: dict[str, Any] = {}
        verdict = self.verdict(course, book, shown, lambda scene: drawing.update(self._drawing(course, scene)))
        return {
            "shown": self._seen(course, book, shown),
            "classes": list(verdict.scenes),
            "legal": verdict.legal,
            "verdict": verdict_words(verdict),
            "reason": verdict_reason(verdict),
            "lengths": _lengths(verdict),
            "notes": [*length_words(verdict), *time_words(verdict), *verdict.notes],
            "findings": [_entry(entry, verdict) for entry in entries_of(verdict)],
            "uncovered": [{"topic": gap.topic, "about": gap.about} for gap in verdict.uncovered],
            **drawing,
        }

    def _drawing(self, course: Course, scene: Scene) -> dict[str, Any]:
        obstacles, symbols = obstacles_of(scene, self._symbols)
        return {
            "legs": [round(leg.length_m, 4) for leg in scene.line.legs],
            "along": [round(metres, 4) for metres in reaches(scene)],
            "ring": self._ring_of(course),
            "box": list(scene.ring.bounds),
            "lines": lines_of(scene),
            "obstacles": obstacles,
            "symbols": symbols,
        }

    def _ring_of(self, course: Course) -> str:
        key = (course.ring, course.units, spoken())
        if key != self._ring[0]:
            self._ring = (key, ring_of(course))
        return self._ring[1]


def difference(before: Mapping[str, Any], now: Mapping[str, Any]) -> dict[str, Any]:
    """What of an answer is new against the one before it; of obstacles and symbols each by itself."""
    new = {name: value for name, value in now.items() if before.get(name) != value}
    for name in ("obstacles", "symbols"):
        if name in new and name in before:
            new[name] = {key: value for key, value in now[name].items() if before[name].get(key) != value}
    return new


def _lengths(verdict: Verdict) -> list[dict[str, Any]]:
    units = verdict.course.units
    return [
        {
            "height": length.height,
            "length": None if length.length_m is None else format_figure(length.length_m, "m", units=units),
            "sct": time_shown(times.sct_s),
            "mct": time_shown(times.mct_s),
        }
        for length, times in zip(verdict.lengths, verdict.times, strict=True)
    ]


def _entry(entry: Entry, verdict: Verdict) -> dict[str, Any]:
    worst = entry.worst
    witness = worst.witness if entry.has_place else None
    return {
        "key": f"{worst.limit} {worst.metric} {'-'.join(map(str, worst.passes))} {' '.join(worst.obstacles)}",
        "outcome": worst.outcome,
        "state": outcome_words(worst.outcome),
        "severity": worst.severity,
        "gravity": severity_name(worst.severity),
        "title": printable(worst.title),
        "place": place_words(worst),
        "lines": [
            {"heights": height_words(line.heights, verdict), "figures": printable(line.finding.figures)}
            for line in entry.lines
        ],
        "rule": labelled(worst.limit, authority_words(worst)),
        "waived": printable(labelled(worst.waived.who, worst.waived.reason)) if worst.waived else None,
        "obstacles": list(worst.obstacles),
        "witness": {"type": witness.type, "points": [[round(x, 3), round(y, 3)] for x, y in witness.points]}
        if witness
        else None,
    }

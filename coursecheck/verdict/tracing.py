"""Which row of a limit was chosen for each subject of a plan, and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coursecheck.errors import UsageError
from coursecheck.language import say
from coursecheck.measures import MEASURES, Scene, Value
from coursecheck.rulebook.model import Limit, Rulebook
from coursecheck.rulebook.resolve import resolve
from coursecheck.verdict.compare import compare, subject_words
from coursecheck.verdict.docket import ask_of, plan_facets

__all__ = ["Choice", "Subject", "trace_limit"]


@dataclass(frozen=True, slots=True)
class Subject:
    """Something that a limit was asked about.

    Attributes:
        height: the height class.
        words: what it is, such as "3 to 4 (c to d)".
        outcome: how it stands to the row that was chosen; "not-applicable" where none was.
        message: the whole sentence of the comparison; empty where no row was chosen.
    """

    height: str
    words: str
    outcome: str
    message: str


@dataclass(frozen=True, slots=True)
class Choice:
    """A row and all subjects for which it was chosen on the same grounds.

    Attributes:
        row: the row, or None where none fits.
        why: one line a row of the limit: why it applies or not, and what goes before what.
        subjects: for whom.
    """

    row: Limit | None
    why: tuple[str, ...]
    subjects: tuple[Subject, ...]


def trace_limit(rulebook: Rulebook, limit: str, scenes: Mapping[str, Scene]) -> tuple[Choice, ...]:
    """Every choice that was made for a limit, in the order of the subjects; nothing where nothing falls under it.

    Args:
        rulebook: whose limit.
        limit: its id.
        scenes: the measured scene of each height class.

    Raises:
        UsageError: the rulebook has no such limit.
    """
    rows = [row for row in rulebook.limits if row.id == limit]
    if not rows:
        raise UsageError(say("{rulebook} has no limit {limit!r}", rulebook=rulebook.id, limit=limit))
    grounds: dict[tuple[str, ...], tuple[Limit | None, list[Subject]]] = {}
    for height, scene in scenes.items():
        for name, ask in dict.fromkeys(ask_of(row) for row in rows):
            for value in MEASURES[name].take(scene, ask):
                facets = plan_facets(scene.course, height)
                found = resolve(rows, [{**facets, **own} for own in value.facets], explain=True)
                if found.row is None or ask_of(found.row) == (name, ask):
                    subject = _subject(value, found.row, scene, height, rulebook.setting_out_m)
                    subjects = grounds.setdefault(found.trace, (found.row, []))[1]
                    if found.row is not None or subject not in subjects:  # rows may ask in several ways about it
                        subjects.append(subject)
    return tuple(Choice(row, why, tuple(subjects)) for why, (row, subjects) in grounds.items())


def _subject(value: Value, row: Limit | None, scene: Scene, height: str, error_m: float) -> Subject:
    words = subject_words(value)
    if row is None:
        return Subject(height, words, "not-applicable", "")
    result = compare(value, row, MEASURES[row.measure], setting_out_m=error_m, units=scene.course.units)
    return Subject(height, words, result.outcome, result.message)

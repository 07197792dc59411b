"""What a rulebook asks of a plan as a whole, before anything is measured: one question for each limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coursecheck.course.model import Course
from coursecheck.language import spoken
from coursecheck.measures import MEASURES, Ask, Facets, Measure, Scene
from coursecheck.rulebook.model import Limit, Rulebook
from coursecheck.rulebook.resolve import Shortlist, shortlist
from coursecheck.rulebook.vocabulary import facets_of

__all__ = ["Docket", "Question", "ask_of", "docket_of", "plan_facets", "rows_by_id"]


@dataclass(frozen=True, slots=True, eq=False)
class Question:
    """One limit.

    Attributes:
        rows: all its rows, in the rulebook's order.
        candidates: those that the plan does not rule out.
        asks: what these ask to be measured, each with the rows that ask for it.
    """

    rows: Sequence[Limit]
    candidates: Shortlist[Limit]
    asks: Sequence[tuple[Measure, Ask, Sequence[Limit]]]


@dataclass(frozen=True, slots=True, eq=False)
class Docket:
    """All questions, in the rulebook's order, and what their answers follow from beside what is measured.

    Attributes:
        questions: one for each limit.
        limits: the rows that they were made of.
        height: the height class.
        facets: what is seen of the plan as a whole.
        setting_out_m: standard deviation of every set-out coordinate.
        units: "m" or "ft", for the words.
        complete: whether limits that are met are told, too.
    """

    questions: Sequence[Question]
    limits: Sequence[Limit]
    height: str
    facets: Facets
    setting_out_m: float
    units: str
    complete: bool


def docket_of(rulebook: Rulebook, scene: Scene, height: str, setting_out_m: float, *, complete: bool) -> Docket:
    """The docket of a plan; the same object as for the plan before, where that asked for the same."""
    facets, units = plan_facets(scene.course, height), scene.course.units

    def make() -> Docket:
        questions = [_question(rows, facets) for rows in rows_by_id(rulebook).values()]
        return Docket(questions, rulebook.limits, height, facets, setting_out_m, units, complete)

    # the docket holds the limits, so that nothing else can come to have their identity while it is kept
    key = (id(rulebook.limits), *facets.items(), setting_out_m, units, complete, spoken())
    return scene.memo.get("docket", key, make)


def _question(rows: Sequence[Limit], plan: Facets) -> Question:
    candidates = shortlist(rows, plan)
    asks: dict[tuple[str, Ask], list[Limit]] = {}
    for row, _ in reversed(candidates.rows):
        asks.setdefault(ask_of(row), []).append(row)
    return Question(rows, candidates, [(MEASURES[name], ask, asking) for (name, ask), asking in asks.items()])


def ask_of(row: Limit) -> tuple[str, Ask]:
    """What a row asks to be measured: the name of the measure, and how."""
    return row.measure, Ask(row.metric, row.of, row.between)


def plan_facets(course: Course, height: str) -> dict[str, str]:
    """What a selector sees of the whole plan: discipline, grade, height class, indoors or not."""
    return facets_of(course.discipline, course.grade, height, indoor=course.ring.indoor)


def rows_by_id(rulebook: Rulebook) -> Mapping[str, Sequence[Limit]]:
    """The rows of each limit, in the rulebook's order."""
    rows: dict[str, list[Limit]] = {}
    for row in rulebook.limits:
        rows.setdefault(row.id, []).append(row)
    return rows

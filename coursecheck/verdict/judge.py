"""Judging a plan: every limit of the rulebook against everything that it speaks of."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from coursecheck.course.model import Course
from coursecheck.language import say
from coursecheck.measures import MEASURES, Ask, Facets, Scene, Value
from coursecheck.rulebook.model import SEVERITIES, Limit, Rulebook
from coursecheck.rulebook.resolve import resolve, shortlist
from coursecheck.verdict.compare import Comparison, compare
from coursecheck.verdict.model import OUTCOMES, Finding, Uncovered, Wording

__all__ = ["judge", "plan_facets", "uncovered"]


@dataclass(frozen=True, slots=True)
class _Judging:
    """What stays the same while one plan is judged for one height class, and what was measured for it so far."""

    scene: Scene
    height: str
    facets: Facets
    setting_out_m: float
    taken: dict[tuple[str, Ask], list[Value]] = field(default_factory=dict)

    def values(self, measure: str, ask: Ask) -> list[Value]:
        """The values of a measure; several limits may ask for the same ones."""
        taken = self.taken.get((measure, ask))
        if taken is None:
            taken = self.taken[measure, ask] = list(MEASURES[measure].take(self.scene, ask))
        return taken


class _Judged(NamedTuple):
    """A value that was held against the row that applies to it, and why it is that row unless it was met."""

    result: Comparison
    why: tuple[str, ...]

    @property
    def subject(self) -> tuple[object, ...]:
        """What findings that are the same have in common."""
        value = self.result.value
        return (value.passes, value.obstacles, value.measured, self.result.margin, self.result.outcome)


def plan_facets(course: Course, height: str) -> dict[str, str]:
    """What a selector sees of the whole plan: discipline, grade, height class, indoors or not."""
    return {
        "discipline": course.discipline,
        "grade": course.grade,
        "height": height,
        "indoor": str(course.ring.indoor).lower(),
    }


def judge(rulebook: Rulebook, scenes: Mapping[str, Scene], setting_out_m: float) -> tuple[Finding, ...]:
    """All findings, gravest outcome first, then by severity, limit, passes, obstacles and height.

    Args:
        rulebook: whose limits.
        scenes: the measured scene of each height class.
        setting_out_m: standard deviation of every set-out coordinate, in metres.
    """
    judgings = [
        _Judging(scene, height, plan_facets(scene.course, height), setting_out_m) for height, scene in scenes.items()
    ]
    every: list[str | None] = [None] if len(judgings) > 1 else list(scenes)
    findings: list[Finding] = []
    for rows in rows_by_id(rulebook).values():
        found = {judging.height: list(_apply(rows, judging)) for judging in judgings}
        idle = [height for height, judged in found.items() if not judged]
        findings += _merged(found)
        findings += [_not_applicable(rows, height) for height in (idle if len(idle) < len(found) else every)]
    order: dict[str | None, int] = {None: -1} | {height: i for i, height in enumerate(scenes)}
    return tuple(sorted(findings, key=lambda finding: _rank(finding, order)))


def rows_by_id(rulebook: Rulebook) -> dict[str, list[Limit]]:
    """The rows of each limit, in the rulebook's order."""
    rows: dict[str, list[Limit]] = {}
    for row in rulebook.limits:
        rows.setdefault(row.id, []).append(row)
    return rows


def _apply(rows: Sequence[Limit], judging: _Judging) -> Iterator[_Judged]:
    """Each value of the measure of one limit against the row that applies to it."""
    candidates = shortlist(rows, judging.facets)
    asks: dict[tuple[str, Ask], list[Limit]] = {}
    for row, _ in reversed(candidates.rows):
        asks.setdefault((row.measure, Ask(row.metric, row.of, row.between)), []).append(row)
    sigma_m, units = judging.setting_out_m, judging.scene.course.units
    for (name, ask), asking in asks.items():
        measure = MEASURES[name]
        for value in judging.values(name, ask):
            chosen = candidates.choose(value.facets)
            if chosen is not None and chosen in asking:
                result = compare(value, chosen, measure, setting_out_m=sigma_m, units=units)
                yield _Judged(result, _why(value, rows, judging) if result.outcome != "met" else ())


def _why(value: Value, rows: Sequence[Limit], judging: _Judging) -> tuple[str, ...]:
    return resolve(rows, [{**judging.facets, **facets} for facets in value.facets], explain=True).trace


def _merged(found: Mapping[str, Sequence[_Judged]]) -> Iterator[Finding]:
    """The findings of one limit; those that are the same for every height class are said once and for all of them."""
    said: set[int] = set()
    if len(found) > 1:
        first, *others = found.values()
        indices = [_by_subject(judged) for judged in others]
        for one in first:
            twins = [[two for two in index.get(one.subject, ()) if _alike(one, two)] for index in indices]
            if all(twins):
                yield _finding(one, None)
                said |= {id(one), *(id(two) for same in twins for two in same)}
    for height, judged in found.items():
        yield from (_finding(one, height) for one in judged if id(one) not in said)


def _by_subject(judged: Iterable[_Judged]) -> dict[tuple[object, ...], list[_Judged]]:
    index: dict[tuple[object, ...], list[_Judged]] = {}
    for one in judged:
        index.setdefault(one.subject, []).append(one)
    return index


def _alike(one: _Judged, other: _Judged) -> bool:
    """Whether two findings of a limit are the same but for the height class; other rows may say the same, too."""
    if one.result.value.witness != other.result.value.witness or one.why != other.why:
        return False
    return one.result == other.result or _in_words(one) == _in_words(other)


def _in_words(judged: _Judged) -> Finding:
    said = judged.result
    words = Wording(said.title, said.expected, said.message, said.place, said.figures)
    return _finding(judged, None)._replace(words=words)


def _finding(judged: _Judged, height: str | None) -> Finding:
    result, why = judged
    outcome, margin, chance, value, row, measure, _ = result
    return Finding(
        limit=row.id,
        outcome=outcome,
        severity=row.severity,
        height=height,
        passes=value.passes,
        obstacles=value.obstacles,
        measured=value.measured,
        min=row.min if row.equals is None else row.equals,
        max=row.max if row.equals is None else row.equals,
        unit=measure.unit_of(row.metric),
        margin=margin,
        chance=chance,
        metric=row.metric,
        clause=row.clause,
        basis=row.basis,
        source=row.source,
        witness=value.witness,
        words=result,
        why=why,
    )


def _not_applicable(rows: Sequence[Limit], height: str | None) -> Finding:
    """A limit that nothing in this plan falls under."""
    row = rows[-1]
    measure = MEASURES[row.measure]
    return Finding(
        limit=row.id,
        outcome="not-applicable",
        severity=row.severity,
        height=height,
        passes=(),
        obstacles=(),
        measured=None,
        min=None,
        max=None,
        unit=measure.unit_of(row.metric),
        margin=None,
        chance=None,
        metric=row.metric,
        clause=row.clause,
        basis=row.basis,
        source=row.source,
        witness=None,
        words=Wording(
            say(measure.title),
            "",
            say("{measure}: nothing in this plan falls under this limit", measure=say(measure.title)),
        ),
    )


_GRAVITY = {ranked: i for i, ranked in enumerate(itertools.product(OUTCOMES, SEVERITIES))}
"""Outcomes with severities, from the gravest down."""


def _rank(finding: Finding, order: Mapping[str | None, int]) -> tuple[object, ...]:
    gravity = _GRAVITY[finding.outcome, finding.severity]
    return (gravity, finding.limit, finding.passes, finding.obstacles, order[finding.height])


def uncovered(rulebook: Rulebook) -> tuple[Uncovered, ...]:
    """What the rulebook has no row for: its own list of missing topics, then every measure that no row uses."""
    used = {row.measure for row in rulebook.limits}
    missing = [
        Uncovered(say(topic), say("the rulebook's own figures were not available")) for topic in rulebook.missing
    ]
    unused = [Uncovered(say(m.title), say(m.about)) for name, m in sorted(MEASURES.items()) if name not in used]
    return (*missing, *unused)

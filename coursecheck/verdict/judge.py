"""Judging a plan: every limit of the rulebook against everything that it speaks of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from operator import attrgetter

from coursecheck.course.model import Course
from coursecheck.measures import MEASURES, Ask, Facets, Scene, Value
from coursecheck.rulebook.model import SEVERITIES, Limit, Rulebook
from coursecheck.rulebook.resolve import Resolution, resolve
from coursecheck.verdict.compare import compare, label_words, subject_words
from coursecheck.verdict.model import OUTCOMES, Finding, Uncovered

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
        if (measure, ask) not in self.taken:
            self.taken[measure, ask] = list(MEASURES[measure].take(self.scene, ask))
        return self.taken[measure, ask]


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
    findings: list[Finding] = []
    for rows in rows_by_id(rulebook).values():
        per_height = [list(_apply(rows, judging)) or [_not_applicable(rows, judging)] for judging in judgings]
        findings += _merged(per_height, list(scenes))
    order = {height: i for i, height in enumerate(scenes)}
    return tuple(sorted(findings, key=lambda finding: _rank(finding, order)))


def rows_by_id(rulebook: Rulebook) -> dict[str, list[Limit]]:
    """The rows of each limit, in the rulebook's order."""
    rows: dict[str, list[Limit]] = {}
    for row in rulebook.limits:
        rows.setdefault(row.id, []).append(row)
    return rows


def _apply(rows: Sequence[Limit], judging: _Judging) -> Iterator[Finding]:
    """The findings of one limit: each value of its measure against the row that applies to it."""
    asks = dict.fromkeys((row.measure, _ask(row)) for row in rows if _may_apply(row, judging.facets))
    for name, ask in asks:
        for value in judging.values(name, ask):
            ways = [{**judging.facets, **facets} for facets in value.facets]
            row = resolve(rows, ways).row
            if row is not None and (row.measure, _ask(row)) == (name, ask):
                yield _finding(value, row, rows, ways, judging)


def _ask(row: Limit) -> Ask:
    """What a row asks of its measure."""
    return Ask(row.metric, row.of, row.between)


def _may_apply(row: Limit, plan: Facets) -> bool:
    """Whether the plan as a whole rules a row out already, so that nothing need be measured for it."""
    return all(plan[facet] in words for facet, words in row.where.items() if facet in plan)


def _finding(value: Value, row: Limit, rows: Sequence[Limit], ways: Sequence[Facets], judging: _Judging) -> Finding:
    measure = MEASURES[row.measure]
    units = judging.scene.course.units
    result = compare(value, row, measure, setting_out_m=judging.setting_out_m, units=units)
    explained: Resolution[Limit] | None = resolve(rows, ways, explain=True) if result.outcome != "met" else None
    unit = measure.unit_of(row.metric)
    return Finding(
        limit=row.id,
        title=label_words(value, row, measure),
        outcome=result.outcome,
        severity=row.severity,
        height=judging.height,
        passes=value.passes,
        obstacles=value.obstacles,
        measured=value.measured,
        min=row.equals if row.equals is not None else row.min,
        max=row.equals if row.equals is not None else row.max,
        expected=result.expected,
        unit=unit,
        margin=result.margin,
        chance=result.chance,
        metric=row.metric,
        clause=row.clause,
        basis=row.basis,
        source=row.source,
        message=result.message,
        witness=value.witness,
        place=subject_words(value),
        why=explained.trace if explained else (),
    )


def _not_applicable(rows: Sequence[Limit], judging: _Judging) -> Finding:
    """A limit that nothing in this plan falls under."""
    row = rows[-1]
    measure = MEASURES[row.measure]
    return Finding(
        limit=row.id,
        title=measure.title,
        outcome="not-applicable",
        severity=row.severity,
        height=judging.height,
        passes=(),
        obstacles=(),
        measured=None,
        min=None,
        max=None,
        expected="",
        unit=measure.unit_of(row.metric),
        margin=None,
        chance=None,
        metric=row.metric,
        clause=row.clause,
        basis=row.basis,
        source=row.source,
        message=f"{measure.title}: nothing in this plan falls under this limit",
        witness=None,
    )


_ALL_BUT_HEIGHT = attrgetter(*(item.name for item in fields(Finding) if item.name != "height"))
"""Everything of a finding but its height class."""


def _merged(per_height: Sequence[Sequence[Finding]], heights: Sequence[str]) -> Iterator[Finding]:
    """Findings that are the same for every height class, said once and for all of them."""
    common = [[_ALL_BUT_HEIGHT(finding) for finding in findings] for findings in per_height]
    shared = [bare for bare in common[0] if all(bare in others for others in common[1:])]
    for finding, bare in zip(per_height[0], common[0], strict=True):
        if bare in shared:
            yield replace(finding, height=None) if len(heights) > 1 else finding
    for findings, bares in zip(per_height, common, strict=True):
        yield from (own for own, bare in zip(findings, bares, strict=True) if bare not in shared)


def _rank(finding: Finding, order: Mapping[str, int]) -> tuple[object, ...]:
    height = -1 if finding.height is None else order[finding.height]
    gravity = (OUTCOMES.index(finding.outcome), SEVERITIES.index(finding.severity))
    return (*gravity, finding.limit, finding.passes, finding.obstacles, finding.message, height)


def uncovered(rulebook: Rulebook) -> tuple[Uncovered, ...]:
    """What the rulebook has no row for: its own list of missing topics, then every measure that no row uses."""
    used = {row.measure for row in rulebook.limits}
    missing = [Uncovered(topic, "the rulebook's own figures were not available") for topic in rulebook.missing]
    unused = [Uncovered(m.title, m.about) for name, m in sorted(MEASURES.items()) if name not in used]
    return (*missing, *unused)

"""Judging a plan: every limit of the rulebook against everything that it speaks of."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence

from coursecheck.language import say
from coursecheck.measures import MEASURES, Ask, Measure, Scene, Value
from coursecheck.rulebook.model import SEVERITIES, Limit, Rulebook
from coursecheck.rulebook.resolve import resolve
from coursecheck.verdict.compare import Comparison, compare
from coursecheck.verdict.docket import Docket, Question, docket_of
from coursecheck.verdict.model import OUTCOMES, Finding, Uncovered, Wording

__all__ = ["judge", "rank", "uncovered"]


class _Judging:
    """One plan being judged for one height class."""

    def __init__(self, scene: Scene, docket: Docket) -> None:
        self._scene = scene
        self._docket = docket
        self._taken: dict[tuple[str, Ask], list[Value]] = {}

    def findings(self) -> list[list[Finding]]:
        """What is found of each limit, in the docket's order.

        A value that is the very same object as one of the plan before was held against its row then.
        """
        found: dict[Question, list[Finding]] = {question: [] for question in self._docket.questions}
        posed = [
            (question, i, value)
            for question in found
            for i, (measure, ask, _) in enumerate(question.asks)
            for value in self._values(measure, ask)
        ]
        keys = [(question, i, id(value)) for question, i, value in posed]
        held = self._scene.memo.many("found", keys, lambda missing: (self._held(*posed[k]) for k in missing))
        for (question, _, _), (_, finding) in zip(posed, held, strict=True):
            if finding is not None:
                found[question].append(finding)
        return list(found.values())

    def _values(self, measure: Measure, ask: Ask) -> list[Value]:
        """The values of a measure; several limits may ask for the same ones."""
        key = (measure.name, ask)
        if key not in self._taken:
            self._taken[key] = list(measure.take(self._scene, ask))
        return self._taken[key]

    def _held(self, question: Question, i: int, value: Value) -> tuple[Value, Finding | None]:
        """A value against the row that applies to it, if that is one of those that asked for it.

        It is given back, too: while it is kept, nothing else can come to have its identity.
        """
        measure, _, asking = question.asks[i]
        chosen = question.candidates.choose(value.facets)
        if chosen is None or chosen not in asking:
            return value, None
        docket = self._docket
        result = compare(value, chosen, measure, setting_out_m=docket.setting_out_m, units=docket.units)
        if result.outcome == "met" and not docket.complete:
            return value, None
        why = self._why(value, question.rows) if result.outcome != "met" else ()
        return value, _finding(result, docket.height, why)

    def _why(self, value: Value, rows: Sequence[Limit]) -> tuple[str, ...]:
        seen = [{**self._docket.facets, **facets} for facets in value.facets]
        return resolve(rows, seen, explain=True).trace


def judge(
    rulebook: Rulebook, scenes: Mapping[str, Scene], setting_out_m: float, *, complete: bool = True
) -> tuple[Finding, ...]:
    """The findings, gravest outcome first, then by severity, limit, passes, obstacles and height.

    Args:
        rulebook: whose limits.
        scenes: the measured scene of each height class.
        setting_out_m: standard deviation of every set-out coordinate, in metres.
        complete: whether limits that are met, and those that nothing falls under, are told, too.
    """
    dockets = {
        height: docket_of(rulebook, scene, height, setting_out_m, complete=complete)
        for height, scene in scenes.items()
    }
    judged = {height: _Judging(scene, dockets[height]).findings() for height, scene in scenes.items()}
    every: list[str | None] = [None] if len(scenes) > 1 else list(scenes)
    findings: list[Finding] = []
    for i, question in enumerate(next(iter(dockets.values())).questions):
        found = {height: answers[i] for height, answers in judged.items()}
        findings += _merged(found)
        if complete:
            idle = [height for height, some in found.items() if not some]
            nobody = every if len(idle) == len(found) else idle
            findings += [_not_applicable(question.rows, height) for height in nobody]
    order: dict[str | None, int] = {None: -1} | {height: i for i, height in enumerate(scenes)}
    return tuple(sorted(findings, key=lambda finding: rank(finding, order)))


def _merged(found: Mapping[str, Sequence[Finding]]) -> Iterator[Finding]:
    """The findings of one limit; those that are the same for every height class are said once and for all of them."""
    said: set[int] = set()
    if len(found) > 1:
        first, *others = found.values()
        indices = [_by_subject(findings) for findings in others]
        for one in first:
            twins = [[two for two in index.get(_subject(one), ()) if _alike(one, two)] for index in indices]
            if all(twins):
                yield one._replace(height=None)
                said |= {id(one), *(id(two) for same in twins for two in same)}
    for findings in found.values():
        yield from (one for one in findings if id(one) not in said)


def _subject(finding: Finding) -> tuple[object, ...]:
    """What findings of a limit that are the same have in common."""
    return (finding.passes, finding.obstacles, finding.measured, finding.margin, finding.outcome)


def _by_subject(findings: Iterable[Finding]) -> dict[tuple[object, ...], list[Finding]]:
    index: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        index.setdefault(_subject(finding), []).append(finding)
    return index


def _alike(one: Finding, other: Finding) -> bool:
    """Whether two findings of a limit are the same but for the height class; other rows may say the same, too."""
    if one._replace(height=other.height, words=other.words) != other:
        return False
    return one.words == other.words or one.in_words().words == other.in_words().words


def _finding(result: Comparison, height: str, why: tuple[str, ...]) -> Finding:
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


def rank(finding: Finding, order: Mapping[str | None, int]) -> tuple[object, ...]:
    """Where a finding stands in a verdict; `order` has the height classes in theirs, None among them."""
    gravity = _GRAVITY[finding.outcome, finding.severity]
    return (gravity, finding.limit, finding.passes, finding.obstacles, order[finding.height])


def uncovered(rulebook: Rulebook) -> tuple[Uncovered, ...]:
    """What the rulebook has no row for: its own list of missing topics, then every measure that no row uses."""
    used = {row.measure for row in rulebook.limits}
    missing = [Uncovered(say(topic), say("the rulebook lists it as missing")) for topic in rulebook.missing]
    unused = [Uncovered(say(m.title), say(m.about)) for name, m in sorted(MEASURES.items()) if name not in used]
    return (*missing, *unused)

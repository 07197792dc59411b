"""The judge's report: one HTML file that needs nothing but itself, to read on a screen or print on A4."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from coursecheck.language import capital, say
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.reports.detail import draw_detail
from coursecheck.reports.drawing import Mark, draw_plan
from coursecheck.reports.grouping import Entry, Line, MetLimit, entries_of, met_limits
from coursecheck.reports.leg_columns import bare, leg_tables
from coursecheck.reports.pages import render_page
from coursecheck.reports.strip import draw_strip
from coursecheck.reports.terms import cautions, outcome_words, severity_name, severity_words
from coursecheck.reports.times_notes import times_notes
from coursecheck.reports.walk_digest import digest_page
from coursecheck.reports.wheel_table import reckoner_data, wheel_tables
from coursecheck.reports.wording import (
    accepted_words,
    authority_words,
    count_words,
    expectation_words,
    height_words,
    length_shown,
    place_words,
    provenance,
    rulebook_words,
    run_words,
    speed_words,
    state_words,
    time_shown,
    verdict_reason,
    verdict_words,
)
from coursecheck.resources import folder
from coursecheck.units import format_apart
from coursecheck.verdict.compare import beyond_words, metric_name
from coursecheck.verdict.model import Finding, Verdict
from coursecheck.walk.digest import Digest

__all__ = ["render_html"]

GLANCE = 16  # findings on the first page


@dataclass(frozen=True, slots=True)
class _Row:
    """One sentence of a finding in columns; `told` where the columns do not say all of it."""

    classes: str
    outcome: str
    measured: str
    expected: str
    gap: str
    told: str


@dataclass(frozen=True, slots=True)
class _Item:
    """One numbered finding as the page shows it."""

    number: int
    outcome: str
    state: str
    heading: str
    rule: str
    waived: str
    rows: tuple[_Row, ...]
    why: tuple[str, ...]
    detail: str


@dataclass(frozen=True, slots=True)
class _Group:
    """The findings of one severity."""

    severity: str
    name: str
    meaning: str
    items: tuple[_Item, ...]


def render_html(verdict: Verdict, digest: Digest | None = None) -> str:
    """The report of a verdict.

    Args:
        verdict: what it tells.
        digest: what a walk of the plan had to say; None: the report has no page on it.

    Returns:
        A whole HTML document with its style sheet and drawings inside: no request, no script but the small reckoner
        of times, the same for the same input. Everything that comes from a course file or a rulebook is escaped.
    """
    line_class = _line_class(verdict)
    markup = {
        "plan": _plan(verdict),
        "strip": draw_strip(verdict.scenes[line_class], line_class) or "",
        "reckoner_script": (folder("reports") / "reckoner.js").read_text(encoding="utf-8"),
    }
    walked = None if digest is None else digest_page(digest)
    return render_page("report.html.jinja", "report.css", drawings=markup, walk=walked, **_context(verdict))


def _context(verdict: Verdict) -> dict[str, Any]:
    units = verdict.course.units
    met = [_met_row(limit, verdict) for limit in met_limits(verdict)]
    groups = tuple(_groups(verdict))
    at_once = [(group.name, item) for group in groups for item in group.items]
    return {
        "course": verdict.course,
        "verdict": verdict_words(verdict),
        "legal": verdict.legal,
        "reason": verdict_reason(verdict),
        "rulebook": rulebook_words(verdict),
        "classes": ", ".join(verdict.scenes),
        "counts": count_words(verdict),
        "times": list(_times_rows(verdict)),
        "times_notes": times_notes(verdict),
        "expected": expectation_words(verdict),
        "wheel_tables": wheel_tables(verdict),
        "reckoner_rules": json.dumps(reckoner_data(verdict)),
        "reckoner_start": _reckoner_start(verdict),
        "line_class": _line_class(verdict),
        "groups": groups,
        "glance": at_once[:GLANCE],
        "beyond_glance": len(at_once[GLANCE:]),
        "met": met,
        "met_alike": met[0]["authority"] if len({row["authority"] for row in met}) == 1 else "",
        "uncovered": verdict.uncovered,
        "left_out": verdict.left_out,
        "notes": verdict.notes,
        "not_applicable": _not_applicable(verdict),
        "leg_tables": tuple(leg_tables(verdict)),
        "units": units,
        "provenance": provenance(verdict),
        "cautions": cautions(),
    }


def _line_class(verdict: Verdict) -> str:
    """The class whose line the plan shows: the last, which is the largest by custom."""
    return list(verdict.scenes)[-1]


def _reckoner_start(verdict: Verdict) -> str:
    """The longest length of the plan, for a start."""
    known = [length.length_m for length in verdict.lengths if length.length_m is not None]
    return bare(max(known), "m", verdict.course.units) if known else ""


def _plan(verdict: Verdict) -> str:
    height = _line_class(verdict)
    scene = verdict.scenes[height]
    marks = [
        Mark(
            entry.number,
            entry.worst.outcome,
            say("{title}, {place}", title=entry.worst.title, place=place_words(entry.worst)),
            _shown_at(entry, scene),
        )
        for entry in entries_of(verdict)
    ]
    title = say("Plan of {title}", title=verdict.course.title)
    line_words = say("line, class {height}", height=height)
    return draw_plan(scene, marks, title=title, line_words=line_words, linked=True)


def _shown_at(entry: Entry, scene: Scene) -> Witness | None:
    """Where the flag goes: at what was measured, else at the obstacles; None for the course as a whole."""
    finding = entry.worst
    if not entry.has_place:
        return None
    if finding.witness is not None:
        return finding.witness
    names = finding.obstacles or tuple(scene.passes[number - 1].obstacle for number in finding.passes)
    return Witness("point", tuple(scene.shapes[name].centre for name in names))


def _times_rows(verdict: Verdict) -> Iterator[tuple[str, ...]]:
    """Class, length, speed, SCT, MCT and the expected run, the last empty where the pace is not known."""
    expected = {e.height: run_words(e) for e in verdict.expected}
    for length, times in zip(verdict.lengths, verdict.times, strict=True):
        shown = length_shown(length.length_m, verdict.course.units)
        figures = (shown, speed_words(times.speed_mps), time_shown(times.sct_s), time_shown(times.mct_s))
        yield length.height, *figures, expected.get(length.height, "")


def _groups(verdict: Verdict) -> Iterator[_Group]:
    for severity, entries in groupby(entries_of(verdict), key=lambda entry: entry.worst.severity):
        items = tuple(_item(entry, verdict) for entry in entries)
        yield _Group(severity, severity_name(severity), severity_words(severity), items)


def _item(entry: Entry, verdict: Verdict) -> _Item:
    worst = entry.worst
    waived = worst.waived
    return _Item(
        number=entry.number,
        outcome=worst.outcome,
        state=state_words(worst),
        heading=say("{place}: {title}", place=place_words(worst), title=worst.title),
        rule=_rule_words(worst),
        waived=accepted_words(waived) if waived else "",
        rows=tuple(_row(line, verdict) for line in entry.lines),
        why=worst.why,
        detail=_detail(entry, verdict),
    )


def _detail(entry: Entry, verdict: Verdict) -> str:
    """The place of a finding at a larger scale, where it has one, as markup."""
    from markupsafe import Markup

    finding = entry.worst
    if finding.witness is None or not entry.has_place:
        return ""
    scene = verdict.scenes[finding.height or _line_class(verdict)]
    words = say("Finding {number}, enlarged: {message}", number=entry.number, message=finding.message)
    return Markup(draw_detail(scene, finding, entry.number, words))  # noqa: S704 escaped by its writer


def _rule_words(finding: Finding) -> str:
    words = capital(authority_words(finding))
    return say(
        "{rule} ({limit}, metric {metric}).", rule=words, limit=finding.limit, metric=metric_name(finding.metric)
    )


def _row(line: Line, verdict: Verdict) -> _Row:
    finding = line.finding
    measured, gap = _figures(finding, verdict.course.units)
    return _Row(
        height_words(line.heights, verdict),
        outcome_words(finding.outcome),
        measured,
        finding.expected,
        gap,
        finding.message if finding.outcome in ("unmeasurable", "close") else "",
    )


def _figures(finding: Finding, units: str) -> tuple[str, str]:
    """The measured value, and how far it is beyond the limit or what it has to spare."""
    measured, margin = finding.measured, finding.margin
    if measured is None:
        return say("not measurable"), "–"
    if isinstance(measured, str) or margin is None:
        return say(str(measured)), "–"
    nearest = measured if finding.bound is None else finding.bound
    shown, _, gap = format_apart(measured, nearest if margin else measured, finding.unit, units=units)
    return shown, say("{gap} to spare", gap=gap) if margin >= 0 else beyond_words(gap, short=measured < nearest)


def _margin_words(finding: Finding, units: str) -> str:
    """What a limit that was met has to spare, for a column whose head says so."""
    measured, margin = finding.measured, finding.margin
    if not isinstance(measured, float | int) or margin is None:
        return "–"
    nearest = measured if finding.bound is None or not margin else finding.bound
    return format_apart(measured, nearest, finding.unit, units=units)[2]


def _met_row(limit: MetLimit, verdict: Verdict) -> dict[str, str]:
    finding = limit.tightest.finding
    units = verdict.course.units
    return {
        "title": finding.title,
        "limit": finding.limit,
        "checks": str(limit.checks),
        "place": place_words(finding),
        "classes": height_words(limit.tightest.heights, verdict),
        "measured": _figures(finding, units)[0],
        "expected": finding.expected,
        "gap": _margin_words(finding, units),
        "authority": authority_words(finding, source=False),
    }


def _not_applicable(verdict: Verdict) -> Sequence[str]:
    return list(dict.fromkeys(f"{f.title} ({f.limit})" for f in verdict.findings if f.outcome == "not-applicable"))

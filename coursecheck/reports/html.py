"""The judge's report: one HTML file that needs nothing but itself, to read on a screen or print on A4."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.reports.detail import draw_detail
from coursecheck.reports.drawing import Mark, draw_plan
from coursecheck.reports.grouping import Entry, Line, MetLimit, entries_of, met_limits
from coursecheck.reports.leg_columns import bare, leg_tables
from coursecheck.reports.pages import render_page
from coursecheck.reports.strip import draw_strip
from coursecheck.reports.times_notes import times_notes
from coursecheck.reports.walk_digest import digest_page
from coursecheck.reports.wheel_table import reckoner_data, wheel_tables
from coursecheck.reports.wording import (
    CAUTIONS,
    OUTCOME_WORDS,
    SEVERITY_WORDS,
    authority_words,
    count_words,
    expectation_words,
    height_words,
    place_words,
    printable,
    provenance,
    rulebook_words,
    verdict_reason,
    verdict_words,
)
from coursecheck.resources import folder
from coursecheck.units import format_apart, format_figure
from coursecheck.verdict.model import Finding, Verdict
from coursecheck.walk.digest import Digest

__all__ = ["render_html"]

GLANCE = 16  # findings on the first page
RUNNING_TITLE = 70  # letters of the title in the head of a printed page


@dataclass(frozen=True, slots=True)
class _Row:
    """One sentence of a finding in columns."""

    classes: str
    outcome: str
    measured: str
    expected: str
    gap: str
    message: str


@dataclass(frozen=True, slots=True)
class _Item:
    """One numbered finding as the page shows it."""

    number: int
    outcome: str
    state: str
    title: str
    place: str
    rule: str
    waived: str
    rows: tuple[_Row, ...]
    why: tuple[str, ...]
    detail: str


@dataclass(frozen=True, slots=True)
class _Group:
    """The findings of one severity."""

    severity: str
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
        "running_title": _css_string(verdict.course.title[:RUNNING_TITLE]),
    }
    walked = None if digest is None else digest_page(digest)
    return render_page("report.html.jinja", "report.css", drawings=markup, walk=walked, **_context(verdict))


def _css_string(text: str) -> str:
    """A CSS string in which only letters and digits stand as they are."""
    return '"' + "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):06x}" for c in printable(text)) + '"'


def _context(verdict: Verdict) -> dict[str, Any]:
    units = verdict.course.units
    met = [_met_row(limit, verdict) for limit in met_limits(verdict)]
    groups = tuple(_groups(verdict))
    at_once = [(group.severity, item) for group in groups for item in group.items]
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
        "cautions": CAUTIONS,
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
            f"{entry.worst.title}, {place_words(entry.worst)}",
            _shown_at(entry, scene),
        )
        for entry in entries_of(verdict)
    ]
    title = f"Plan of {verdict.course.title}"
    return draw_plan(scene, marks, title=title, line_words=f"line, class {height}", linked=True)


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
    expected = {e.height: f"{e.typical_s:.0f} s ({e.fast_s:.0f} to {e.slow_s:.0f} s)" for e in verdict.expected}
    for length, times in zip(verdict.lengths, verdict.times, strict=True):
        shown = "–" if length.length_m is None else format_figure(length.length_m, "m", units=verdict.course.units)
        speed = "–" if times.speed_mps is None else f"{times.speed_mps.normalize():f} m/s"
        sct, mct = ("–" if time is None else f"{time} s" for time in (times.sct_s, times.mct_s))
        yield length.height, shown, speed, sct, mct, expected.get(length.height, "")


def _groups(verdict: Verdict) -> Iterator[_Group]:
    for severity, entries in groupby(entries_of(verdict), key=lambda entry: entry.worst.severity):
        yield _Group(severity, SEVERITY_WORDS[severity], tuple(_item(entry, verdict) for entry in entries))


def _item(entry: Entry, verdict: Verdict) -> _Item:
    worst = entry.worst
    waived = worst.waived
    return _Item(
        number=entry.number,
        outcome=worst.outcome,
        state=OUTCOME_WORDS[worst.outcome] + (", waived" if waived else ""),
        title=worst.title,
        place=place_words(worst),
        rule=_rule_words(worst),
        waived=f"Accepted by {waived.who}: {waived.reason}" if waived else "",
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
    words = f"Finding {entry.number}, enlarged: {finding.message}"
    return Markup(draw_detail(scene, finding, entry.number, words))  # noqa: S704 escaped by its writer


def _rule_words(finding: Finding) -> str:
    words = authority_words(finding)
    return f"{words[0].upper()}{words[1:]} ({finding.limit}, metric {finding.metric})."


def _row(line: Line, verdict: Verdict) -> _Row:
    finding = line.finding
    measured, gap = _figures(finding, verdict.course.units)
    return _Row(
        height_words(line.heights, verdict),
        OUTCOME_WORDS[finding.outcome],
        measured,
        finding.expected,
        gap,
        finding.message,
    )


def _figures(finding: Finding, units: str) -> tuple[str, str]:
    """The measured value, and how far it is beyond the limit or what it has to spare."""
    measured, margin = finding.measured, finding.margin
    if measured is None:
        return "not measurable", "–"
    if isinstance(measured, str) or margin is None:
        return str(measured), "–"
    bounds = [bound for bound in (finding.min, finding.max) if bound is not None]
    nearest = min(bounds, key=lambda bound: abs(abs(measured - bound) - abs(margin)), default=measured)
    shown, _, gap = format_apart(measured, nearest if margin else measured, finding.unit, units=units)
    if margin >= 0:
        return shown, f"{gap} to spare"
    return shown, f"{gap} {'short' if measured < nearest else 'too much'}"


def _met_row(limit: MetLimit, verdict: Verdict) -> dict[str, str]:
    finding = limit.tightest.finding
    measured, gap = _figures(finding, verdict.course.units)
    return {
        "title": finding.title,
        "limit": finding.limit,
        "checks": str(limit.checks),
        "place": place_words(finding),
        "classes": height_words(limit.tightest.heights, verdict),
        "measured": measured,
        "expected": finding.expected,
        "gap": gap.removesuffix(" to spare"),
        "authority": authority_words(finding, source=False),
    }


def _not_applicable(verdict: Verdict) -> Sequence[str]:
    return list(dict.fromkeys(f"{f.title} ({f.limit})" for f in verdict.findings if f.outcome == "not-applicable"))

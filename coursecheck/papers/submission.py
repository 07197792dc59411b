"""The submission sheet: what an organiser needs to approve a plan by post, on two pages."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from coursecheck.language import clauses, say
from coursecheck.papers import SIZES_MM, PaperOptions
from coursecheck.papers.plan_sheet import paper_name, shortened
from coursecheck.reports.drawing import MARGINS_MM, Look, draw_plan
from coursecheck.reports.grouping import Entry, entries_of
from coursecheck.reports.pages import render_page
from coursecheck.reports.terms import cautions, severity_name
from coursecheck.reports.times_notes import times_notes
from coursecheck.reports.wording import (
    accepted_words,
    authority_words,
    height_words,
    length_shown,
    place_words,
    provenance,
    rulebook_words,
    speed_words,
    state_words,
    time_shown,
    verdict_reason,
    verdict_words,
)
from coursecheck.verdict.model import Verdict

__all__ = ["render"]

TITLE_LETTERS = 100
MARGIN_MM = (28.0, 46.0)  # of a page, its heading with it


@dataclass(frozen=True, slots=True)
class _Declared:
    """A finding as it is declared: outcome, what and where, the limit's authority, and who accepted it."""

    outcome: str
    severity: str
    message: str
    authority: str
    waived: str


def render(verdict: Verdict, options: PaperOptions) -> str:
    """The declaration on the first pages, the plan on the last."""
    height = options.height_of(verdict)
    width_mm, height_mm = SIZES_MM[options.paper]
    scene = verdict.scenes[height]
    drawing = draw_plan(
        scene,
        title=say("Plan of {title}", title=verdict.course.title),
        line_words=say("line, class {height}", height=height),
        room_mm=(width_mm - MARGIN_MM[0] - MARGINS_MM[0], height_mm - MARGIN_MM[1] - MARGINS_MM[1]),
        look=Look(paper=paper_name(options.paper), line=options.line),
    )
    counts = Counter(say(scene.shape(run).kind.title) for run in scene.passes)
    return render_page(
        "submission.html.jinja",
        "sheets.css",
        "lists.css",
        drawings={"drawing": drawing},
        page_mm=(width_mm, height_mm),
        title=shortened(verdict.course.title, TITLE_LETTERS),
        course=verdict.course,
        rulebook=rulebook_words(verdict),
        verdict=verdict_words(verdict),
        reason=verdict_reason(verdict),
        rows=list(_rows(verdict)),
        notes=times_notes(verdict),
        counts=list(counts.items()),
        loose=[name for name in scene.shapes if not scene.numbers(name)],
        declared=[_declared(entry, verdict) for entry in entries_of(verdict)],
        uncovered=[gap.topic for gap in verdict.uncovered],
        left_out=verdict.left_out,
        hashes=provenance(verdict),
        cautions=cautions(),
    )


def _rows(verdict: Verdict) -> Iterator[tuple[str, ...]]:
    """Class, length, speed, SCT, MCT."""
    for length, times in zip(verdict.lengths, verdict.times, strict=True):
        shown = length_shown(length.length_m, verdict.course.units)
        yield length.height, shown, speed_words(times.speed_mps), time_shown(times.sct_s), time_shown(times.mct_s)


def _declared(entry: Entry, verdict: Verdict) -> _Declared:
    worst = entry.worst
    figures = clauses(
        dict.fromkeys(
            say("{classes}: {words}", classes=height_words(line.heights, verdict), words=line.finding.figures)
            for line in entry.lines
        )
    )
    return _Declared(
        outcome=state_words(worst),
        severity=severity_name(worst.severity),
        message=say("{place}: {title}; {figures}", place=place_words(worst), title=worst.title, figures=figures),
        authority=authority_words(worst, source=False),
        waived=accepted_words(worst.waived) if worst.waived else "",
    )

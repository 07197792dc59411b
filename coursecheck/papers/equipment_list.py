"""The equipment and crew list: what to bring, who is needed, and what changes between the classes."""

from __future__ import annotations

from coursecheck.papers import SIZES_MM, PaperOptions
from coursecheck.papers.needs import changes, heights_words, helpers, needs, things
from coursecheck.papers.plan_sheet import shortened
from coursecheck.reports.pages import render_page
from coursecheck.verdict.model import Verdict

__all__ = ["render"]

TITLE_LETTERS = 100


def render(verdict: Verdict, options: PaperOptions) -> str:
    """A page or two with boxes to tick."""
    width_mm, height_mm = SIZES_MM[options.paper]
    heights = verdict.rulebook.heights
    return render_page(
        "equipment_list.html.jinja",
        "sheets.css",
        "lists.css",
        page_mm=(width_mm, height_mm),
        title=shortened(verdict.course.title, TITLE_LETTERS),
        course=verdict.course,
        classes=[(height, heights_words(heights[height].jump_cm, verdict.course.units)) for height in verdict.scenes],
        needs=needs(verdict),
        store=verdict.course.store is not None,
        things=things(verdict),
        helpers=helpers(verdict),
        changes=changes(verdict),
    )

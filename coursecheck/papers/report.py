"""The judge's report as one of the papers."""

from __future__ import annotations

from coursecheck.papers import PaperOptions
from coursecheck.reports.html import render_html
from coursecheck.verdict.model import Verdict
from coursecheck.walk.digest import digest_of
from coursecheck.walk.walking import walk_scenes

__all__ = ["judges_report", "render"]


def render(verdict: Verdict, _options: PaperOptions) -> str:
    """The report, the same as the command `report` writes."""
    return judges_report(verdict)


def judges_report(verdict: Verdict) -> str:
    """The whole report: the verdict, and what a walk of the plan has to say."""
    return render_html(verdict, digest_of(walk_scenes(verdict.course, verdict.rulebook, verdict.scenes)))

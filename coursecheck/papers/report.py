"""The judge's report as one of the papers."""

from __future__ import annotations

from coursecheck.papers import PaperOptions
from coursecheck.reports.html import render_html
from coursecheck.verdict.model import Verdict

__all__ = ["render"]


def render(verdict: Verdict, _options: PaperOptions) -> str:
    """The report, the same as the command `report` writes."""
    return render_html(verdict)

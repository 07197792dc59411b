"""The papers that the page hands out: made from the file on the disk, so the same as from the command line."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

from coursecheck.checking import check
from coursecheck.judging import Question, Source, judge_plan
from coursecheck.language import say
from coursecheck.verdict.model import Verdict

__all__ = ["PAPERS", "make_paper"]

PAPERS = ("report", "plan", "result", "course", "all")

_LONG_AGO = (1980, 1, 1, 0, 0, 0)  # so that the same papers are the same archive


def make_paper(name: str, file: Path) -> tuple[bytes, str, str]:
    """One of PAPERS: its bytes, its media type, and a name to save it under.

    Raises:
        CoursecheckError: the file cannot be judged.
    """
    stem = "".join(c if c.isascii() and (c.isalnum() or c in "-_") else "-" for c in _stem(file))
    if name == "course":
        return file.read_bytes(), "application/toml", f"{stem}.course.toml"
    verdict = judge_plan(Source(str(file)), Question())
    if name == "report":
        from coursecheck.papers.report import judges_report

        return judges_report(verdict).encode(), "text/html", f"{stem}.html"
    if name == "plan":
        return _plan(verdict).encode(), "image/svg+xml", f"{stem}.svg"
    if name == "all":
        return _archive(verdict), "application/zip", f"{stem}-papers.zip"
    from coursecheck.reports.as_json import render_json

    return render_json(verdict).encode(), "application/json", f"{stem}.json"


def _stem(file: Path) -> str:
    return file.name.removesuffix(".toml").removesuffix(".course")


def _archive(verdict: Verdict) -> bytes:
    """Every paper that needs nothing beside the program, in one file."""
    from coursecheck.papers import PaperOptions, make_papers

    options = PaperOptions(rejudge=lambda course: check(course, verdict.rulebook))
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in make_papers(verdict, options, (), ()):
            archive.writestr(zipfile.ZipInfo(name, _LONG_AGO), content, zipfile.ZIP_DEFLATED)
    return held.getvalue()


def _plan(verdict: Verdict) -> str:
    """The plan with the line of the last height class."""
    from coursecheck.reports.drawing import draw_plan

    height, scene = list(verdict.scenes.items())[-1]
    return draw_plan(scene, title=verdict.course.title, line_words=say("the line of {height}", height=height))

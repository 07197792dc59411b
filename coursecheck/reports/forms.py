"""The forms that the result of a check may take, plan by plan: each plan gives its part, the parts make the whole.

Parts are made where a plan is judged, in whatever process, so that nothing but text has to be kept of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from coursecheck.reports.summary import SummaryRow, render_summary
from coursecheck.verdict.acceptance import Acceptance
from coursecheck.verdict.model import Verdict

__all__ = ["FORMS", "Look", "PlanResult", "part_of", "whole"]

FORMS = ("text", "concise", "json", "sarif", "junit", "csv")


@dataclass(frozen=True, slots=True)
class Look:
    """How results are shown: one of FORMS, the least severity that fails, of text whether in colour and how wide."""

    form: str
    fail_on: str = "must"
    colour: bool = False
    width: int = 100


@dataclass(frozen=True, slots=True)
class PlanResult:
    """What is kept of one plan.

    Attributes:
        row: it in short.
        part: its part of the whole; empty where it could not be judged.
        problem: why it could not be judged; empty where it was.
        grave: whether something counts against it at or above the severity that fails.
        broken: what a baseline keeps of it.
    """

    row: SummaryRow
    part: str = ""
    problem: str = ""
    grave: bool = False
    broken: tuple[Acceptance, ...] = ()

    @property
    def file(self) -> str:
        """The plan, as the user named it."""
        return self.row.file


def part_of(file: str, verdict: Verdict, look: Look) -> str:
    """The part of one plan."""
    if look.form == "json":
        from coursecheck.reports.as_json import render_json

        return render_json(verdict)
    if look.form == "sarif":
        import json

        from coursecheck.reports.sarif import sarif_run

        return json.dumps(sarif_run(verdict))
    if look.form == "junit":
        from coursecheck.reports.junit import junit_suite

        return junit_suite(file, verdict, look.fail_on)
    if look.form == "csv":
        from coursecheck.reports.csv_table import csv_rows

        return csv_rows(file, verdict)
    from coursecheck.reports.terminal import render_concise, render_text

    return (
        render_concise(verdict)
        if look.form == "concise"
        else render_text(verdict, colour=look.colour, width=look.width)
    )


def whole(results: Iterable[PlanResult], look: Look, *, several: bool) -> Iterator[str]:
    """The whole, piece by piece, as the results come.

    Args:
        results: in the order in which they are shown.
        look: how.
        several: whether several plans were asked for, or a folder: then JSON is an array, however many could be
            judged, and text ends with a table of all plans.
    """
    if look.form == "json":
        yield from _json(results, several=several)
    elif look.form == "sarif":
        import json

        from coursecheck.reports.sarif import sarif_log

        known = list(results)
        yield sarif_log((json.loads(r.part) for r in known if r.part), [r.problem for r in known if r.problem])
    elif look.form == "junit":
        from coursecheck.reports.junit import junit_document, junit_error

        yield from junit_document(r.part or junit_error(r.file, r.problem) for r in results)
    elif look.form == "csv":
        from coursecheck.reports.csv_table import csv_header

        yield csv_header()
        yield from (result.part for result in results)
    elif look.form == "concise":
        yield from (result.part for result in results)
    else:
        yield from _text(results, look, several=several)


def _json(results: Iterable[PlanResult], *, several: bool) -> Iterator[str]:
    """One object, or an array of them: the same bytes as from one array rendered at once."""
    parts = (result.part for result in results if result.part)
    if not several:
        yield from parts
        return
    mark = "["
    for part in parts:
        yield f"{mark}\n" + "\n".join(f"  {line}" for line in part.rstrip("\n").split("\n"))
        mark = ","
    yield "[]\n" if mark == "[" else "\n]\n"


def _text(results: Iterable[PlanResult], look: Look, *, several: bool) -> Iterator[str]:
    rows = []
    for result in results:
        rows.append(result.row)
        if result.part:
            yield result.part + ("\n" if several else "")
    if several:
        yield render_summary(rows, colour=look.colour, width=look.width)

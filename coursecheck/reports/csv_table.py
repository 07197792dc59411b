"""The findings as a table for spreadsheets: CSV as in RFC 4180, one line for each finding, whatever its outcome."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from io import StringIO

from coursecheck.reports.wording import printable
from coursecheck.verdict.model import Finding, Verdict

__all__ = ["COLUMNS", "csv_header", "csv_rows", "safe_cell"]

COLUMNS = (
    "plan", "title", "rulebook", "edition", "limit", "severity", "outcome", "waived_by", "waived_because", "height",
    "passes", "obstacles", "measured", "unit", "min", "max", "margin", "chance", "metric", "clause", "basis",
    "source", "message",
)  # fmt: skip


def csv_header() -> str:
    """The line of the columns' names."""
    return _lines([COLUMNS])


def csv_rows(file: str, verdict: Verdict) -> str:
    """The lines of a verdict, then one for each thing that was not checked.

    A cell of text that a spreadsheet would take for a formula gets an apostrophe before it; figures stay figures.
    """
    book, title = verdict.rulebook, verdict.course.title
    head = (file, title, book.id, book.edition)
    rows = [(*head, *_cells(finding)) for finding in verdict.findings]
    rows += [(*head, limit, None, "left-out") for limit in verdict.left_out]
    rows += [(*head, gap.topic, None, "not-covered") for gap in verdict.uncovered]
    padded = [(*row, *(None,) * (len(COLUMNS) - len(row))) for row in rows]
    return _lines([[safe_cell(cell) for cell in row] for row in padded])


def _cells(finding: Finding) -> tuple[object, ...]:
    waived = finding.waived
    return (
        finding.limit,
        finding.severity,
        finding.outcome,
        waived.who if waived else None,
        waived.reason if waived else None,
        finding.height,
        " ".join(map(str, finding.passes)),
        " ".join(finding.obstacles),
        _figure(finding.measured),
        finding.unit,
        _figure(finding.min),
        _figure(finding.max),
        _figure(finding.margin),
        _figure(finding.chance),
        finding.metric,
        finding.clause,
        finding.basis,
        finding.source,
        finding.message,
    )


def _figure(value: float | str | None) -> float | str | None:
    """Rounded to a micrometre, without the sign of a zero."""
    return round(value, 6) + 0.0 if isinstance(value, float | int) else value


def safe_cell(cell: object) -> object:
    """Text on one line that no spreadsheet takes for a formula."""
    if not isinstance(cell, str):
        return cell
    text = printable(cell)
    return f"'{text}" if text.lstrip()[:1] in ("=", "+", "-", "@") and text.strip() else text


def _lines(rows: Iterable[Iterable[object]]) -> str:
    out = StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue()

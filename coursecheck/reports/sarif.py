"""The verdict as SARIF 2.1.0 (OASIS), for programs that show findings of any checker.

One run for each rulebook, with the rulebook's limits as its rules. Results are what a reader has to look at: a breach
has the kind `fail` and the level of its severity, a close one `review`, one that could not be measured `open`. What
was met is in the JSON format. A waived finding keeps its kind and level and has a suppression with the reason.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Iterator, Sequence
from pathlib import PurePath
from typing import Any
from urllib.parse import quote

from coursecheck.documents.lines import nearest_line
from coursecheck.measures import MEASURES
from coursecheck.reports.grouping import SHOWN
from coursecheck.reports.wording import printable
from coursecheck.rulebook.model import Limit
from coursecheck.verdict.docket import rows_by_id
from coursecheck.verdict.model import Finding, Verdict
from coursecheck.version import __version__

__all__ = ["sarif_log", "sarif_run"]

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
LEVELS = {"must": "error", "should": "warning", "note": "note"}
KINDS = {"breach": "fail", "close": "review", "unmeasurable": "open"}


def sarif_run(verdict: Verdict) -> dict[str, Any]:
    """The run of one plan: its rulebook as rules, its findings as results."""
    book, origin = verdict.rulebook, verdict.course.origin
    rules = [_rule(limit, rows) for limit, rows in rows_by_id(book).items()]
    places = {rule["id"]: i for i, rule in enumerate(rules)}
    artifact = {"location": {"uri": _uri(origin.file)}, "hashes": {"sha-256": origin.sha256}} if origin else None
    return {
        "tool": {"driver": {"name": "coursecheck", "version": __version__, "rules": rules}},
        "automationDetails": {"id": f"coursecheck/{book.id}/{book.sha256[:12]}"},
        "properties": {"rulebook": book.id, "edition": book.edition, "coverage": book.coverage},
        "artifacts": [artifact] if artifact else [],
        "invocations": [{"executionSuccessful": True, "toolExecutionNotifications": list(_notes(verdict))}],
        "results": [
            _result(finding, places[finding.limit], verdict)
            for finding in verdict.findings
            if finding.outcome in SHOWN
        ],
    }


def sarif_log(runs: Iterable[dict[str, Any]], problems: Sequence[str]) -> str:
    """The whole log: runs by the same rulebook put together, in the order of the plans.

    Args:
        runs: one for each plan; the first by each rulebook takes the others up.
        problems: what is to be said about the plans that could not be judged.
    """
    together: dict[str, dict[str, Any]] = {}
    for run in runs:
        first = together.setdefault(run["automationDetails"]["id"], run)
        if first is not run:
            first["artifacts"] += run["artifacts"]
            first["results"] += run["results"]
            notes = first["invocations"][0]["toolExecutionNotifications"]
            notes += run["invocations"][0]["toolExecutionNotifications"]
    if problems:
        unread = [{"level": "error", "message": _message(problem)} for problem in problems]
        driver = {"name": "coursecheck", "version": __version__}
        together[""] = {
            "tool": {"driver": driver},
            "invocations": [{"executionSuccessful": False, "toolExecutionNotifications": unread}],
            "results": [],
        }
    log = {"$schema": SCHEMA, "version": "2.1.0", "runs": list(together.values())}
    return json.dumps(log, indent=2, sort_keys=True, allow_nan=False) + "\n"


def _notes(verdict: Verdict) -> Iterator[dict[str, Any]]:
    """What a reader has to know about the run, the limits that were left out among it."""
    origin = verdict.course.origin
    at = {"locations": [{"physicalLocation": {"artifactLocation": {"uri": _uri(origin.file)}}}]} if origin else {}
    left_out = f"left out by selection, so not checked: {', '.join(verdict.left_out)}" if verdict.left_out else ""
    for note in (*verdict.notes, *([left_out] if left_out else [])):
        yield {"level": "note", "message": _message(note), **at}


def _rule(limit: str, rows: Sequence[Limit]) -> dict[str, Any]:
    row = rows[-1]
    measure = MEASURES[row.measure]
    sources = dict.fromkeys(f"{f'clause {r.clause}, ' if r.clause else ''}basis {r.basis}: {r.source}" for r in rows)
    return {
        "id": limit,
        "shortDescription": {"text": printable(measure.title)},
        "fullDescription": {"text": printable(rows[0].about or measure.about)},
        "help": {"text": printable(f"{measure.about} {'; '.join(sources)}")},
        "defaultConfiguration": {"level": LEVELS[row.severity]},
        "properties": {"measure": row.measure, "severity": row.severity},
    }


def _result(finding: Finding, rule: int, verdict: Verdict) -> dict[str, Any]:
    kind = KINDS[finding.outcome]
    known_by = "|".join((finding.limit, *sorted(set(finding.obstacles)), finding.height or ""))
    height = f" [{finding.height}]" if finding.height else ""
    result: dict[str, Any] = {
        "ruleId": finding.limit,
        "ruleIndex": rule,
        "kind": kind,
        "level": LEVELS[finding.severity] if kind == "fail" else "none",
        "message": _message(finding.message + height),
        "locations": [_location(finding, verdict)],
        "partialFingerprints": {"limitAndObstacles/v1": hashlib.sha256(known_by.encode()).hexdigest()},
        "properties": {
            "severity": finding.severity,
            "countsAgainst": finding.counts_against,
            "height": finding.height,
            "passes": list(finding.passes),
            "measured": finding.measured,
            "expected": finding.expected,
            "margin": finding.margin,
            "unit": finding.unit,
            "clause": finding.clause,
            "basis": finding.basis,
        },
    }
    if finding.waived:
        words = printable(f"{finding.waived.reason} ({finding.waived.who})")
        result["suppressions"] = [{"kind": "external", "status": "accepted", "justification": words}]
    return result


def _location(finding: Finding, verdict: Verdict) -> dict[str, Any]:
    """The line of the first obstacle, or of the sequence, and the names of all of them."""
    course = verdict.course
    location: dict[str, Any] = {}
    if finding.obstacles:
        location["logicalLocations"] = [{"name": name, "kind": "element"} for name in finding.obstacles]
    if course.origin is None:
        return location
    index = {obstacle.id: i for i, obstacle in enumerate(course.obstacles)}
    first = next((index[name] for name in finding.obstacles if name in index), None)
    line = nearest_line(course.origin.lines, "sequence.run" if first is None else f"obstacle[{first}]")
    region = {"region": {"startLine": line}} if line else {}
    return {**location, "physicalLocation": {"artifactLocation": {"uri": _uri(course.origin.file)}, **region}}


def _message(text: str) -> dict[str, str]:
    """A message; braces would stand for arguments."""
    return {"text": printable(text).replace("{", "{{").replace("}", "}}")}


def _uri(file: str) -> str:
    """A file's name as a URI: relative as it was given, or absolute."""
    path = PurePath(file)
    return path.as_uri() if path.is_absolute() else quote(os.fsencode(path.as_posix()), safe="/~")

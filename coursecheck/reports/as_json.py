"""The verdict as JSON, format 1, and its schema: for other programs, the same bytes for the same input."""

from __future__ import annotations

import json
from dataclasses import fields
from decimal import Decimal
from typing import Any

from coursecheck.measures.model import Witness
from coursecheck.measures.running import Expectation
from coursecheck.reports.schema_parts import (
    COUNT,
    NUMBER,
    NUMBER_OR_NOTHING,
    SHA256,
    TEXT,
    TEXT_OR_NOTHING,
    array,
    closed,
    nullable,
    one_of,
)
from coursecheck.rulebook.model import SEVERITIES
from coursecheck.times import Times
from coursecheck.verdict.model import OUTCOMES, CourseLength, Finding, Verdict
from coursecheck.version import __version__

__all__ = ["FORMAT", "json_schema", "render_json"]

FORMAT = 1
_DECIMALS = 6


def render_json(verdict: Verdict) -> str:
    """One verdict as a JSON object."""
    return json.dumps(_result(verdict), indent=2, sort_keys=True, allow_nan=False) + "\n"


def _result(verdict: Verdict) -> dict[str, Any]:
    course, book = verdict.course, verdict.rulebook
    origin = course.origin
    return {
        "format": FORMAT,
        "tool": {"name": "coursecheck", "version": __version__},
        "course": {
            "title": course.title,
            "file": origin.file if origin else None,
            "sha256": origin.sha256 if origin else None,
        },
        "rulebook": {
            "id": book.id,
            "edition": book.edition,
            "sha256": book.sha256,
            "coverage": book.coverage,
            "missing": list(book.missing),
        },
        "verdict": "legal" if verdict.legal else "not-legal",
        "lengths": [_length(length) for length in verdict.lengths],
        "times": [_times(times) for times in verdict.times],
        "expected": [_expectation(expectation) for expectation in verdict.expected],
        "counts": {**verdict.counts(), "waived": verdict.waived},
        "findings": [_finding(finding) for finding in verdict.findings],
        "uncovered": [{"topic": gap.topic, "about": gap.about} for gap in verdict.uncovered],
        "options": dict(verdict.options),
        "left_out": list(verdict.left_out),
        "notes": list(verdict.notes),
    }


def _number(value: float | Decimal | None) -> float | None:
    """Rounded to a micrometre, without the sign of a zero."""
    return None if value is None else round(float(value), _DECIMALS) + 0.0


def _length(length: CourseLength) -> dict[str, Any]:
    return {
        "height": length.height,
        "length_m": _number(length.length_m),
        "how": length.how,
        "turn_radius_m": _number(length.turn_radius_m),
        "from": length.start,
        "to": length.end,
        "why_not": length.why_not or None,
    }


def _expectation(expectation: Expectation) -> dict[str, Any]:
    return {
        name: (value if isinstance(value, str) else _point(value) if isinstance(value, tuple) else _number(value))
        for name, value in ((field.name, getattr(expectation, field.name)) for field in fields(expectation))
    }


def _point(point: tuple[float, float]) -> list[float | None]:
    return [_number(coordinate) for coordinate in point]


def _times(times: Times) -> dict[str, Any]:
    return {
        "height": times.height,
        "length_m": _number(times.length_m),
        "speed_mps": _number(times.speed_mps),
        "sct_s": _number(times.sct_s),
        "mct_s": _number(times.mct_s),
        "sct_rule": times.sct_rule or None,
        "mct_rule": times.mct_rule or None,
        "sct_why_not": times.sct_why_not or None,
        "mct_why_not": times.mct_why_not or None,
        "notes": list(times.notes),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    measured, waived = finding.measured, finding.waived
    return {
        "limit": finding.limit,
        "outcome": finding.outcome,
        "severity": finding.severity,
        "height": finding.height,
        "passes": list(finding.passes),
        "obstacles": list(finding.obstacles),
        "measured": measured if isinstance(measured, str) else _number(measured),
        "min": _number(finding.min),
        "max": _number(finding.max),
        "expected": finding.expected,
        "unit": finding.unit,
        "margin": _number(finding.margin),
        "chance": _number(finding.chance),
        "metric": finding.metric,
        "clause": finding.clause,
        "basis": finding.basis,
        "source": finding.source,
        "message": finding.message,
        "witness": _witness(finding.witness),
        "why": list(finding.why),
        "waived": {"who": waived.who, "reason": waived.reason} if waived else None,
    }


def _witness(witness: Witness | None) -> dict[str, Any] | None:
    if witness is None:
        return None
    return {"type": witness.type, "points": [[_number(x), _number(y)] for x, y in witness.points]}


def json_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of what `render_json` gives, and of an array of such results."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "The result of a coursecheck check, format 1",
        "description": "One result, or an array of them where several plans were checked. Metres, seconds, degrees.",
        "anyOf": [{"$ref": "#/$defs/result"}, array({"$ref": "#/$defs/result"})],
        "$defs": {
            "result": _result_schema(),
            "finding": _finding_schema(),
            "length": closed(
                **{"from": TEXT},
                height=TEXT,
                length_m=NUMBER_OR_NOTHING,
                how=one_of("line", "centres", "wheel"),
                turn_radius_m=NUMBER_OR_NOTHING,
                to=TEXT,
                why_not=TEXT_OR_NOTHING,
            ),
            "expected": closed(
                height=TEXT,
                fast_s=NUMBER,
                typical_s=NUMBER,
                slow_s=NUMBER,
                fastest_mps=NUMBER,
                slowest_mps=NUMBER,
                fastest_at=TEXT,
                slowest_at=TEXT,
                fastest_point=array(NUMBER, minItems=2, maxItems=2),
                slowest_point=array(NUMBER, minItems=2, maxItems=2),
            ),
            "times": closed(
                height=TEXT,
                length_m=NUMBER_OR_NOTHING,
                speed_mps=NUMBER_OR_NOTHING,
                sct_s=NUMBER_OR_NOTHING,
                mct_s=NUMBER_OR_NOTHING,
                sct_rule=TEXT_OR_NOTHING,
                mct_rule=TEXT_OR_NOTHING,
                sct_why_not=TEXT_OR_NOTHING,
                mct_why_not=TEXT_OR_NOTHING,
                notes=array(TEXT),
            ),
        },
    }


def _result_schema() -> dict[str, Any]:
    return closed(
        format={"const": FORMAT},
        tool=closed(name={"const": "coursecheck"}, version=TEXT),
        course=closed(title=TEXT, file=TEXT_OR_NOTHING, sha256=nullable(SHA256)),
        rulebook=closed(
            id=TEXT, edition=TEXT, sha256=SHA256, coverage=one_of("full", "partial"), missing=array(TEXT)
        ),
        verdict=one_of("legal", "not-legal"),
        lengths=array({"$ref": "#/$defs/length"}),
        times=array({"$ref": "#/$defs/times"}),
        expected=array({"$ref": "#/$defs/expected"}),
        counts=closed(**dict.fromkeys((*OUTCOMES, "waived"), COUNT)),
        findings=array({"$ref": "#/$defs/finding"}),
        uncovered=array(closed(topic=TEXT, about=TEXT)),
        options={"type": "object", "additionalProperties": TEXT},
        left_out=array(TEXT),
        notes=array(TEXT),
    )


def _finding_schema() -> dict[str, Any]:
    point = array(NUMBER, minItems=2, maxItems=2)
    return closed(
        limit=TEXT,
        outcome=one_of(*(outcome for outcome in OUTCOMES if outcome != "not-covered")),
        severity=one_of(*SEVERITIES),
        height=TEXT_OR_NOTHING,
        passes=array({"type": "integer", "minimum": 1}),
        obstacles=array(TEXT),
        measured={"type": ["number", "string", "null"]},
        min=NUMBER_OR_NOTHING,
        max=NUMBER_OR_NOTHING,
        expected=TEXT,
        unit=one_of("m", "m2", "deg", "s", "count", "kind"),
        margin=NUMBER_OR_NOTHING,
        chance=nullable({"type": "number", "minimum": 0, "maximum": 1}),
        metric=TEXT,
        clause=TEXT,
        basis=one_of("text", "summary", "practice", "memory"),
        source=TEXT,
        message=TEXT,
        witness=nullable(closed(type=one_of("point", "segment", "path", "area"), points=array(point))),
        why=array(TEXT),
        waived=nullable(closed(who=TEXT, reason=TEXT)),
    )

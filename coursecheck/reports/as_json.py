"""The verdict as JSON, format 1, and its schema: for other programs, the same bytes for the same input."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import fields
from decimal import Decimal
from typing import Any

from coursecheck.measures.model import Witness
from coursecheck.measures.running import Expectation
from coursecheck.rulebook.model import SEVERITIES
from coursecheck.times import Times
from coursecheck.verdict.model import OUTCOMES, CourseLength, Finding, Verdict
from coursecheck.version import __version__

__all__ = ["FORMAT", "json_schema", "render_json", "render_json_list"]

FORMAT = 1
_DECIMALS = 6


def render_json(verdict: Verdict) -> str:
    """One verdict as a JSON object."""
    return _dump(_result(verdict))


def render_json_list(verdicts: Sequence[Verdict]) -> str:
    """Several verdicts as a JSON array, in the order given."""
    return _dump([_result(verdict) for verdict in verdicts])


def _dump(document: object) -> str:
    return json.dumps(document, indent=2, sort_keys=True, allow_nan=False) + "\n"


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


# The schema, from small makers: every object is closed and every key is always there.

_TEXT = {"type": "string"}
_TEXT_OR_NOTHING = {"type": ["string", "null"]}
_NUMBER = {"type": "number"}
_NUMBER_OR_NOTHING = {"type": ["number", "null"]}
_COUNT = {"type": "integer", "minimum": 0}
_SHA256 = {"type": "string", "pattern": "^[0-9a-f]{64}$"}


def _object(**keys: object) -> dict[str, Any]:
    return {"type": "object", "properties": keys, "required": sorted(keys), "additionalProperties": False}


def _array(items: object, **more: object) -> dict[str, Any]:
    return {"type": "array", "items": items, **more}


def _one_of(*words: str) -> dict[str, Any]:
    return {"enum": list(words)}


def _nullable(schema: object) -> dict[str, Any]:
    return {"anyOf": [schema, {"type": "null"}]}


def json_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of what `render_json` and `render_json_list` give."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "The result of a coursecheck check, format 1",
        "description": "One result, or an array of them where several plans were checked. Metres, seconds, degrees.",
        "anyOf": [{"$ref": "#/$defs/result"}, _array({"$ref": "#/$defs/result"})],
        "$defs": {
            "result": _result_schema(),
            "finding": _finding_schema(),
            "length": _object(
                **{"from": _TEXT},
                height=_TEXT,
                length_m=_NUMBER_OR_NOTHING,
                how=_one_of("line", "centres", "wheel"),
                turn_radius_m=_NUMBER_OR_NOTHING,
                to=_TEXT,
                why_not=_TEXT_OR_NOTHING,
            ),
            "expected": _object(
                height=_TEXT,
                fast_s=_NUMBER,
                typical_s=_NUMBER,
                slow_s=_NUMBER,
                fastest_mps=_NUMBER,
                slowest_mps=_NUMBER,
                fastest_at=_TEXT,
                slowest_at=_TEXT,
                fastest_point=_array(_NUMBER, minItems=2, maxItems=2),
                slowest_point=_array(_NUMBER, minItems=2, maxItems=2),
            ),
            "times": _object(
                height=_TEXT,
                length_m=_NUMBER_OR_NOTHING,
                speed_mps=_NUMBER_OR_NOTHING,
                sct_s=_NUMBER_OR_NOTHING,
                mct_s=_NUMBER_OR_NOTHING,
                sct_rule=_TEXT_OR_NOTHING,
                mct_rule=_TEXT_OR_NOTHING,
                sct_why_not=_TEXT_OR_NOTHING,
                mct_why_not=_TEXT_OR_NOTHING,
                notes=_array(_TEXT),
            ),
        },
    }


def _result_schema() -> dict[str, Any]:
    return _object(
        format={"const": FORMAT},
        tool=_object(name={"const": "coursecheck"}, version=_TEXT),
        course=_object(title=_TEXT, file=_TEXT_OR_NOTHING, sha256=_nullable(_SHA256)),
        rulebook=_object(
            id=_TEXT, edition=_TEXT, sha256=_SHA256, coverage=_one_of("full", "partial"), missing=_array(_TEXT)
        ),
        verdict=_one_of("legal", "not-legal"),
        lengths=_array({"$ref": "#/$defs/length"}),
        times=_array({"$ref": "#/$defs/times"}),
        expected=_array({"$ref": "#/$defs/expected"}),
        counts=_object(**dict.fromkeys((*OUTCOMES, "waived"), _COUNT)),
        findings=_array({"$ref": "#/$defs/finding"}),
        uncovered=_array(_object(topic=_TEXT, about=_TEXT)),
        options={"type": "object", "additionalProperties": _TEXT},
        left_out=_array(_TEXT),
        notes=_array(_TEXT),
    )


def _finding_schema() -> dict[str, Any]:
    point = _array({"type": "number"}, minItems=2, maxItems=2)
    return _object(
        limit=_TEXT,
        outcome=_one_of(*(outcome for outcome in OUTCOMES if outcome != "not-covered")),
        severity=_one_of(*SEVERITIES),
        height=_TEXT_OR_NOTHING,
        passes=_array({"type": "integer", "minimum": 1}),
        obstacles=_array(_TEXT),
        measured={"type": ["number", "string", "null"]},
        min=_NUMBER_OR_NOTHING,
        max=_NUMBER_OR_NOTHING,
        expected=_TEXT,
        unit=_one_of("m", "m2", "deg", "s", "count", "kind"),
        margin=_NUMBER_OR_NOTHING,
        chance=_nullable({"type": "number", "minimum": 0, "maximum": 1}),
        metric=_TEXT,
        clause=_TEXT,
        basis=_one_of("text", "summary", "practice", "memory"),
        source=_TEXT,
        message=_TEXT,
        witness=_nullable(_object(type=_one_of("point", "segment", "path", "area"), points=_array(point))),
        why=_array(_TEXT),
        waived=_nullable(_object(who=_TEXT, reason=_TEXT)),
    )

"""The JSON Schema of a course walk as JSON, format 1."""

from __future__ import annotations

from typing import Any

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
from coursecheck.walk.handler import HANDLERS
from coursecheck.walk.remark import KINDS

__all__ = ["walk_schema"]

NUMBER_OF_PASS = {"type": "integer", "minimum": 1}
NUMBER_FROM_0 = {"type": "number", "minimum": 0}
NUMBER_OR_NOTHING_FROM_0 = nullable(NUMBER_FROM_0)
BOTH = array(NUMBER_OF_PASS, minItems=2, maxItems=2)
POINT = array(NUMBER, minItems=2, maxItems=2)


def walk_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of what `render_walk_json` gives."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A coursecheck course walk, format 1",
        "description": "What a plan will be like to run, by height class. Metres, seconds, degrees. Never a verdict.",
        **closed(
            format={"const": 1},
            tool=closed(name={"const": "coursecheck"}, version=TEXT),
            course=closed(title=TEXT, file=TEXT_OR_NOTHING, sha256=nullable(SHA256)),
            rulebook=closed(id=TEXT, sha256=SHA256),
            figures=array({"$ref": "#/$defs/figure"}),
            start=nullable(
                closed(
                    side=TEXT, what=one_of("wall", "open", "entrance", "exit"), distance_m=NUMBER_FROM_0, point=POINT
                )
            ),
            judge=closed(stops=array({"$ref": "#/$defs/stop"}), unseen=array(TEXT)),
            classes=array(
                closed(
                    height=TEXT,
                    legs=array({"$ref": "#/$defs/leg"}),
                    flow=_flow(),
                    plans=array({"$ref": "#/$defs/plan"}),
                    remarks=array({"$ref": "#/$defs/remark"}),
                )
            ),
        ),
        "$defs": {"figure": _figure(), "stop": _stop(), "leg": _leg(), "plan": _plan(), "remark": _remark()},
    }


def _figure() -> dict[str, Any]:
    return closed(
        id=TEXT,
        value={"type": "number", "exclusiveMinimum": 0},
        unit=one_of("m", "m/s", "m/s2", "deg", "s", "times", "%", "count", "points"),
        about=TEXT,
        basis=one_of("published", "practice", "assumption", "changed"),
        source=TEXT,
    )


def _stop() -> dict[str, Any]:
    return closed(
        place=POINT,
        passes=array(NUMBER_OF_PASS, minItems=1),
        seen=array(TEXT, minItems=1),
        way_m=NUMBER_FROM_0,
        time_s=NUMBER_OR_NOTHING_FROM_0,
        hurried={"type": "boolean"},
        uncertain={"type": "boolean"},
    )


def _flow() -> dict[str, Any]:
    return closed(left_deg=NUMBER_FROM_0, right_deg=NUMBER_FROM_0, tight_turns=COUNT, points_a_leg=NUMBER_FROM_0)


def _leg() -> dict[str, Any]:
    return closed(
        passes=BOTH,
        obstacles=array(TEXT, minItems=2, maxItems=2),
        length_m=NUMBER_OR_NOTHING_FROM_0,
        left_deg=NUMBER_OR_NOTHING_FROM_0,
        right_deg=NUMBER_OR_NOTHING_FROM_0,
        why_not=TEXT_OR_NOTHING,
        time_s=NUMBER_OR_NOTHING,
        mean_mps=NUMBER_OR_NOTHING,
        in_sight_s=NUMBER_OR_NOTHING,
        in_sight_throughout={"type": ["boolean", "null"]},
        difficulty={"type": "object", "additionalProperties": NUMBER_FROM_0},
    )


def _plan() -> dict[str, Any]:
    return closed(
        handler=one_of(*HANDLERS),
        speed_mps=NUMBER_FROM_0,
        cost=NUMBER_FROM_0,
        changes=array(closed(passes=BOTH, how=one_of("front cross", "rear cross"))),
        late=array(closed(passes=BOTH, late_s=NUMBER_FROM_0)),
        places=array(
            closed(
                **{"pass": NUMBER_OF_PASS},
                side=one_of("left", "right"),
                far={"type": "boolean"},
                ahead_m=NUMBER,
                point=POINT,
                runs={"type": "boolean"},
            )
        ),
    )


def _remark() -> dict[str, Any]:
    return closed(
        kind=one_of(*KINDS),
        passes=array(NUMBER_OF_PASS, minItems=1),
        obstacles=array(TEXT, minItems=1),
        facts=array(
            closed(name=TEXT, value=NUMBER, unit=one_of("m", "m/s", "deg", "s", "%", "count", "points")), minItems=1
        ),
        sentence=TEXT,
        hangs_on=array(TEXT, minItems=1),
        uncertain=array(TEXT),
        weight={"type": "number", "minimum": 0, "maximum": 1},
        witness=closed(type=one_of("point", "segment", "path", "area"), points=array(POINT, minItems=1)),
    )

"""A course walk as JSON: sorted, the same bytes for the same input."""

from __future__ import annotations

import json
from typing import Any

from coursecheck.version import __version__
from coursecheck.walk.figures import Figure, Figures
from coursecheck.walk.first_sight import Sight
from coursecheck.walk.flow import Difficulty, Flow
from coursecheck.walk.handler import HandlingPlan, stretches
from coursecheck.walk.legs import Leg
from coursecheck.walk.remark import Remark
from coursecheck.walk.start import Facing
from coursecheck.walk.walking import Walk

__all__ = ["render_walk_json"]

DECIMALS = 6


def render_walk_json(walked: Walk) -> str:
    """The whole walk: per height class the legs with their figures and the remarks, and the figures of the model."""
    origin = walked.course.origin
    whole = {
        "format": 1,
        "tool": {"name": "coursecheck", "version": __version__},
        "course": {
            "title": walked.course.title,
            "file": origin.file if origin else None,
            "sha256": origin.sha256 if origin else None,
        },
        "rulebook": {"id": walked.rulebook.id, "sha256": walked.rulebook.sha256},
        "figures": [_figure(figure) for figure in walked.figures],
        "start": _start(walked.facing),
        "judge": {
            "stops": [
                {
                    "place": [_round(c) for c in stop.place],
                    "passes": list(stop.passes),
                    "seen": list(stop.seen),
                    "way_m": _round(stop.way_m),
                    "time_s": None if stop.time_s is None else _round(stop.time_s),
                    "hurried": stop.hurried,
                    "uncertain": stop.uncertain,
                }
                for stop in walked.judge.stops
            ],
            "unseen": list(walked.judge.unseen),
        },
        "classes": [
            {
                "height": height,
                "legs": [
                    _leg(leg, sight, hard)
                    for leg, sight, hard in zip(one.legs, one.sights, one.flow.difficulty, strict=True)
                ],
                "flow": _flow(one.flow),
                "plans": [_plan(plan, walked.figures) for plan in one.plans],
                "remarks": [_remark(made) for made in one.remarks],
            }
            for height, one in walked.classes.items()
        ],
    }
    return json.dumps(whole, allow_nan=False, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def _round(value: float) -> float:
    return round(value, DECIMALS) + 0.0  # + 0.0: never minus zero


def _figure(figure: Figure) -> dict[str, Any]:
    return {
        "id": figure.id,
        "value": figure.value,
        "unit": figure.unit,
        "about": figure.about,
        "basis": figure.basis,
        "source": figure.source,
    }


def _start(facing: Facing | None) -> dict[str, Any] | None:
    if facing is None:
        return None
    point = [_round(c) for c in facing.point]
    return {"side": facing.side, "what": facing.what, "distance_m": _round(facing.distance_m), "point": point}


def _flow(flow: Flow) -> dict[str, Any]:
    return {
        "left_deg": _round(flow.left_deg),
        "right_deg": _round(flow.right_deg),
        "tight_turns": flow.tight_turns,
        "points_a_leg": _round(flow.mean_points),
    }


def _leg(leg: Leg, sight: Sight | None, difficulty: Difficulty) -> dict[str, Any]:
    motion = leg.motion
    return {
        "passes": [leg.before.number, leg.after.number],
        "obstacles": [leg.before.obstacle, leg.after.obstacle],
        "length_m": None if leg.problem else _round(leg.length_m),
        "left_deg": None if leg.problem else _round(leg.left_deg),
        "right_deg": None if leg.problem else _round(leg.right_deg),
        "why_not": leg.problem,
        "time_s": None if motion is None else _round(motion.time_s),
        "mean_mps": None if motion is None else _round(motion.mean_mps),
        "in_sight_s": None if sight is None else _round(sight.seen_s),
        "in_sight_throughout": None if sight is None else sight.whole,
        "difficulty": {name: _round(points) for name, points in difficulty.parts},
    }


def _plan(plan: HandlingPlan, figures: Figures) -> dict[str, Any]:
    places = [(plan.legs[0].start, False), *((leg.end, leg.runs_in) for leg in plan.legs)]
    return {
        "handler": plan.handler,
        "speed_mps": plan.speed_mps,
        "cost": _round(plan.cost),
        "changes": [{"passes": [leg.start.number, leg.end.number], "how": leg.change} for leg in plan.changes],
        "late": [
            {
                "passes": [plan.legs[one.first].start.number, plan.legs[one.last].end.number],
                "late_s": _round(one.short_s),
            }
            for one in stretches(plan, figures)
        ],
        "places": [
            {
                "pass": place.number,
                "side": place.side,
                "far": place.far,
                "ahead_m": _round(place.along_m),
                "point": [_round(c) for c in place.point],
                "runs": runs,
            }
            for place, runs in places
        ],
    }


def _remark(made: Remark) -> dict[str, Any]:
    return {
        "kind": made.kind,
        "passes": list(made.passes),
        "obstacles": list(made.obstacles),
        "facts": [{"name": f.name, "value": _round(f.value), "unit": f.unit} for f in made.facts],
        "sentence": made.sentence,
        "hangs_on": list(made.hangs_on),
        "uncertain": list(made.uncertain),
        "weight": _round(made.weight),
        "witness": {
            "type": made.witness.type,
            "points": [[_round(x), _round(y)] for x, y in made.witness.points],
        },
    }

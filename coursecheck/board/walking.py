"""The course walk as the page shows it: the remarks at their places, and for each leg what dog and handler do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from coursecheck.course.model import Course
from coursecheck.geometry.frames import Point
from coursecheck.language import capital
from coursecheck.measures.scene import Scene
from coursecheck.reports.walk_drawing import view_cone
from coursecheck.reports.walk_words import advice, doubt_in_full, leg_title, leg_words, start_words
from coursecheck.reports.wording import printable
from coursecheck.rulebook.model import Rulebook
from coursecheck.walk.handler import HandlingPlan
from coursecheck.walk.handler_ground import Ground
from coursecheck.walk.merging import Shared, shared_remarks
from coursecheck.walk.names import handler_word
from coursecheck.walk.walking import ClassWalk, Walk, walk_scenes

__all__ = ["walk_of"]


def walk_of(course: Course, book: Rulebook, height: str, scene: Scene) -> dict[str, Any]:
    """The walk of one height class.

    Args:
        course: the plan.
        book: its rulebook.
        height: the class.
        scene: the plan measured for it.

    Returns:
        As data for JSON; points are metres in the ring's frame.
    """
    walked = walk_scenes(course, book, {height: scene})
    one = walked.classes[height]
    remarks = sorted(shared_remarks(walked), key=lambda shared: shared.remark.whole)
    return {
        "height": height,
        "start": printable(capital(start_words(walked))),
        "legs": list(_legs(walked, height, one)),
        "handlers": {plan.handler: handler_word(plan.handler) for plan in one.plans},
        "remarks": [_remark(shared, walked) for shared in remarks],
        "advice": advice(),
    }


def _legs(walked: Walk, height: str, one: ClassWalk) -> Iterator[dict[str, Any]]:
    """What is drawn and said of each leg."""
    ground = one.ground
    for i, (leg, sight, hard) in enumerate(zip(one.legs, one.sights, one.flow.difficulty, strict=True)):
        waits = one.scene.way(leg.before).form == "stop"
        yield {
            "number": leg.before.number,
            "title": printable(capital(leg_title(walked, height, leg))),
            "words": printable(capital(leg_words(leg, sight, hard))),
            "cone": [] if waits else _rounded(view_cone(leg, walked.figures["view"])),
            "way": _rounded(one.scene.track(leg.before)) if leg.problem is None else [],
            "handlers": {plan.handler: _route(ground, plan, i) for plan in one.plans},
        }


def _route(ground: Ground, plan: HandlingPlan, index: int) -> list[list[float]]:
    """The way of a handler on a leg, round what stands there."""
    start, end = plan.legs[index].start.point, plan.legs[index].end.point
    return _rounded(ground.route(start, end) or (start, end))


def _remark(shared: Shared, walked: Walk) -> dict[str, Any]:
    made = shared.remark
    return {
        "leg": 0 if made.whole else made.leg,
        "sentence": printable(made.sentence),
        "doubt": doubt_in_full(shared, walked),
        "obstacles": list(made.obstacles),
        "witness": None if made.whole else {"type": made.witness.type, "points": _rounded(made.witness.points)},
    }


def _rounded(points: Sequence[Point]) -> list[list[float]]:
    return [[round(x, 3) + 0.0, round(y, 3) + 0.0] for x, y in points]

"""Straight runs before take-off and after landing: as the line has them, and as the ground leaves room for them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.frames import Point, heading_rad
from coursecheck.geometry.segments import Pose, Segment, reversed_segments
from coursecheck.measures.legs import TWO_POINTS, apart
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import PASS, leg_values, measure, pass_facets
from coursecheck.measures.rooms import straight_rooms_m
from coursecheck.measures.scene import Scene

__all__ = ["landing_rooms_m", "landing_run_m", "run_up_m", "run_up_rooms_m"]

STRAIGHT_DEG = 10.0  # a line that bends by no more than this counts as straight; common practice, no source


def _straight_start(pieces: Sequence[Segment]) -> float | None:
    """How far some pieces run on before they have turned by more than STRAIGHT_DEG off their first direction.

    None where they never do: a sum of their lengths could not tell, since in another order it is another float.
    """
    limit, turned, run = math.radians(STRAIGHT_DEG), 0.0, 0.0
    for piece in pieces:
        ahead = turned + piece.turn_rad
        if abs(ahead) > limit:
            allowed = math.copysign(limit, piece.curvature) - turned
            return run + allowed / piece.curvature
        turned, run = ahead, run + piece.length_m
    return None


def run_up_m(scene: Scene, before: Pass) -> float:
    """The straight part of a leg before the next take-off or entry; of a straight leg, back to the last exit."""
    index = before.number - 1
    leg, run = scene.line.legs[index], scene.line.passes[index]
    straight = _straight_start(reversed_segments(leg.segments))
    return leg.length_m + run.after_m if straight is None else straight


def landing_run_m(scene: Scene, before: Pass) -> float:
    """The straight part of a leg after landing or exit; of a straight leg, on to the next entry."""
    index = before.number - 1
    leg, run = scene.line.legs[index], scene.line.passes[index + 1]
    straight = _straight_start(leg.segments)
    return leg.length_m + run.before_m if straight is None else straight


def run_up_rooms_m(scene: Scene) -> list[float]:
    """For each leg, the longest straight run-up that there is room for before the middle of the next obstacle."""
    return _rooms_m(scene, _run_up)


def landing_rooms_m(scene: Scene) -> list[float]:
    """For each leg, the longest straight run that there is room for from the landing beyond the middle."""
    return _rooms_m(scene, _landing)


def _rooms_m(scene: Scene, ends: Callable[[Scene, int], tuple[Pose, Pose]]) -> list[float]:
    """For each leg the room between some ends of it."""
    radius_m = scene.line.runner.turn_radius_m
    keys = [(leg, radius_m) for leg in scene.leg_keys]
    return scene.memo.many(
        f"room {ends.__name__}", keys, lambda missing: straight_rooms_m([ends(scene, i) for i in missing], radius_m)
    )


def _run_up(scene: Scene, leg: int) -> tuple[Pose, Pose]:
    """The start of a leg, and where its last straight ends: the take-off for the middle of the next obstacle."""
    before, after = scene.line.passes[leg : leg + 2]
    return before.exit, _through(scene.way(scene.passes[leg + 1]).entry).ahead(-after.before_m)


def _landing(scene: Scene, leg: int) -> tuple[Pose, Pose]:
    """The same the other way round: from the end of a leg back to the landing beyond the middle of its start."""
    before, after = scene.line.passes[leg : leg + 2]
    landing = _through(scene.way(scene.passes[leg]).exit).ahead(before.after_m)
    return after.entry.turned(), landing.turned()


def _through(portal: Portal) -> Pose:
    return Pose(*portal.centre, heading_rad(portal.bearing_deg))


@measure(
    "run-up",
    title="straight run-up",
    unit="m",
    about="The straight part of the line before the dog takes off for an obstacle or enters it.",
    metrics={
        "line": "along the dog's line, back from take-off or entry as far as it bends by no more than 10 degrees",
        "room": "the longest straight, through the middle of the obstacle, that the way from the last landing "
        "or exit leaves room for at the runner's turn radius and without a loop",
    },
    facets=PASS,
    never={"pass": ("first",)},
)
def _run_up_values(scene: Scene, ask: Ask) -> Iterator[Value]:
    rooms = run_up_rooms_m(scene) if ask.metric == "room" else [None] * len(scene.line.legs)

    def taken(before: Pass, run: Pass) -> Value:
        room = rooms[before.number - 1]
        straight = run_up_m(scene, before) if room is None else room
        entry = scene.line.passes[run.number - 1].entry
        return _straight_value(scene, before, run, run, straight, (entry.ahead(-straight).point, entry.point))

    return leg_values(scene, f"run-up {ask.metric}", taken, rooms)


@measure(
    "landing-run",
    title="straight run after landing",
    unit="m",
    about="The straight part of the line after the dog has landed or left an obstacle, before it turns.",
    metrics={
        "line": "along the dog's line, from landing or exit as far as it bends by no more than 10 degrees",
        "room": "the longest straight, from the middle of the obstacle, that the way to the next take-off or entry "
        "leaves room for at the runner's turn radius and without a loop",
    },
    facets=PASS,
    never={"pass": ("last",)},
)
def _landing_run_values(scene: Scene, ask: Ask) -> Iterator[Value]:
    rooms = landing_rooms_m(scene) if ask.metric == "room" else [None] * len(scene.line.legs)

    def taken(run: Pass, after: Pass) -> Value:
        room = rooms[run.number - 1]
        straight = landing_run_m(scene, run) if room is None else room
        leave = scene.line.passes[run.number - 1].exit
        return _straight_value(scene, run, after, run, straight, (leave.point, leave.ahead(straight).point))

    return leg_values(scene, f"landing-run {ask.metric}", taken, rooms)


def _straight_value(
    scene: Scene, before: Pass, after: Pass, of: Pass, straight: float, ends: tuple[Point, Point]
) -> Value:
    problem = scene.line.legs[before.number - 1].problem
    return Value(
        measured=None if problem else straight,
        passes=(before.number, after.number),
        obstacles=(before.obstacle, after.obstacle),
        witness=Witness("segment", ends),
        facets=(pass_facets(scene, of),),
        spread=apart(before, after, TWO_POINTS),
        why_not=problem or "",
    )

"""Straight runs before take-off and after landing: as the line has them, and as the ground leaves room for them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.frames import Point, heading_rad
from coursecheck.geometry.segments import Pose, Segment, reversed_segments
from coursecheck.measures.legs import TWO_POINTS
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import PASS, leg_values, measure, pass_facets
from coursecheck.measures.scene import Scene
from coursecheck.path.words import SIDES, Floats, solve

__all__ = ["landing_rooms_m", "landing_run_m", "run_up_m", "run_up_rooms_m", "straight_rooms_m"]

STRAIGHT_DEG = 10.0  # a line that bends by no more than this counts as straight; common practice, no source
LEGS_AT_ONCE = 10  # legs that are tried together: more of them no longer fit the processor's nearest memory


def _straight_start(pieces: Sequence[Segment]) -> float:
    """How far some pieces run on before they have turned by more than STRAIGHT_DEG off their first direction."""
    limit, turned, run = math.radians(STRAIGHT_DEG), 0.0, 0.0
    for piece in pieces:
        ahead = turned + piece.turn_rad
        if abs(ahead) > limit:
            allowed = math.copysign(limit, piece.curvature) - turned
            return run + allowed / piece.curvature
        turned, run = ahead, run + piece.length_m
    return run


def run_up_m(scene: Scene, before: Pass) -> float:
    """The straight part of a leg before the next take-off or entry; of a straight leg, back to the last exit."""
    index = before.number - 1
    leg, run = scene.line.legs[index], scene.line.passes[index]
    straight = _straight_start(reversed_segments(leg.segments))
    return straight + (run.after_m if straight >= leg.length_m else 0.0)


def landing_run_m(scene: Scene, before: Pass) -> float:
    """The straight part of a leg after landing or exit; of a straight leg, on to the next entry."""
    index = before.number - 1
    leg, run = scene.line.legs[index], scene.line.passes[index + 1]
    straight = _straight_start(leg.segments)
    return straight + (run.before_m if straight >= leg.length_m else 0.0)


def run_up_rooms_m(scene: Scene) -> list[float]:
    """For each leg, the longest straight run-up that there is room for before the middle of the next obstacle."""
    return [before_m for before_m, _ in _rooms_m(scene)]


def landing_rooms_m(scene: Scene) -> list[float]:
    """For each leg, the longest straight run that there is room for from the landing beyond the middle."""
    return [beyond_m for _, beyond_m in _rooms_m(scene)]


def _rooms_m(scene: Scene) -> list[tuple[float, float]]:
    """For each leg the room at its end and at its start: both are wanted mostly, and few rows cost what many do."""
    radius_m = scene.line.runner.turn_radius_m

    def measured(missing: list[int]) -> Iterator[tuple[float, float]]:
        for k in range(0, len(missing), LEGS_AT_ONCE):
            some = missing[k : k + LEGS_AT_ONCE]
            starts, ends = zip(*(_run_up(scene, i) for i in some), *(_landing(scene, i) for i in some), strict=True)
            rooms = straight_rooms_m(starts, ends, radius_m).tolist()
            yield from zip(rooms[: len(some)], rooms[len(some) :], strict=True)

    return scene.memo.many("rooms", [(leg, radius_m) for leg in scene.leg_keys], measured)


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


def straight_rooms_m(starts: Sequence[Pose], ends: Sequence[Pose], radius_m: float) -> Floats:
    """How long the last straight into each end can be on a way from its start, in metres, shape (n,).

    A way is a curve of bounded curvature that turns, in all, by no more than half a circle, or a quarter more than
    the headings ask for: it makes no loop. Found to a few micrometres by narrowing a row of lengths four times.
    """
    if not starts:
        return np.zeros(0)
    start = np.array([(pose.x, pose.y, pose.heading) for pose in starts])
    end = np.array([(pose.x, pose.y, pose.heading) for pose in ends])
    needed = np.abs(np.remainder(end[:, 2] - start[:, 2] + np.pi, 2 * np.pi) - np.pi)
    allowed = np.maximum(np.pi, needed + np.pi / 2)[:, None]
    low, high = np.zeros(len(start)), np.hypot(*(end[:, :2] - start[:, :2]).T)
    share = np.linspace(0.0, 1.0, 33)
    found, rows = np.zeros(len(start)), np.arange(len(start))
    for _ in range(4):
        lengths = low[:, None] + (high - low)[:, None] * share
        last = _longest_fit(start[rows], end[rows], lengths, allowed[rows], radius_m)
        between = (last >= 0) & (last < len(share) - 1)  # where all fit or none does, nothing is left to find
        found[rows] = np.where(last >= 0, lengths[np.arange(len(rows)), np.maximum(last, 0)], 0.0)
        rows, lengths, last = rows[between], lengths[between], last[between]
        column = np.arange(len(rows))
        low, high = lengths[column, last], lengths[column, last + 1]
        if not len(rows):
            break
    return found


def _longest_fit(start: Floats, end: Floats, lengths: Floats, allowed: Floats, radius_m: float) -> NDArray[np.int64]:
    """Of each row of lengths, the column of the longest one that some word allows; -1 where none does."""
    ends = np.empty((*lengths.shape, 3))
    ends[..., 0] = end[:, :1] - lengths * np.cos(end[:, 2:])
    ends[..., 1] = end[:, 1:2] - lengths * np.sin(end[:, 2:])
    ends[..., 2] = end[:, 2:]
    words = solve(np.broadcast_to(start[:, None, :], ends.shape), ends, radius_m)
    arcs = np.einsum("pw,pw...->w...", np.abs(SIDES.T), words.pieces)
    fits = np.any(np.isfinite(words.lengths_m) & (arcs <= allowed + 1e-9), axis=0)
    last = lengths.shape[1] - 1 - np.argmax(fits[:, ::-1], axis=1)
    return np.where(fits.any(axis=1), last, -1)


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
        spread=TWO_POINTS,
        why_not=problem or "",
    )

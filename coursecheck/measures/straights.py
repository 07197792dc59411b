"""Straight runs before take-off and after landing: as the line has them, and as the ground leaves room for them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from coursecheck.course.model import Pass
from coursecheck.geometry.frames import Point, heading_rad, turn_rad
from coursecheck.geometry.segments import Pose, Segment, reversed_segments
from coursecheck.measures.legs import TWO_POINTS
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import legs, measure, pass_facets
from coursecheck.measures.scene import Scene
from coursecheck.path.words import SIDES, solve

__all__ = ["landing_room_m", "landing_run_m", "run_up_m", "run_up_room_m", "straight_room_m"]

STRAIGHT_DEG = 10.0  # a line that bends by no more than this counts as straight; common practice, no source


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


def run_up_room_m(scene: Scene, before: Pass, run: Pass) -> float:
    """The longest straight run-up that there is room for, to the take-off before the middle of the obstacle."""
    portal, takeoff_m = scene.way(run).entry, scene.line.passes[run.number - 1].before_m
    end = Pose(*portal.centre, heading_rad(portal.bearing_deg)).ahead(-takeoff_m)
    return straight_room_m(scene.line.passes[before.number - 1].exit, end, scene.line.runner.turn_radius_m)


def landing_room_m(scene: Scene, run: Pass, after: Pass) -> float:
    """The longest straight run that there is room for, from the landing beyond the middle of the obstacle."""
    portal, landing_m = scene.way(run).exit, scene.line.passes[run.number - 1].after_m
    landing = Pose(*portal.centre, heading_rad(portal.bearing_deg)).ahead(landing_m)
    entry = scene.line.passes[after.number - 1].entry
    return straight_room_m(entry.turned(), landing.turned(), scene.line.runner.turn_radius_m)


def straight_room_m(start: Pose, end: Pose, radius_m: float) -> float:
    """How long the last straight into `end` can be on a way from `start`, in metres.

    A way is a curve of bounded curvature that turns, in all, by no more than half a circle, or a quarter more than
    the headings ask for: it makes no loop. Found to a few micrometres by narrowing a row of lengths four times.
    """
    allowed = max(math.pi, abs(turn_rad(start.heading, end.heading)) + math.pi / 2)
    low, high = 0.0, math.dist(start.point, end.point)
    for _ in range(4):
        lengths = np.linspace(low, high, 33)
        ends = np.column_stack(
            (
                end.x - lengths * math.cos(end.heading),
                end.y - lengths * math.sin(end.heading),
                np.full_like(lengths, end.heading),
            )
        )
        starts = np.broadcast_to(np.array([start.x, start.y, start.heading]), ends.shape)
        words = solve(starts, ends, radius_m)
        arcs = np.einsum("pw,pwn->wn", np.abs(SIDES.T), words.pieces)
        fits = np.any(np.isfinite(words.lengths_m) & (arcs <= allowed + 1e-9), axis=0)
        if not fits.any():
            return 0.0
        last = int(np.flatnonzero(fits)[-1])
        if last == len(lengths) - 1:
            return float(lengths[last])
        low, high = float(lengths[last]), float(lengths[last + 1])
    return low


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
)
def _run_up(scene: Scene, ask: Ask) -> Iterator[Value]:
    for before, run in legs(scene):
        leg = scene.line.legs[before.number - 1]
        straight = run_up_m(scene, before) if ask.metric == "line" else run_up_room_m(scene, before, run)
        entry = scene.line.passes[run.number - 1].entry
        yield _straight_value(
            scene, before, run, run, straight, leg.problem, (entry.ahead(-straight).point, entry.point)
        )


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
)
def _landing_run(scene: Scene, ask: Ask) -> Iterator[Value]:
    for run, after in legs(scene):
        leg = scene.line.legs[run.number - 1]
        straight = landing_run_m(scene, run) if ask.metric == "line" else landing_room_m(scene, run, after)
        leave = scene.line.passes[run.number - 1].exit
        yield _straight_value(
            scene, run, after, run, straight, leg.problem, (leave.point, leave.ahead(straight).point)
        )


def _straight_value(
    scene: Scene, before: Pass, after: Pass, of: Pass, straight: float, problem: str | None, ends: tuple[Point, Point]
) -> Value:
    return Value(
        measured=None if problem else straight,
        passes=(before.number, after.number),
        obstacles=(before.obstacle, after.obstacle),
        witness=Witness("segment", ends),
        facets=(pass_facets(scene, of),),
        spread=TWO_POINTS,
        why_not=problem or "",
    )

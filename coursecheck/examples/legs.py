"""Plans for what is measured from one obstacle to the next."""

from __future__ import annotations

import math
from dataclasses import replace

from coursecheck.course.model import Blocked
from coursecheck.examples.layout import Asked, Edges, Sketch, box, chain, measured_by, place, sketch
from coursecheck.geometry.frames import Frame

USUAL_M = 6.0
TURNED_DEG = {"straight": 0.0, "angled": 65.0, "side": 110.0, "back": 160.0}
USUAL_PACE_MPS = 4.0
WOUND = (
    (300.0, (-5.0, -5.0), 90.0, None),
    (345.0, (0.0, 5.0), 180.0, "right"),
    (math.inf, (0.0, 5.0), 270.0, "right"),
)
"""Turning of up to so many degrees: where the next obstacle stands, its bearing, and which way the dog must turn."""
HALF_WIDTH_M = 6.0
"""Of a ring that screens stand across."""


@measured_by("leg-distance")
def _leg_distance(asked: Asked, wanted: float) -> Sketch:
    return _two(asked, max(wanted, 0.1), TURNED_DEG[asked.subject.get("turn", "straight")])


def _two(asked: Asked, gap_m: float, turned_deg: float) -> Sketch:
    """Two obstacles, the second so far off straight on."""
    first, leave = place("a", asked.before, (0.0, 0.0))
    entry = Frame(leave, 90.0 + turned_deg).place(gap_m, 0.0)
    second, _ = place("b", asked.after, entry, 90.0 + turned_deg)
    return sketch([first, second])


@measured_by("legs-between")
def _legs_between(asked: Asked, wanted: float) -> Sketch:
    low, high = asked.between or (0.0, 2 * USUAL_M)
    within = (low + min(high, low + 1.0)) / 2
    beyond = high + 1.0 if low < USUAL_M else USUAL_M - 1.0
    count = max(0, round(wanted))
    return sketch(chain(["jump"] * (count + 2), [*[within] * count, beyond]))


@measured_by("leg-turn")
def _leg_turn(asked: Asked, wanted: float) -> Sketch:
    if asked.metric == "centres":
        return _two(asked, USUAL_M, min(wanted, 180.0))
    if wanted <= 180.0:
        return _two(asked, USUAL_M, wanted)
    _, spot, bearing, turn = next(wound for wound in WOUND if wanted <= wound[0])
    first, _ = place("a", asked.before, (0.0, 0.0))
    second, _ = place("b", asked.after, spot, bearing)
    plan = sketch([first, second])
    passes = (replace(plan.course.passes[0], turn=turn), *plan.course.passes[1:])
    return replace(plan, course=replace(plan.course, passes=passes))


def _screen(x: float, low: float, high: float) -> Blocked:
    """A screen that stands square to the way."""
    return Blocked("screen", outline=((x, low), (x + 0.2, low), (x + 0.2, high), (x, high)))


@measured_by("leg-radius")
def _leg_radius(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.before, (0.0, 0.0))
    second, _ = place("b", asked.after, (leave[0], 5.0), 270.0)
    return sketch([first, second], turn_radius_m=max(wanted, 0.1))


@measured_by("missing-line")
def _missing_line(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.before, (0.0, 0.0))
    second, _ = place("b", asked.after, (leave[0] + USUAL_M, 0.0))
    fence = [_screen(leave[0] + USUAL_M / 2, -HALF_WIDTH_M, HALF_WIDTH_M)] if wanted >= 1.0 else []
    return sketch([first, second], edges=Edges(bottom=-HALF_WIDTH_M, top=HALF_WIDTH_M), blocked=fence)


@measured_by("line-through")
def _line_through(asked: Asked, wanted: float) -> Sketch:
    if wanted < 1.0:
        first, leave = place("a", asked.before, (0.0, 0.0))
        second, _ = place("b", asked.after, (leave[0] + USUAL_M, 0.0))
        return sketch([first, second, place("c", "jump", (leave[0] + USUAL_M / 2, 5.0), 0.0)[0]], ["a", "b"])
    first, between, second = chain([asked.before, "jump", asked.after], [5.0, 5.0])
    _, low, _, high = box([between])
    screens = [_screen(between.at[0], -HALF_WIDTH_M, low), _screen(between.at[0], high, HALF_WIDTH_M)]
    edges = Edges(bottom=-HALF_WIDTH_M, top=HALF_WIDTH_M)
    return sketch([first, between, second], [first.id, second.id], edges=edges, blocked=screens)


@measured_by("leg-time")
def _leg_time(asked: Asked, wanted: float) -> Sketch:
    on_ground_m = max(wanted, 0.0) * USUAL_PACE_MPS
    return _two(asked, asked.runner.landing_m + on_ground_m + asked.runner.takeoff_m, 0.0)

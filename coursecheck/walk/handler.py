"""A handling plan: where a model handler is at every pass, found as the cheapest way through places on either side.

A place is left or right of the dog, near or far, ahead, level or behind, at the moment when the dog takes off for a
pass or enters it. From place to place the handler has the time that the dog takes. Dynamic programming over the
passes finds the plan of the least cost: effort, changes of side, being outside a turn, far away or behind. All costs
are figures of the model.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import DOUBT, Figures
from coursecheck.walk.handler_ground import Floats, Ground, Place, places_of
from coursecheck.walk.legs import Leg, pass_spans_m
from coursecheck.walk.names import name_of
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["HANDLERS", "HandlerLeg", "HandlingPlan", "handler_remarks", "leg_costs", "plans_of"]

HANDLERS = ("slow", "middling", "fast")
LATE_COST = 20.0  # times the share of its time: more than any plan costs that gets there in time
MOST_RATIO = 50.0  # a way that would take this many times the time there is, or does not exist, costs no more
LEAST_S = 1e-6  # two passes on one spot leave no time at all
TURN_DEG = 45.0  # from here on a turn has an inside and an outside
ROUND_M = 2.0  # a detour of this much separates handler and dog


@dataclass(frozen=True, slots=True)
class HandlerLeg:
    """What the handler does while the dog goes from one entry to the next.

    Attributes:
        start, end: where the handler is.
        way_m: the way between, round everything that stands there; infinite where there is none.
        time_s: how long the dog takes.
        change: "front cross" (or a blind one: before the dog), "rear cross" (behind it), or nothing.
        spare_s: the time that is left over; negative: it has to sprint.
        late: even 15 % faster than it is it would not be there in time.
    """

    start: Place
    end: Place
    way_m: float
    time_s: float
    change: str
    spare_s: float
    late: bool

    @property
    def needs_mps(self) -> float:
        """The speed at which it could be done, without the time of a turn-round."""
        return self.way_m / self.time_s if self.time_s > 0.0 else math.inf

    @property
    def round_m(self) -> float:
        """How much longer the way is than the straight between its ends."""
        return self.way_m - math.dist(self.start.point, self.end.point)


@dataclass(frozen=True, slots=True)
class HandlingPlan:
    """The cheapest plan of one model handler.

    Attributes:
        handler: "slow", "middling" or "fast".
        speed_mps: how fast.
        legs: what to do from entry to entry.
        cost: in points.
    """

    handler: str
    speed_mps: float
    legs: tuple[HandlerLeg, ...]
    cost: float

    @property
    def changes(self) -> tuple[HandlerLeg, ...]:
        """The legs with a change of side."""
        return tuple(leg for leg in self.legs if leg.change)

    @property
    def late(self) -> tuple[HandlerLeg, ...]:
        """The legs on which the handler cannot be there in time."""
        return tuple(leg for leg in self.legs if leg.late)


def plans_of(
    scene: Scene, legs: Sequence[Leg], figures: Figures, handlers: Sequence[str] = HANDLERS
) -> tuple[HandlingPlan, ...]:
    """The cheapest plan of each model handler; none where the pace is not known or a place cannot be stood at."""
    profile = scene.profile
    if profile is None or not legs:
        return ()
    ground = Ground.of(scene)
    places = places_of(scene, ground, figures)
    if not all(places):
        return ()
    entries = [profile.time_at(start) for start, _ in pass_spans_m(scene)]
    times = [b - a for a, b in itertools.pairwise(entries)]
    ways = ground.ways([[place.point for place in row] for row in places])
    return tuple(_cheapest(name, places, ways, times, legs, figures) for name in handlers)


def _cheapest(
    handler: str,
    places: Sequence[Sequence[Place]],
    ways: Sequence[Floats],
    times: Sequence[float],
    legs: Sequence[Leg],
    figures: Figures,
) -> HandlingPlan:
    """Dynamic programming from the last pass back to the first."""
    speed = figures[f"handler-{handler}"]
    rest = np.zeros(len(places[-1]))
    chosen = []
    for i in range(len(legs) - 1, -1, -1):
        costs = leg_costs(places[i], places[i + 1], ways[i], times[i], speed, legs[i], figures)
        total = np.round(costs + rest[None, :], 9)
        chosen.append(np.argmin(total, axis=1))
        rest = np.min(total, axis=1)
    chosen.reverse()
    at = int(np.argmin(rest))
    cost, done = float(rest[at]), []
    for i in range(len(legs)):
        to = int(chosen[i][at])
        done.append(_done(places[i][at], places[i + 1][to], float(ways[i][at, to]), times[i], speed, figures))
        at = to
    return HandlingPlan(handler, speed, tuple(done), cost)


def leg_costs(
    starts: Sequence[Place],
    ends: Sequence[Place],
    ways: Floats,
    time_s: float,
    speed_mps: float,
    leg: Leg,
    figures: Figures,
) -> Floats:
    """What it costs a handler to get from each place to each place of the next pass, in points.

    The square of the share of its time that the way takes, and what the figures say for a change of side, for being
    outside the turn, far away or behind. Who would need over 15 % more than its speed is too late.

    Args:
        starts: places at the one pass.
        ends: places at the next.
        ways: the ways between them in metres, infinite where there is none, shape (starts, ends).
        time_s: how long the dog takes.
        speed_mps: how fast the handler is.
        leg: the dog's leg.
        figures: the figures of the model.

    Returns:
        Shape (starts, ends).
    """
    crosses = np.array([start.side for start in starts])[:, None] != np.array([end.side for end in ends])[None, :]
    along = np.array([end.along_m for end in ends])
    front, rear = crosses & (along >= 0.0)[None, :], crosses & (along < 0.0)[None, :]
    needed = ways / speed_mps + figures["handler-turn-round"] * front
    ratio = np.minimum(MOST_RATIO, needed / max(time_s, LEAST_S))
    costs: Floats = np.where(ratio > 1.0 + DOUBT, LATE_COST * ratio, ratio**2)
    costs += figures["cost-front-cross"] * front + figures["cost-rear-cross"] * rear
    turned = abs(leg.right_deg - leg.left_deg) >= TURN_DEG
    outside = np.array([turned and end.side != leg.side for end in ends])
    costs += (figures["cost-outside"] * outside + figures["cost-far"] * np.array([end.far for end in ends]))[None, :]
    costs += (figures["cost-behind"] * np.maximum(0.0, -along) / figures["handler-lead"])[None, :]
    return costs


def _done(start: Place, end: Place, way_m: float, time_s: float, speed_mps: float, figures: Figures) -> HandlerLeg:
    """One leg of a plan in words and figures."""
    change = ""
    if start.side != end.side:
        change = "front cross" if end.along_m >= 0.0 else "rear cross"
    needed = way_m / speed_mps + (figures["handler-turn-round"] if change == "front cross" else 0.0)
    late = min(MOST_RATIO, needed / max(time_s, LEAST_S)) > 1.0 + DOUBT
    return HandlerLeg(start, end, way_m, time_s, change, time_s - needed, late)


def handler_remarks(
    scene: Scene, legs: Sequence[Leg], plans: Sequence[HandlingPlan], figures: Figures
) -> Iterator[Remark]:
    """Legs on which a model handler cannot be there in time, and legs that take it round something."""
    for i, leg in enumerate(legs):
        late = [plan for plan in plans if plan.legs[i].late]
        if late:
            yield from filter(None, [_too_late(scene, leg, late[-1], late[-1].legs[i], figures)])
        elif plans and plans[-1].legs[i].round_m >= ROUND_M:
            yield _separated(scene, leg, plans[-1], plans[-1].legs[i])


def _too_late(scene: Scene, leg: Leg, plan: HandlingPlan, done: HandlerLeg, figures: Figures) -> Remark | None:
    figure = f"handler-{plan.handler}"
    way = (
        f"run {done.way_m:.1f} m in {done.time_s:.1f} s"
        if math.isfinite(done.way_m)
        else "get there by no way at all"
    )
    facts = (Fact("way", done.way_m, "m"), Fact("time", done.time_s, "s"), Fact("too late", -done.spare_s, "s"))
    return remark(
        "handler-late",
        [Condition(done.needs_mps, "at-least", figure)],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=[fact for fact in facts if math.isfinite(fact.value)],
        witness=Witness("segment", (done.start.point, done.end.point)),
        sentence=(
            f"From {name_of(scene, leg.before)} to {name_of(scene, leg.after)} the best plan of a {plan.handler} "
            f"handler ({plan.speed_mps:.1f} m/s) fails: it would have to {way}. Only distance handling works."
        ),
        weight=0.7,
    )


def _separated(scene: Scene, leg: Leg, plan: HandlingPlan, done: HandlerLeg) -> Remark:
    return Remark(
        kind="handler-round",
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("way", done.way_m, "m"), Fact("detour", done.round_m, "m")),
        witness=Witness("segment", (done.start.point, done.end.point)),
        sentence=(
            f"From {name_of(scene, leg.before)} to {name_of(scene, leg.after)} something stands between handler and "
            f"dog: the way round it is {done.round_m:.1f} m longer than the straight."
        ),
        hangs_on=(f"handler-{plan.handler}",),
        uncertain=(),
        weight=0.2,
    )

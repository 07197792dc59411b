"""A handling plan: where a model handler is at every pass, found as the cheapest way through places on either side.

A place is left or right of the dog, near or far, ahead, level or behind, at the moment when the dog takes off for a
pass or enters it; there the handler stands, or runs the dog's way. From place to place it has the time that the dog
takes; it begins standing. Dynamic programming over the passes finds the plan of the least cost: effort, changes of
side, being outside a turn, far away or behind. All costs are figures of the model. A handler falls behind on a leg
where the least lateness of all plans, whatever they did before, grows; no plan is late anywhere else.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from coursecheck.language import to_say
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import DOUBT, Figures
from coursecheck.walk.handler_ground import Ground, Place, places_of
from coursecheck.walk.handler_pace import RUNS, STANDS, Paced
from coursecheck.walk.handler_step import Step
from coursecheck.walk.legs import Leg
from coursecheck.walk.straight_ways import Floats

__all__ = ["HANDLERS", "HandlerLeg", "HandlingPlan", "Stretch", "deciding", "plans_of", "steps_of", "stretches"]

HANDLERS = ("slow", "middling", "fast")


@dataclass(frozen=True, slots=True)
class HandlerLeg:
    """What the handler does while the dog goes from one entry to the next.

    Attributes:
        start, end: where the handler is.
        runs_in: whether it comes to the end running, the dog's way; else it stands there.
        way_m: the way between, round everything that stands there; infinite where there is none.
        time_s: how long the dog takes.
        short_s: how far any handler of its speed falls behind on this leg; 0 where some plan gets there in time.
        change: "front cross" (or a blind one: before the dog), "rear cross" (behind it), or nothing.
    """

    start: Place
    end: Place
    runs_in: bool
    way_m: float
    time_s: float
    short_s: float
    change: str

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
        moved: where it falls behind by so much that it counts, for each figure that decides how far, moved by 15 %,
            its name and `short_s` of every leg, as far as that matters.
    """

    handler: str
    speed_mps: float
    legs: tuple[HandlerLeg, ...]
    cost: float
    moved: tuple[tuple[str, tuple[float, ...]], ...] = ()

    @property
    def changes(self) -> tuple[HandlerLeg, ...]:
        """The legs with a change of side."""
        return tuple(leg for leg in self.legs if leg.change)


@dataclass(frozen=True, slots=True)
class Stretch:
    """Legs one after the other on which a handler falls behind.

    Attributes:
        first, last: indices of the first and the last of them.
        short_s: by how much on all of them together.
        uncertain: the figures of the model that would make it too little to be told of by moving 15 %.
    """

    first: int
    last: int
    short_s: float
    uncertain: tuple[str, ...]


def stretches(plan: HandlingPlan, figures: Figures) -> tuple[Stretch, ...]:
    """Where a handler falls behind by so much that it counts, in the order of the course."""
    found, count = [], figures["handler-behind"]
    for late, group in itertools.groupby(range(len(plan.legs)), key=lambda i: plan.legs[i].short_s > 0.0):
        legs = list(group)
        first, last = legs[0], legs[-1]
        short = math.fsum(plan.legs[i].short_s for i in legs)
        if late and short >= count:
            others = [(name, math.fsum(moved[first : last + 1])) for name, moved in plan.moved]
            others.append(("handler-behind", short / (1.0 + DOUBT)))
            uncertain = tuple(dict.fromkeys(name for name, other in others if other < count))
            found.append(Stretch(first, last, short, uncertain))
    return tuple(found)


def deciding(handler: str) -> tuple[str, ...]:
    """The figures of the model that decide whether a handler is in time."""
    return f"handler-{handler}", "handler-acceleration", "handler-turn-round"


def plans_of(
    scene: Scene, ground: Ground, legs: Sequence[Leg], figures: Figures, handlers: Sequence[str] = HANDLERS
) -> tuple[HandlingPlan, ...]:
    """The cheapest plan of each model handler; none where the pace is not known or a place cannot be stood at."""
    steps = steps_of(scene, ground, legs, figures)
    if not steps:
        return ()
    places = [step.costs(figures) for step in steps]
    return tuple(_with_moved(_cheapest(name, steps, places, figures), steps, figures) for name in handlers)


def steps_of(scene: Scene, ground: Ground, legs: Sequence[Leg], figures: Figures) -> tuple[Step, ...]:
    """What a handler can choose from on every leg; nothing where no plan can be made."""
    profile = scene.profile
    if profile is None or not legs:
        return ()
    places = places_of(scene, ground, figures)
    if not all(places):
        return ()
    entries = [profile.time_at(start) for start, _ in scene.spans]
    ways = ground.ways([[place.point for place in row] for row in places])
    return tuple(
        Step(leg, places[i], places[i + 1], ways[i], entries[i + 1] - entries[i]) for i, leg in enumerate(legs)
    )


def _cheapest(handler: str, steps: Sequence[Step], places: Sequence[Floats], figures: Figures) -> HandlingPlan:
    """Dynamic programming from the last pass back to the first, over places, standing and running."""
    paced = [Paced.of(step, handler, figures) for step in steps]
    short = _short_s(paced)
    rest = np.zeros(2 * len(steps[-1].ends))  # every place counts twice, first for standing
    chosen = []
    for one, place, late_s in zip(reversed(paced), reversed(places), reversed(short), strict=True):
        costs = one.costs(place, may_be_late=late_s > 0.0).transpose(2, 0, 3, 1)
        total = np.round(costs.reshape(-1, len(rest)) + rest[None, :], 9)
        chosen.append(np.argmin(total, axis=1))
        rest = total[np.arange(len(total)), chosen[-1]]
    chosen.reverse()
    at = 2 * int(np.argmin(rest[::2]))  # it begins standing
    cost, done = float(rest[at]), []
    for i, step in enumerate(steps):
        to = int(chosen[i][at])
        done.append(_done(step, short[i], at, to))
        at = to
    return HandlingPlan(handler, figures[f"handler-{handler}"], tuple(done), cost)


def _short_s(paced: Sequence[Paced]) -> list[float]:
    """By how much, on each leg, the least lateness of all plans so far grows, in seconds."""
    least = np.zeros((2, len(paced[0].step.starts)))
    least[RUNS] = np.inf
    before, found = 0.0, []
    for one in paced:
        late = one.late_s + least[:, None, :, None]
        least = np.min(np.minimum(late[STANDS], late[RUNS]), axis=1)
        after = float(np.min(least))
        found.append(round(after - before, 9))
        before = after
    return found


def _done(step: Step, short_s: float, at: int, to: int) -> HandlerLeg:
    """One leg of a plan in words and figures."""
    i, (j, runs_in) = at // 2, divmod(to, 2)
    start, end, change = step.starts[i], step.ends[j], ""
    if start.side != end.side:
        change = to_say("front cross") if end.along_m >= 0.0 else to_say("rear cross")
    return HandlerLeg(
        start=start,
        end=end,
        runs_in=bool(runs_in),
        way_m=float(step.ways[i, j]),
        time_s=step.time_s,
        short_s=short_s,
        change=change,
    )


def _with_moved(plan: HandlingPlan, steps: Sequence[Step], figures: Figures) -> HandlingPlan:
    """The same plan; where it falls behind, with how far it would with other figures."""
    told = stretches(plan, figures)
    if not told:
        return plan
    moved, matter = [], steps[: told[-1].last + 1]
    for name in deciding(plan.handler):
        for factor in (1.0 - DOUBT, 1.0 + DOUBT):
            other = figures.changed({name: factor * figures[name]}, "in doubt")
            moved.append((name, tuple(_short_s([Paced.of(step, plan.handler, other) for step in matter]))))
    return replace(plan, moved=tuple(moved))

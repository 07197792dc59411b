"""What is said of the handling plans: where a model handler falls behind, and where it has to go round something."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from coursecheck.geometry.frames import Point, wrap_deg
from coursecheck.language import say
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.handler import HandlerLeg, HandlingPlan, Stretch, deciding, stretches
from coursecheck.walk.handler_ground import MOST_LEADS
from coursecheck.walk.legs import Leg, off_straight_deg
from coursecheck.walk.names import handler_word, name_of, turned_words, where_word
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["handler_remarks"]


def handler_remarks(
    scene: Scene, legs: Sequence[Leg], plans: Sequence[HandlingPlan], figures: Figures
) -> Iterator[Remark]:
    """Stretches on which a model handler falls behind, and legs that take the fastest one round something.

    Args:
        scene: the plan.
        legs: its legs.
        plans: the handling plans, the slowest handler first; where a faster one falls behind, so does a slower one.
        figures: the figures of the model.
    """
    told: list[Stretch] = []
    for plan in reversed(plans):
        for stretch in stretches(plan, figures):
            if not any(one.first <= stretch.first and stretch.last <= one.last for one in told):
                yield _falls_behind(scene, legs, plan, stretch, figures)
                told.append(stretch)
    if plans:
        for leg, done in zip(legs, plans[-1].legs, strict=True):
            yield from filter(None, [_separated(scene, leg, done, figures)])
    for i, leg in enumerate(legs):
        if scene.shape(leg.before).kind.family == "tunnel" and leg.motion is not None:
            yield from filter(None, [_looked_for(scene, leg, [(plan, plan.legs[i]) for plan in plans], figures)])


def _falls_behind(
    scene: Scene, legs: Sequence[Leg], plan: HandlingPlan, stretch: Stretch, figures: Figures
) -> Remark:
    runs = [legs[stretch.first].before, *(leg.after for leg in legs[stretch.first : stretch.last + 1])]
    done = plan.legs[stretch.first : stretch.last + 1]
    near_m = MOST_LEADS * figures["handler-lead"]
    return Remark(
        kind="handler-late",
        passes=tuple(run.number for run in runs),
        obstacles=tuple(dict.fromkeys(run.obstacle for run in runs)),
        facts=(Fact("too late", stretch.short_s, "s"), Fact("time", math.fsum(leg.time_s for leg in done), "s")),
        witness=Witness("path", tuple(point for run in runs[:-1] for point in scene.track(run))),
        sentence=say(
            "From {first} to {last} a {which} handler ({speed:.1f} m/s) falls behind: whatever its plan, it is "
            "{short:.1f} s too late to stay within {near:.1f} m of the dog. Only distance handling works.",
            first=name_of(scene, runs[0]),
            last=name_of(scene, runs[-1]),
            which=handler_word(plan.handler),
            speed=plan.speed_mps,
            short=stretch.short_s,
            near=near_m,
        ),
        hangs_on=(*deciding(plan.handler), "handler-behind"),
        uncertain=stretch.uncertain,
        weight=min(1.0, 0.4 + stretch.short_s / 5.0),
    )


def _separated(scene: Scene, leg: Leg, done: HandlerLeg, figures: Figures) -> Remark | None:
    return remark(
        "handler-round",
        [Condition(done.round_m, "at-least", "handler-detour")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("way", done.way_m, "m"), Fact("detour", done.round_m, "m")),
        witness=Witness("segment", (done.start.point, done.end.point)),
        sentence=say(
            "From {first} to {last} something stands between handler and dog: the way round it is {detour:.1f} m "
            "longer than the straight.",
            first=name_of(scene, leg.before),
            last=name_of(scene, leg.after),
            detour=done.round_m,
        ),
        weight=0.2,
    )


def _looked_for(
    scene: Scene, leg: Leg, done: Sequence[tuple[HandlingPlan, HandlerLeg]], figures: Figures
) -> Remark | None:
    """A dog out of a tunnel looks for its handler: who is behind it by more than a lead turns it back."""
    away = [
        (plan, at, abs(wrap_deg(off_straight_deg(leg.carry, at) - leg.off_deg))) for plan, at in _at_exit(leg, done)
    ]
    if not away:
        return None
    plan, at, apart = max(
        away, key=lambda one: (math.dist(leg.carry.point, one[1]) >= figures["handler-lead"], one[2])
    )
    off, distance = off_straight_deg(leg.carry, at), math.dist(leg.carry.point, at)
    return remark(
        "tunnel-look",
        [Condition(apart, "at-least", "tunnel-look"), Condition(distance, "at-least", "handler-lead")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(
            Fact("handler off the straight on", off, "deg"),
            Fact("handler's distance", distance, "m"),
            Fact("between handler and right obstacle", apart, "deg"),
        ),
        witness=Witness("segment", (leg.carry.point, at)),
        sentence=say(
            "Out of {first} a dog looks for its handler: a {which} one is then {distance:.1f} m away and {turn}, "
            "while {last} lies {where}.",
            first=name_of(scene, leg.before),
            which=handler_word(plan.handler),
            distance=distance,
            turn=turned_words(off),
            last=name_of(scene, leg.after),
            where=where_word(leg.off_deg),
        ),
        weight=0.4,
    )


def _at_exit(leg: Leg, done: Sequence[tuple[HandlingPlan, HandlerLeg]]) -> Iterator[tuple[HandlingPlan, Point]]:
    """Where each handler is when the dog comes out, as far along its straight as that is in its time."""
    for plan, step in done:
        ground_s = leg.motion.time_s if leg.motion is not None else 0.0
        share = max(0.0, 1.0 - ground_s / step.time_s) if step.time_s > 0.0 else 1.0
        (ax, ay), (bx, by) = step.start.point, step.end.point
        yield plan, (ax + share * (bx - ax), ay + share * (by - ay))

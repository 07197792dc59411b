"""What is said of the handling plans: where a model handler falls behind, and where it has to go round something."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.handler import HandlerLeg, HandlingPlan, Stretch, deciding, stretches
from coursecheck.walk.handler_ground import MOST_LEADS
from coursecheck.walk.legs import Leg
from coursecheck.walk.names import name_of
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["handler_remarks"]


def handler_remarks(
    scene: Scene, legs: Sequence[Leg], plans: Sequence[HandlingPlan], figures: Figures
) -> Iterator[Remark]:
    """Stretches on which a model handler falls behind, and legs that take the fastest one round something.

    Args:
        scene: the plan.
        legs: its legs.
        plans: the handling plans, the slowest handler first.
        figures: the figures of the model.
    """
    for plan in plans:
        for stretch in stretches(plan, figures):
            yield _falls_behind(scene, legs, plan, stretch, figures)
    if plans:
        for leg, done in zip(legs, plans[-1].legs, strict=True):
            yield from filter(None, [_separated(scene, leg, done, figures)])


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
        witness=Witness("path", (done[0].start.point, *(leg.end.point for leg in done))),
        sentence=(
            f"From {name_of(scene, runs[0])} to {name_of(scene, runs[-1])} a {plan.handler} handler "
            f"({plan.speed_mps:.1f} m/s) falls behind: whatever its plan, it is {stretch.short_s:.1f} s too late to "
            f"stay within {near_m:.1f} m of the dog. Only distance handling works."
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
        sentence=(
            f"From {name_of(scene, leg.before)} to {name_of(scene, leg.after)} something stands between handler and "
            f"dog: the way round it is {done.round_m:.1f} m longer than the straight."
        ),
        weight=0.2,
    )

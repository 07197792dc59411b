"""Gaps that a handler has to get through, by the ways of the handling plans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely import LineString

from coursecheck.language import say
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import DOUBT, Figures
from coursecheck.walk.handler import HandlingPlan
from coursecheck.walk.handler_ground import Ground
from coursecheck.walk.legs import Leg
from coursecheck.walk.names import handler_word, name_of
from coursecheck.walk.passages import Passage, passages_between_grounds
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["handler_gaps"]


def handler_gaps(
    scene: Scene, ground: Ground, legs: Sequence[Leg], plans: Sequence[HandlingPlan], figures: Figures
) -> Iterator[Remark]:
    """The narrow passages through which the cheapest plan of some model handler leads.

    Args:
        scene: the plan.
        ground: where a handler may run.
        legs: its legs.
        plans: the handling plans, the slowest handler first.
        figures: the figures of the model.
    """
    passages = passages_between_grounds(scene, figures["handler-gap"] * (1.0 + DOUBT)) if plans else ()
    if not passages:
        return
    for i, leg in enumerate(legs):
        routes = [ground.route(plan.legs[i].start.point, plan.legs[i].end.point) for plan in plans]
        for passage in passages:
            through = [
                plan.handler
                for plan, way in zip(plans, routes, strict=True)
                if way and LineString(way).crosses(passage.line)
            ]
            if through and (made := _remark(scene, leg, passage, through, figures)) is not None:
                yield made


def _remark(scene: Scene, leg: Leg, passage: Passage, handlers: Sequence[str], figures: Figures) -> Remark | None:
    wide = passage.width_m
    return remark(
        "handler-gap",
        [Condition(wide, "at-most", "handler-gap")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("width", wide, "m"),),
        witness=Witness("segment", passage.ends),
        sentence=say(
            "From {first} to {last} the best plan of a {which} handler leads through a gap of {wide:.1f} m between "
            "{one} and {other}.",
            first=name_of(scene, leg.before),
            last=name_of(scene, leg.after),
            which=say(" or ").join(map(handler_word, handlers)),
            wide=wide,
            one=passage.one,
            other=passage.other,
        ),
        weight=max(0.0, 0.5 - wide / 4.0),
    )

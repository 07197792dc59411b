"""Jumps beside a wrapped one: the dog comes back through the gap between the two, and who swings wide takes both."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import LineString, MultiPolygon
from shapely import Point as ShapelyPoint

from coursecheck.equipment.shape import Shape
from coursecheck.geometry.frames import bearing_deg, wrap_deg
from coursecheck.language import say
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.legs import Leg, first_turn_deg
from coursecheck.walk.names import name_of, obstacle_name
from coursecheck.walk.remark import Condition, Fact, Remark, remark
from coursecheck.walk.turns import passes_bar

__all__ = ["beside_wraps"]

PARALLEL_DEG = 45.0  # a jump that stands more awry than this does not stand open to a dog that comes back; assumption


def beside_wraps(scene: Scene, legs: tuple[Leg, ...], figures: Figures) -> Iterator[Remark]:
    """The jumps that stand beside wrapped ones, leg by leg."""
    for leg in legs:
        if leg.problem is None and scene.way(leg.before).form == "flight":
            for name, shape in scene.shapes.items():
                if name not in (leg.before.obstacle, leg.after.obstacle) and shape.kind.family == "jump":
                    yield from filter(None, [_beside(scene, leg, shape, figures)])


def _beside(scene: Scene, leg: Leg, other: Shape, figures: Figures) -> Remark | None:
    """The jump beyond the gap that the dog comes back through, if it is near to where that is."""
    way, run = scene.way(leg.before), scene.line.passes[leg.before.number - 1]
    frame, bar = way.exit.frame, other.way(reverse=False).entry
    back = passes_bar(scene.track(leg.before), frame)
    awry = abs(wrap_deg(2.0 * (bar.bearing_deg - frame.bearing_deg))) / 2.0
    aside = frame.locate(bar.centre)[1]
    if back is None or awry > PARALLEL_DEG or aside * back <= 0.0 or abs(aside) <= abs(back):
        return None
    slant = wrap_deg(bearing_deg(run.exit.heading) - way.exit.bearing_deg)
    turned = first_turn_deg(scene.line.legs[leg.before.number - 1].segments) + slant
    at, opening = frame.place(0.0, back), LineString(bar.ends)
    near = opening.distance(ShapelyPoint(at))
    conditions = [Condition(abs(turned), "at-least", "wrap"), Condition(near, "at-most", "gap-near")]
    if not all(condition.holds(figures) for condition in conditions):
        return None
    gap = MultiPolygon(scene.shape(leg.before).solids).distance(MultiPolygon(other.solids))
    wrapped, name = name_of(scene, leg.before), obstacle_name(scene, other.obstacle.id)
    return remark(
        "jump-beside-wrap",
        conditions,
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle, other.obstacle.id),
        facts=(Fact("turn", turned, "deg"), Fact("off the line", near, "m"), Fact("gap", gap, "m")),
        witness=Witness("segment", (at, bar.centre)),
        sentence=say(
            "From the turn round {wrapped} the dog comes back through the {gap:.1f} m between it and {name}, whose "
            "bar is {near:.1f} m off the line: who swings wide takes {name} as well.",
            wrapped=wrapped,
            gap=gap,
            name=name,
            near=near,
        ),
        weight=max(0.0, 0.9 - near / 4.0),
    )

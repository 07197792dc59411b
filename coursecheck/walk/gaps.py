"""Gaps: passages on the dog's line between two things that it cannot run through."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from shapely import LineString, MultiPolygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from coursecheck.geometry.frames import Point
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import DOUBT, Figures
from coursecheck.walk.legs import Leg
from coursecheck.walk.names import name_of, obstacle_name
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["gaps"]

Passage = tuple[str, str, Point, Point]


def gaps(scene: Scene, legs: tuple[Leg, ...], figures: Figures) -> Iterator[Remark]:
    """The narrow passages that each leg runs through, at their narrowest places."""
    passages = list(_passages(scene, figures["narrow-gap"] * (1.0 + DOUBT)))
    for leg in legs:
        track = LineString(scene.track(leg.before))
        for one, other, a, b in passages:
            if track.crosses(LineString((a, b))):
                made = _remark(scene, leg, (one, other, a, b), figures)
                if made is not None:
                    yield made


def _passages(scene: Scene, reach_m: float) -> Iterator[Passage]:
    """Everything solid that stands near something else solid, with the two nearest points."""
    things: dict[str, BaseGeometry] = {
        obstacle_name(scene, name): MultiPolygon(shape.solids) for name, shape in scene.shapes.items()
    }
    things |= {f"the {name}": ground for name, ground in scene.blocked.items()}
    things |= {f"wall {i}": LineString(side) for i, side in enumerate(scene.walls(), 1)}
    for (one, first), (other, second) in itertools.combinations(things.items(), 2):
        if first.dwithin(second, reach_m) and not first.intersects(second):
            near = nearest_points(first, second)
            yield one, other, (near[0].x, near[0].y), (near[1].x, near[1].y)


def _remark(scene: Scene, leg: Leg, passage: Passage, figures: Figures) -> Remark | None:
    one, other, a, b = passage
    wide = math.dist(a, b)
    return remark(
        "narrow-gap",
        [Condition(wide, "at-most", "narrow-gap")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("width", wide, "m"),),
        witness=Witness("segment", (a, b)),
        sentence=(
            f"From {name_of(scene, leg.before)} to {name_of(scene, leg.after)} the line runs through a gap of "
            f"{wide:.1f} m between {one} and {other}."
        ),
        weight=max(0.0, 1.0 - wide / 4.0),
    )

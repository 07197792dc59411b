"""Gaps: passages that the dog's line runs through, and passages beside it that may be taken by mistake."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import LineString

from coursecheck.equipment.shape import Portal
from coursecheck.geometry.frames import wrap_deg
from coursecheck.language import say
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.measures.tracks import geometries
from coursecheck.walk.figures import DOUBT, Figures
from coursecheck.walk.legs import Leg
from coursecheck.walk.looks import free_look, opening_off_deg
from coursecheck.walk.names import name_of, turned_words
from coursecheck.walk.passages import Passage, passages_between_solids
from coursecheck.walk.pull_through import pulled_through
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["gaps"]


def gaps(scene: Scene, legs: tuple[Leg, ...], figures: Figures) -> Iterator[Remark]:
    """The narrow passages and those between jumps that each leg runs through, and the open ones that it must not."""
    reach_m = max(figures["narrow-gap"], figures["gap-no-more"], figures["pull-through"]) * (1.0 + DOUBT)
    passages = passages_between_solids(scene, reach_m)
    if not legs or not passages:
        return
    tracks, lines = scene.tracks.lines, geometries(passage.line for passage in passages)
    crosses, nears = shapely.crosses(tracks[:, None], lines), shapely.distance(tracks[:, None], lines).tolist()
    for leg, track, crossed, near_m in zip(legs, tracks, crosses, nears, strict=True):
        for passage, through, near in zip(passages, crossed, near_m, strict=True):
            if through:
                made = pulled_through(scene, leg, track, passage, figures) or _narrow(scene, leg, passage, figures)
            else:
                made = _open(scene, leg, Condition(near, "at-most", "gap-near"), passage, figures)
            if made is not None:
                yield made


def _narrow(scene: Scene, leg: Leg, passage: Passage, figures: Figures) -> Remark | None:
    wide = passage.width_m
    return remark(
        "narrow-gap",
        [Condition(wide, "at-most", "narrow-gap")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("width", wide, "m"),),
        witness=Witness("segment", passage.ends),
        sentence=say(
            "From {first} to {last} the line runs through a gap of {wide:.1f} m between {one} and {other}.",
            first=name_of(scene, leg.before),
            last=name_of(scene, leg.after),
            wide=wide,
            one=passage.one,
            other=passage.other,
        ),
        weight=max(0.0, 1.0 - wide / 4.0),
    )


def _open(scene: Scene, leg: Leg, near: Condition, passage: Passage, figures: Figures) -> Remark | None:
    """A passage straight on from the landing, near the line, while the right obstacle lies aside."""
    if not near.holds(figures) or leg.problem is not None or scene.way(leg.before).form == "stop":
        return None
    if leg.before.obstacle in passage.obstacles:
        return None  # that gap lies beside the dog, not before it
    wide, start = passage.width_m, leg.carry
    comes = bearing_between(start.point, passage.middle)
    across = wrap_deg(comes - bearing_between(*passage.ends) - 90.0)
    slant = min(abs(across), 180.0 - abs(across))
    opening = Portal(passage.middle, wide / 2, comes - across, 90.0)
    off, asked = opening_off_deg(start, opening), opening_off_deg(start, leg.entry)
    distance = LineString((start.point, passage.middle)).length
    made = remark(
        "open-gap",
        [
            Condition(wide, "at-least", "open-gap"),
            Condition(wide, "at-most", "gap-no-more"),
            near,
            Condition(slant, "at-most", "takes-gap"),
            Condition(distance, "at-most", "off-course-reach"),
            Condition(off, "at-most", "off-course-ahead"),
            Condition(asked - off, "at-least", "off-course-margin"),
        ],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(
            Fact("width", wide, "m"),
            Fact("distance", distance, "m"),
            Fact("off the line", near.measured, "m"),
            Fact("angle to the gap", slant, "deg"),
            Fact("right obstacle off the straight on", leg.off_deg, "deg"),
        ),
        witness=Witness("segment", passage.ends),
        sentence=say(
            "Straight on from {first} a gap of {wide:.1f} m is open between {one} and {other}, {distance:.1f} m "
            "ahead, while {last} lies {turn}.",
            first=name_of(scene, leg.before),
            wide=wide,
            one=passage.one,
            other=passage.other,
            distance=distance,
            last=name_of(scene, leg.after),
            turn=turned_words(leg.off_deg),
        ),
        weight=0.3,
    )
    return made if made and free_look(scene, start.point, passage.middle, {leg.before.obstacle}) else None

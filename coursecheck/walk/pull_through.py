"""Pull-throughs: the dog is called through the gap between two jumps, while their bars stand open to it."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import LineString
from shapely import Point as ShapelyPoint

from coursecheck.geometry.frames import Point, wrap_deg
from coursecheck.language import say
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.legs import Leg
from coursecheck.walk.names import name_of, obstacle_name
from coursecheck.walk.passages import Passage
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["pulled_through"]

STEP_M = 0.1  # the way of the dog through a gap is taken over so much before and behind it


@dataclass(frozen=True, slots=True)
class _Bar:
    """A bar beside the gap: whose it is, how far from where the line goes through, how obliquely it would be met."""

    name: str
    near_m: float
    slant_deg: float


def pulled_through(scene: Scene, leg: Leg, track: LineString, passage: Passage, figures: Figures) -> Remark | None:
    """That a leg runs between two jumps of which it takes neither, and which the dog could take instead.

    Args:
        scene: the plan.
        leg: the leg.
        track: its line, which crosses the passage.
        passage: between two things.
        figures: of the walk.
    """
    taken = (leg.before.obstacle, leg.after.obstacle)
    jumps = [name for name in passage.obstacles if scene.shapes[name].kind.family == "jump" and name not in taken]
    if len(jumps) != 2:
        return None
    crossing = track.intersection(passage.line)
    if not isinstance(crossing, ShapelyPoint):
        return None  # to and fro through the same gap: a wrap, which is told as one
    at = track.project(crossing)
    runs_deg = bearing_between(_point(track, max(0.0, at - STEP_M)), _point(track, at + STEP_M))
    bars = [_bar(scene, name, crossing, runs_deg) for name in jumps]
    bar = min(bars, key=lambda bar: (round(bar.slant_deg, 6), bar.near_m))
    return remark(
        "pull-through",
        [Condition(passage.width_m, "at-most", "pull-through"), Condition(bar.slant_deg, "at-most", "takes-jump")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(*taken, *jumps),
        facts=(
            Fact("width", passage.width_m, "m"),
            Fact("to the bar beside it", bar.near_m, "m"),
            Fact("angle to that bar", bar.slant_deg, "deg"),
        ),
        witness=Witness("segment", passage.ends),
        sentence=say(
            "Pull-through from {first} to {last}: the dog is called through the {wide:.1f} m between {one} and "
            "{other}; the bar of {bar} stands {near:.1f} m beside its way and is open to it.",
            first=name_of(scene, leg.before),
            last=name_of(scene, leg.after),
            wide=passage.width_m,
            one=passage.one,
            other=passage.other,
            bar=bar.name,
            near=bar.near_m,
        ),
        weight=0.8,
    )


def _point(track: LineString, along_m: float) -> Point:
    x, y = track.interpolate(along_m).coords[0]
    return x, y


def _bar(scene: Scene, name: str, at: ShapelyPoint, runs_deg: float) -> _Bar:
    bar = scene.shapes[name].way(reverse=False).entry
    slant = abs(wrap_deg(runs_deg - bar.bearing_deg))
    return _Bar(obstacle_name(scene, name), LineString(bar.ends).distance(at), min(slant, 180.0 - slant))

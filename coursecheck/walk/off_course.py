"""Off-course obstacles: what stands open before a dog that carries straight on, or that curls towards its handler.

From each landing, mouth, last pole or foot of a plank every other way into an obstacle is looked at: how far it is,
how far off the straight on, how obliquely it would be met, whether anything stands before it, and how much more of a
turn the right obstacle asks for. What stands hidden behind something solid is told too, and weighs less. "The first
obstacle met by carrying straight on" is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from coursecheck.equipment.shape import Shape, Way
from coursecheck.geometry.frames import wrap_deg
from coursecheck.language import capital, say
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.legs import Leg, off_straight_deg
from coursecheck.walk.looks import SHORT_M, free_look, hidden_by, opening_off_deg
from coursecheck.walk.names import name_of, obstacle_name, turned_words
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["off_course"]

MOST = 3  # remarks for one leg; who needs a fourth has read enough
UNSEEN = 0.3  # what is hidden weighs this much of what it would if it were seen; assumption

# by family, the figure that says how obliquely a dog takes an obstacle by itself
TAKES = {"jump": "takes-jump", "tunnel": "takes-tunnel", "contact": "takes-contact", "weaves": "takes-weaves"}


@dataclass(frozen=True, slots=True)
class _Offer:
    """A way into an obstacle, seen from where a dog carries on.

    Attributes:
        shape, way: whose way it is.
        reverse: whether it leads against the obstacle's bearing.
        in_reach: that the middle of its opening is near.
        taken: that it is open to a dog that comes straight to it.
        middle_deg: the direction of the middle of the opening, degrees to the right of straight on.
        off_deg: how far off the straight on the nearest part of the opening lies; 0: it is met by going straight.
        free: whether nothing stands in the way to it.
        behind: the solid thing that hides it, in words; nothing where it is seen.
    """

    shape: Shape
    way: Way
    reverse: bool
    in_reach: Condition
    taken: Condition
    middle_deg: float
    off_deg: float
    free: bool
    behind: str

    @property
    def distance_m(self) -> float:
        """To the middle of its opening."""
        return self.in_reach.measured

    @property
    def slant_deg(self) -> float:
        """How obliquely it would be met."""
        return self.taken.measured


def off_course(scene: Scene, legs: tuple[Leg, ...], figures: Figures) -> Iterator[Remark]:
    """The off-course obstacles of every leg, the most tempting first, at most three a leg."""
    for leg in legs:
        if scene.way(leg.before).form == "stop":
            continue  # it waits on the table until it is called
        offers = _offers(scene, leg, figures)
        found = [made for offer in offers if (made := _remark(scene, leg, offer, figures)) is not None]
        yield from sorted(found, key=lambda made: (-made.weight, made.obstacles))[:MOST]


def _offers(scene: Scene, leg: Leg, figures: Figures) -> Iterator[_Offer]:
    """Every way into another obstacle that is in reach and open, the right way left out; tables draw nobody."""
    right = (leg.after.obstacle, leg.after.reverse)
    for name, shape in scene.shapes.items():
        if name == leg.before.obstacle or shape.kind.family not in TAKES:
            continue
        for reverse in (False, True):
            if (name, reverse) == right or _same_opening(scene, leg, shape, reverse=reverse):
                continue
            entry = shape.way(reverse=reverse).entry
            in_reach = Condition(math.dist(leg.carry.point, entry.centre), "at-most", "off-course-reach")
            slant = abs(wrap_deg(bearing_between(leg.carry.point, entry.centre) - entry.bearing_deg))
            taken = Condition(slant, "at-most", TAKES[shape.kind.family])
            if in_reach.holds(figures) and taken.holds(figures):
                yield _seen(scene, leg, shape, in_reach, taken, reverse=reverse)


def _same_opening(scene: Scene, leg: Leg, shape: Shape, *, reverse: bool) -> bool:
    """Whether a way begins where and as the right one does, as two obstacles drawn on one spot have it."""
    entry = shape.way(reverse=reverse).entry
    near = math.dist(entry.centre, leg.entry.centre) < SHORT_M
    return (
        shape is not scene.shape(leg.after) and near and abs(wrap_deg(entry.bearing_deg - leg.entry.bearing_deg)) < 90
    )


def _seen(scene: Scene, leg: Leg, shape: Shape, in_reach: Condition, taken: Condition, *, reverse: bool) -> _Offer:
    way = shape.way(reverse=reverse)
    start, entry, name = leg.carry, way.entry, shape.obstacle.id
    # the feet of a jump reach out beyond its bar
    but = {leg.before.obstacle, name} if shape.kind.family == "jump" else {leg.before.obstacle}
    free = free_look(scene, start.point, entry.centre, but)
    return _Offer(
        shape=shape,
        way=way,
        reverse=reverse,
        in_reach=in_reach,
        taken=taken,
        middle_deg=off_straight_deg(start, entry.centre),
        off_deg=opening_off_deg(start, entry),
        free=free,
        behind="" if free else hidden_by(scene, start.point, entry.centre, {leg.before.obstacle, name}),
    )


def _remark(scene: Scene, leg: Leg, offer: _Offer, figures: Figures) -> Remark | None:
    if not offer.free:
        return (
            _hidden(scene, leg, offer, figures)
            if offer.behind and offer.shape is not scene.shape(leg.after)
            else None
        )
    if offer.shape is scene.shape(leg.after):
        return _wrong_end(scene, leg, offer, figures)
    return (
        _straight_on(scene, leg, offer, figures)
        or _beside(scene, leg, offer, figures)
        or _on_the_way_round(scene, leg, offer, figures)
    )


def _ahead(leg: Leg, offer: _Offer) -> list[Condition]:
    """That it lies straight ahead as well, and the right obstacle does not."""
    asked = opening_off_deg(leg.carry, leg.entry)
    return [
        offer.in_reach,
        offer.taken,
        Condition(offer.off_deg, "at-most", "off-course-ahead"),
        Condition(asked - offer.off_deg, "at-least", "off-course-margin"),
    ]


def _hidden(scene: Scene, leg: Leg, offer: _Offer, figures: Figures) -> Remark | None:
    """Straight ahead, but behind something solid; what stands behind a jump is not the first thing met."""
    sentence = say(
        "Straight on from {first}, {other} stands {where}, hidden behind {hiding}: it draws less than if the dog saw "
        "it. {last} lies {turn}.",
        first=name_of(scene, leg.before),
        other=_called(scene, offer),
        where=_where(offer),
        hiding=offer.behind,
        last=capital(name_of(scene, leg.after)),
        turn=turned_words(leg.off_deg),
    )
    return _made("off-course-hidden", _ahead(leg, offer), leg, offer, figures, sentence)


def _straight_on(scene: Scene, leg: Leg, offer: _Offer, figures: Figures) -> Remark | None:
    sentence = say(
        "Straight on from {first}, {other} stands open, {where}, while {last} lies {turn}.",
        first=name_of(scene, leg.before),
        other=_called(scene, offer),
        where=_where(offer),
        last=name_of(scene, leg.after),
        turn=turned_words(leg.off_deg),
    )
    return _made("off-course-ahead", _ahead(leg, offer), leg, offer, figures, sentence)


def _on_the_way_round(scene: Scene, leg: Leg, offer: _Offer, figures: Figures) -> Remark | None:
    """Between straight on and the right obstacle, on the same side and nearer than it: met by a dog that curls."""
    if offer.middle_deg * leg.off_deg <= 0.0 or offer.distance_m > leg.distance_m:
        return None
    conditions = [
        offer.in_reach,
        offer.taken,
        Condition(abs(offer.middle_deg), "at-most", "off-course-curl"),
        Condition(abs(leg.off_deg) - abs(offer.middle_deg), "at-least", "off-course-margin"),
    ]
    sentence = say(
        "On the turn from {first} to {last}, {turn}, {other} stands open after {off:.0f}°, {distance:.1f} m away: a "
        "dog that curls in to its handler meets it first.",
        first=name_of(scene, leg.before),
        last=name_of(scene, leg.after),
        turn=turned_words(leg.off_deg),
        other=_called(scene, offer),
        off=abs(offer.middle_deg),
        distance=offer.distance_m,
    )
    return _made("off-course-curl", conditions, leg, offer, figures, sentence)


def _beside(scene: Scene, leg: Leg, offer: _Offer, figures: Figures) -> Remark | None:
    """The two openings side by side, both open, and not much farther: a choice that the handler has to make clear."""
    apart = math.dist(offer.way.entry.centre, leg.entry.centre)
    right_slant = abs(wrap_deg(bearing_between(leg.carry.point, leg.entry.centre) - leg.entry.bearing_deg))
    conditions = [
        offer.in_reach,
        offer.taken,
        Condition(apart, "at-most", "side-by-side"),
        Condition(abs(offer.middle_deg), "at-most", "off-course-curl"),
    ]
    if scene.shape(leg.after).kind.family in TAKES:
        conditions.append(Condition(right_slant, "at-most", TAKES[scene.shape(leg.after).kind.family]))
    sentence = say(
        "From {first} the dog has two entries side by side, {apart:.1f} m apart: {last}, {right:.0f}° off its way, "
        "and {other}, {wrong:.0f}° off.",
        first=name_of(scene, leg.before),
        apart=apart,
        last=name_of(scene, leg.after),
        right=abs(leg.off_deg),
        other=_called(scene, offer),
        wrong=abs(offer.middle_deg),
    )
    return _made("two-entries", conditions, leg, offer, figures, sentence)


def _wrong_end(scene: Scene, leg: Leg, offer: _Offer, figures: Figures) -> Remark | None:
    """The right obstacle offers its wrong end or side first."""
    if offer.distance_m > leg.distance_m + SHORT_M:
        return None
    conditions = [offer.in_reach, offer.taken, Condition(offer.off_deg, "at-most", "off-course-curl")]
    where = {
        "jump": say("its landing side"),
        "tunnel": say("its wrong mouth"),
        "contact": say("its wrong end"),
        "weaves": say("its last pole"),
    }
    sentence = say(
        "{last} shows the dog {end} first: {distance:.1f} m from {first}, {off:.0f}° off its way.",
        last=capital(name_of(scene, leg.after)),
        end=where[offer.shape.kind.family],
        distance=offer.distance_m,
        first=name_of(scene, leg.before),
        off=abs(offer.middle_deg),
    )
    return _made("wrong-end", conditions, leg, offer, figures, sentence)


def _made(
    kind: str, conditions: list[Condition], leg: Leg, offer: _Offer, figures: Figures, sentence: str
) -> Remark | None:
    reach = figures["off-course-reach"]
    near = max(0.0, 1.0 - offer.distance_m / (2.0 * reach))
    return remark(
        kind,
        conditions,
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle, offer.shape.obstacle.id),
        facts=(
            Fact("distance", offer.distance_m, "m"),
            Fact("off the straight on", offer.middle_deg, "deg"),
            Fact("angle to the obstacle", offer.slant_deg, "deg"),
            Fact("right obstacle off the straight on", leg.off_deg, "deg"),
            Fact("right obstacle distance", leg.distance_m, "m"),
        ),
        witness=Witness("segment", (leg.carry.point, offer.way.entry.centre)),
        sentence=sentence,
        weight=near * (1.0 - offer.off_deg / 180.0) * (UNSEEN if kind == "off-course-hidden" else 1.0),
    )


def _where(offer: _Offer) -> str:
    if offer.off_deg == 0.0:
        return say("{distance:.1f} m ahead", distance=offer.distance_m)
    turn = turned_words(offer.middle_deg)
    return say("{distance:.1f} m ahead and {turn}", distance=offer.distance_m, turn=turn)


def _called(scene: Scene, offer: _Offer) -> str:
    """An obstacle that is not the right one, and by which end it is offered where it is numbered for the other."""
    name = offer.shape.obstacle.id
    runs = [run for run in scene.passes if run.obstacle == name]
    numbered = obstacle_name(scene, name)
    if not runs or any(run.reverse == offer.reverse for run in runs):
        return numbered
    match offer.shape.kind.family:
        case "jump":
            return say("{obstacle} (from its landing side)", obstacle=numbered)
        case "tunnel":
            return say("{obstacle} (from its far mouth)", obstacle=numbered)
        case "weaves":
            return say("{obstacle} (from its last pole)", obstacle=numbered)
        case _:
            return say("{obstacle} (from its far end)", obstacle=numbered)

"""Sight and approach: when the dog first sees the next obstacle, and how it comes to it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from coursecheck.geometry.frames import wrap_deg
from coursecheck.language import capital, say
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.measures.straights import run_up_rooms_m
from coursecheck.walk.figures import Figures
from coursecheck.walk.first_sight import Sight
from coursecheck.walk.legs import Leg
from coursecheck.walk.names import name_of
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["sight"]

STRAIGHT_KINDS = ("spread", "wall", "long-jump", "tyre")


def sight(
    scene: Scene, legs: tuple[Leg, ...], sights: tuple[Sight | None, ...], figures: Figures
) -> Iterator[Remark]:
    """The remarks on sight and approach, leg by leg."""
    rooms = run_up_rooms_m(scene)
    for leg, seen in zip(legs, sights, strict=True):
        if leg.problem is None and seen is not None:
            yield from filter(None, [_late(scene, leg, seen, figures)])
        if scene.way(leg.after).form != "stop" and scene.way(leg.before).exit.centre != leg.entry.centre:
            made = _approach(scene, leg, float(rooms[leg.before.number - 1]), figures)
            yield from filter(None, [made])


def _late(scene: Scene, leg: Leg, seen: Sight, figures: Figures) -> Remark | None:
    name, last = name_of(scene, leg.after), name_of(scene, leg.before)
    goes_in = scene.way(leg.after).form == "track"
    return remark(
        "late-sight",
        [Condition(seen.seen_s, "at-most", "sight")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("in sight before", seen.seen_s, "s"),),
        witness=Witness("segment", (seen.point, leg.entry.centre)),
        sentence=say(
            "After {last} the dog sees {name} only {time:.1f} s before it goes in."
            if goes_in
            else "After {last} the dog sees {name} only {time:.1f} s before it takes off.",
            last=last,
            name=name,
            time=seen.seen_s,
        ),
        weight=max(0.0, 1.0 - seen.seen_s),
    )


def _approach(scene: Scene, leg: Leg, room_m: float, figures: Figures) -> Remark | None:
    """How the dog comes to the next obstacle, from the middle of the last exit straight to its entry."""
    comes = bearing_between(scene.way(leg.before).exit.centre, leg.entry.centre)
    angle = wrap_deg(comes - leg.entry.bearing_deg)
    shape = scene.shape(leg.after)
    if shape.kind.name == "weaves":
        return _weaves(scene, leg, angle, figures)
    if shape.kind.family == "contact":
        return _contact(scene, leg, angle, room_m, figures)
    if shape.kind.name in STRAIGHT_KINDS:
        return _not_straight(scene, leg, angle, room_m, figures)
    if shape.kind.family == "jump":
        return _along_the_wing(scene, leg, angle, figures)
    return _mouth_away(scene, leg, angle, figures)


def _weaves(scene: Scene, leg: Leg, angle: float, figures: Figures) -> Remark | None:
    """A dog goes in with the first pole at its left shoulder: from the row's right the first gap lies open to it."""
    whence, facts = name_of(scene, leg.before), [Fact("angle", angle, "deg")]
    if leg.motion is not None:
        whence = say("{name} at up to {speed:.1f} m/s", name=whence, speed=leg.motion.fastest_mps)
        facts.append(Fact("fastest before", leg.motion.fastest_mps, "m/s"))
    sentence = say(
        "Weave entry at {angle:.0f}° from the left of the row, from {whence}: it must come round the first pole to "
        "keep it at its left shoulder."
        if angle > 0
        else "Weave entry at {angle:.0f}° from the right of the row, from {whence}: the first gap lies open to it, "
        "and the second one as well.",
        angle=abs(angle),
        whence=whence,
    )
    return _met(
        "weave-entry", angle, [Condition(abs(angle), "at-least", "weave-angle")], leg, facts, sentence, figures
    )


def _contact(scene: Scene, leg: Leg, angle: float, room_m: float, figures: Figures) -> Remark | None:
    conditions = [
        Condition(abs(angle), "at-least", "contact-angle"),
        Condition(room_m, "at-most", "contact-run"),
    ]
    sentence = say(
        "{name} is met at {angle:.0f}°, with room for {room:.1f} m of straight run-up at most.",
        name=capital(name_of(scene, leg.after)),
        angle=abs(angle),
        room=room_m,
    )
    facts = [Fact("angle", angle, "deg"), Fact("straight room", room_m, "m")]
    return _met("contact-at-an-angle", angle, conditions, leg, facts, sentence, figures)


def _not_straight(scene: Scene, leg: Leg, angle: float, room_m: float, figures: Figures) -> Remark | None:
    sentence = say(
        "{name} is met at {angle:.0f}° off straight; there is room for {room:.1f} m of straight run-up.",
        name=capital(name_of(scene, leg.after)),
        angle=abs(angle),
        room=room_m,
    )
    facts = [Fact("angle", angle, "deg"), Fact("straight room", room_m, "m")]
    conditions = [Condition(abs(angle), "at-least", "straight-angle")]
    return _met("not-straight", angle, conditions, leg, facts, sentence, figures)


def _along_the_wing(scene: Scene, leg: Leg, angle: float, figures: Figures) -> Remark | None:
    if leg.entry.frame.locate(leg.carry.point)[0] >= 0.0:
        return None  # the dog comes from behind the bar: that is a turn, and said there
    shown = max(0.0, math.cos(math.radians(angle)))
    sentence = say(
        "{name} is met along its wing, {angle:.0f}° off straight: from {last} it shows {share:.0f} % of its bar.",
        name=capital(name_of(scene, leg.after)),
        angle=abs(angle),
        last=name_of(scene, leg.before),
        share=100 * shown,
    )
    conditions = [Condition(abs(angle), "at-least", "along-wing")]
    return _met("along-the-wing", angle, conditions, leg, [Fact("angle", angle, "deg")], sentence, figures)


def _mouth_away(scene: Scene, leg: Leg, angle: float, figures: Figures) -> Remark | None:
    sentence = say(
        "The mouth of {name} faces away from {last}: the dog must turn {angle:.0f}° off the straight between them to "
        "go in, round to the right."
        if angle < 0
        else "The mouth of {name} faces away from {last}: the dog must turn {angle:.0f}° off the straight between "
        "them to go in, round to the left.",
        name=name_of(scene, leg.after),
        last=name_of(scene, leg.before),
        angle=abs(angle),
    )
    conditions = [Condition(abs(angle), "at-least", "mouth-away")]
    return _met("mouth-away", angle, conditions, leg, [Fact("angle", angle, "deg")], sentence, figures)


def _met(
    kind: str,
    angle: float,
    conditions: list[Condition],
    leg: Leg,
    facts: list[Fact],
    sentence: str,
    figures: Figures,
) -> Remark | None:
    return remark(
        kind,
        conditions,
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=facts,
        witness=Witness("segment", (leg.carry.point, leg.entry.centre)),
        sentence=sentence,
        weight=min(1.0, abs(angle) / 120.0),
    )

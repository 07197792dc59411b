"""Known sequences of jumps, found by where the jumps stand and which way they are taken: how much room each has."""

from __future__ import annotations

import math
from collections.abc import Iterator

from coursecheck.course.model import Pass
from coursecheck.equipment import KINDS
from coursecheck.geometry.distances import nearest_ends
from coursecheck.geometry.frames import wrap_deg
from coursecheck.measures.legs import FLOAT_NOISE_M, TWO_POINTS, bearing_between, portal_to_portal_m
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import FLOAT_NOISE_DEG, LEG, leg_facets, leg_values, legs, measure
from coursecheck.measures.scene import Scene

__all__: list[str] = []

QUADRANT_DEG = 45.0  # ahead, aside and behind are quarters of the circle; common practice, no source
NO_JUMPS = tuple(kind.name for kind in KINDS.values() if kind.family != "jump")


def _is_jump(scene: Scene, run: Pass) -> bool:
    return scene.shape(run).kind.family == "jump"


def _off_deg(scene: Scene, run: Pass, other: Pass) -> float:
    """How far off the way of a pass the centre of another obstacle lies: 0 straight on, 90 to the right."""
    straight = bearing_between(scene.shape(run).centre, scene.shape(other).centre)
    return wrap_deg(straight - scene.way(run).entry.bearing_deg)


def _between_ways_deg(scene: Scene, run: Pass, other: Pass) -> float:
    return abs(wrap_deg(scene.way(other).entry.bearing_deg - scene.way(run).entry.bearing_deg))


def _side_by_side(scene: Scene, before: Pass, after: Pass) -> bool:
    """Whether two passes are over two jumps of which each lies to the side of the other, neither ahead nor behind."""
    if before.obstacle == after.obstacle or not (_is_jump(scene, before) and _is_jump(scene, after)):
        return False
    aside = (abs(_off_deg(scene, before, after)), abs(_off_deg(scene, after, before)))
    return all(abs(off - 90.0) <= QUADRANT_DEG + FLOAT_NOISE_DEG for off in aside)


def _alike(scene: Scene, before: Pass, after: Pass) -> bool:
    """Side by side and taken the same way."""
    same = _between_ways_deg(scene, before, after) <= QUADRANT_DEG + FLOAT_NOISE_DEG
    return same and _side_by_side(scene, before, after)


def _opposed(scene: Scene, before: Pass, after: Pass) -> bool:
    """Side by side and taken opposite ways."""
    against = _between_ways_deg(scene, before, after) >= 180.0 - QUADRANT_DEG - FLOAT_NOISE_DEG
    return against and _side_by_side(scene, before, after)


def _value(scene: Scene, before: Pass, after: Pass, measured: float, witness: Witness, why_not: str = "") -> Value:
    return Value(
        measured=None if why_not else measured,
        passes=(before.number, after.number),
        obstacles=(before.obstacle, after.obstacle),
        witness=witness,
        facets=(leg_facets(scene, before, after),),
        spread=TWO_POINTS,
        why_not=why_not,
    )


def _gap_value(scene: Scene, before: Pass, after: Pass) -> Value:
    """The gap between the ground that two obstacles cover, wings included."""
    (ends,) = nearest_ends([scene.shape(before).footprint], [scene.shape(after).footprint])
    return _value(scene, before, after, math.dist(*ends), Witness("segment", ends))


def _turned_away(scene: Scene, before: Pass, after: Pass) -> bool:
    """Whether the plan says that the dog turns to the other side than the next jump, round the outer wing."""
    return before.turn is not None and (before.turn == "right") != (_off_deg(scene, before, after) > 0.0)


def _lands_beyond(scene: Scene, before: Pass, after: Pass) -> bool:
    """Whether a dog that jumps the middle of one jump straight lands beyond the bar of the next."""
    landing = scene.way(before).exit.frame.place(scene.line.passes[before.number - 1].after_m, 0.0)
    return scene.way(after).entry.frame.locate(landing)[0] > FLOAT_NOISE_M


@measure(
    "threadle-gap",
    title="gap of a threadle",
    unit="m",
    about="The gap between two jumps that stand side by side and are taken the same way one after the other, where "
    "the dog lands beyond the bar of the second and has to come back between them; no value where the plan turns it "
    "to the other side, round the outer wing.",
    metrics={"edges": "straight, between the nearest points of the ground that the two cover, wings included"},
    facets=LEG,
    never={"from": NO_JUMPS, "to": NO_JUMPS},
)
def _threadle_gap(scene: Scene, _ask: Ask) -> Iterator[Value]:
    def taken(before: Pass, after: Pass) -> Value | None:
        if not _alike(scene, before, after) or _turned_away(scene, before, after):
            return None
        return _gap_value(scene, before, after) if _lands_beyond(scene, before, after) else None

    return leg_values(scene, "threadle-gap", taken)


@measure(
    "serpentine-gap",
    title="gap between jumps of a serpentine",
    unit="m",
    about="The gap between neighbours of a serpentine: three jumps or more that stand side by side in a row and are "
    "taken one after the other from alternate sides.",
    metrics={"edges": "straight, between the nearest points of the ground that the two cover, wings included"},
    facets=LEG,
    never={"from": NO_JUMPS, "to": NO_JUMPS},
)
def _serpentine_gap(scene: Scene, _ask: Ask) -> Iterator[Value]:
    runs, found = scene.passes, set()
    for one, two, three in zip(runs, runs[1:], runs[2:], strict=False):
        alternate = _opposed(scene, one, two) and _opposed(scene, two, three)
        if alternate and _off_deg(scene, two, one) * _off_deg(scene, two, three) < 0.0:
            found |= {one.number, two.number}
    for before, after in legs(scene):
        if before.number in found:
            yield _gap_value(scene, before, after)


@measure(
    "backside-way",
    title="way on from a jump taken from behind",
    unit="m",
    about="The dog's way to the next obstacle from a jump that faces away from the obstacle before it, so that the "
    "dog has to run round its wing to take it.",
    metrics={
        "line": "along the dog's line, from the bar of the jump to the bar or entry of the next; a jump faces away "
        "where the straight from the previous exit meets it over 135 degrees off the way it is taken",
    },
    facets=LEG,
    never={"from": NO_JUMPS, "pass": ("first",)},
)
def _backside_way(scene: Scene, _ask: Ask) -> Iterator[Value]:
    for (last, jump), (_, after) in zip(legs(scene), list(legs(scene))[1:], strict=False):
        start, portal = scene.way(last).exit.centre, scene.way(jump).entry
        off = abs(wrap_deg(bearing_between(start, portal.centre) - portal.bearing_deg))
        if not _is_jump(scene, jump) or last.obstacle == jump.obstacle:
            continue
        if off > 180.0 - QUADRANT_DEG + FLOAT_NOISE_DEG:
            problem = scene.line.legs[jump.number - 1].problem or ""
            witness = Witness("path", scene.track(jump))
            yield _value(scene, jump, after, portal_to_portal_m(scene, jump), witness, problem)


@measure(
    "wrap-distance",
    title="distance of a wrap",
    unit="m",
    about="How far a jump is from the obstacle before it where the dog jumps away from that obstacle, turns back "
    "round a wing and takes the same obstacle again.",
    metrics={
        "straight": "straight, from the middle of the exit of the obstacle to the middle of the jump's bar; the dog "
        "jumps away where the way back lies at least 135 degrees off the way over the jump",
    },
    facets=LEG,
    never={"to": NO_JUMPS, "pass": ("last",)},
)
def _wrap_distance(scene: Scene, _ask: Ask) -> Iterator[Value]:
    for (before, jump), (_, again) in zip(legs(scene), list(legs(scene))[1:], strict=False):
        if before.obstacle != again.obstacle or before.obstacle == jump.obstacle or not _is_jump(scene, jump):
            continue
        leave, back = scene.way(jump).exit, scene.way(again).entry
        off = abs(wrap_deg(bearing_between(leave.centre, back.centre) - leave.bearing_deg))
        if off >= 180.0 - QUADRANT_DEG - FLOAT_NOISE_DEG:
            ends = (scene.way(before).exit.centre, scene.way(jump).entry.centre)
            yield _value(scene, before, jump, math.dist(*ends), Witness("segment", ends))

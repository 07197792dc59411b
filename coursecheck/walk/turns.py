"""Turns: wraps and turns back, jumps met from behind, threadles, serpentines, and turning over a long obstacle."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from shapely import MultiPolygon

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Shape
from coursecheck.geometry.frames import Frame, Point, bearing_deg, wrap_deg
from coursecheck.language import say
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.measures.straights import landing_rooms_m
from coursecheck.walk.figures import Figures
from coursecheck.walk.legs import Leg, first_turn_deg
from coursecheck.walk.names import name_of, turned_words
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["passes_bar", "turns"]

LONG_KINDS = ("long-jump", "spread", "wall", "tyre")  # no obstacle to turn over: common practice, no source
ABREAST_DEG = 45.0  # jumps whose middles lie this far to the side of each other's way stand side by side
SLACK_M = 2.0  # how far, along the way, two jumps that stand side by side may be apart


def turns(scene: Scene, legs: tuple[Leg, ...], figures: Figures) -> Iterator[Remark]:
    """The remarks on turns, leg by leg, and on rows of jumps."""
    rooms = landing_rooms_m(scene)
    for leg in legs:
        if leg.problem is None:
            yield from filter(None, (_turn_back(scene, leg, figures), _behind(scene, leg, figures)))
        room = float(rooms[leg.before.number - 1])
        yield from filter(None, [_over_a_long_one(scene, leg, room, figures)])
    yield from _serpentines(scene, figures)


def _turn_back(scene: Scene, leg: Leg, figures: Figures) -> Remark | None:
    """A wrap of a jump, or a turn back after anything else, measured from straight over or out of it."""
    way, run = scene.way(leg.before), scene.line.passes[leg.before.number - 1]
    pieces = scene.line.legs[leg.before.number - 1].segments
    if way.form == "stop":
        return None
    slant = wrap_deg(bearing_deg(run.exit.heading) - way.exit.bearing_deg)
    turned = first_turn_deg(pieces) + slant
    flight = way.form == "flight"
    kind = "wrap" if flight else "turn-back"
    name = name_of(scene, leg.before)
    what = say("The line wraps {name}", name=name) if flight else say("The line turns back after {name}", name=name)
    radius = min((1 / abs(piece.curvature) for piece in pieces if piece.curvature), default=math.inf)
    figures_said = [turned_words(turned), say("radius {radius:.1f} m", radius=radius)]
    facts = [Fact("turn", turned, "deg")]
    if math.isfinite(radius):
        facts.append(Fact("tightest radius", radius, "m"))
    if leg.motion is not None:
        facts.append(Fact("slowest", leg.motion.slowest_mps, "m/s"))
        figures_said.append(say("down to {speed:.1f} m/s", speed=leg.motion.slowest_mps))
    return remark(
        kind,
        [Condition(abs(turned), "at-least", "wrap")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=facts,
        witness=Witness("path", scene.track(leg.before)),
        sentence=say("{what}: {figures}.", what=what, figures=", ".join(figures_said)),
        weight=min(1.0, abs(turned) / 270.0),
    )


def _behind(scene: Scene, leg: Leg, figures: Figures) -> Remark | None:
    """A jump that the dog reaches from its landing side: a threadle, called back between the two, or a backside."""
    if scene.way(leg.after).form != "flight":
        return None
    frame = leg.entry.frame
    past_m = frame.locate(leg.carry.point)[0]
    passing = passes_bar(scene.track(leg.before), frame)
    if passing is None or abs(passing) <= leg.entry.half_width_m:
        return None
    threadle = _between(scene, leg, frame, passing)
    gap_m = _gap_m(scene.shape(leg.before), scene.shape(leg.after)) if threadle else 0.0
    name, last = name_of(scene, leg.after), name_of(scene, leg.before)
    if threadle:
        sentence = say(
            "Threadle from {last} to {name}: the dog is called back through the {gap:.1f} m between them and takes "
            "{name} the same way as {last}.",
            last=last,
            name=name,
            gap=gap_m,
        )
    else:
        sentence = say(
            "Backside: from {last} the dog is on the landing side of {name}, {past:.1f} m beyond its bar, and must "
            "run past the right end of it (as it is jumped) to come at it."
            if passing > 0
            else "Backside: from {last} the dog is on the landing side of {name}, {past:.1f} m beyond its bar, and "
            "must run past the left end of it (as it is jumped) to come at it.",
            last=last,
            name=name,
            past=past_m,
        )
    conditions = [Condition(past_m, "at-least", "behind-bar")]
    if threadle:
        apart = math.dist(scene.shape(leg.before).centre, scene.shape(leg.after).centre)
        conditions.append(Condition(apart, "at-most", "in-a-row"))
    return remark(
        "threadle" if threadle else "backside",
        conditions,
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=[
            Fact("beyond the bar", past_m, "m"),
            *([Fact("gap", gap_m, "m")] if threadle else []),
            Fact("turn", leg.left_deg + leg.right_deg, "deg"),
        ],
        witness=Witness("path", scene.track(leg.before)),
        sentence=sentence,
        weight=0.8,
    )


def passes_bar(track: Sequence[Point], frame: Frame) -> float | None:
    """Where a track last goes back past the line of a bar, metres to the right of its middle; None: it never does."""
    local = [frame.locate(point) for point in track]
    passed = None
    for (a0, r0), (a1, r1) in itertools.pairwise(local):
        if a0 > 0.0 >= a1:
            passed = r0 + (r1 - r0) * a0 / (a0 - a1)
    return passed


def _between(scene: Scene, leg: Leg, frame: Frame, passing: float) -> bool:
    """Whether the line goes back between the two obstacles, which stand side by side and are taken the same way."""
    if scene.way(leg.before).form != "flight":
        return False
    along, aside = frame.locate(scene.shape(leg.before).centre)
    same_way = abs(wrap_deg(scene.way(leg.before).entry.bearing_deg - leg.entry.bearing_deg)) < ABREAST_DEG
    return same_way and abs(along) <= SLACK_M and passing * aside > 0.0 and abs(passing) < abs(aside)


def _gap_m(one: Shape, other: Shape) -> float:
    return MultiPolygon(one.solids).distance(MultiPolygon(other.solids))


def _over_a_long_one(scene: Scene, leg: Leg, room_m: float, figures: Figures) -> Remark | None:
    """A turn after an obstacle that is to be jumped straight: on the flat where there is room, else in the air."""
    if scene.shape(leg.before).kind.name not in LONG_KINDS or leg.problem is not None:
        return None
    way, run = scene.way(leg.before), scene.line.passes[leg.before.number - 1]
    straight = leg.carry
    turn = wrap_deg(bearing_between(straight.point, leg.entry.centre) - way.exit.bearing_deg)
    slant = wrap_deg(bearing_deg(run.exit.heading) - way.exit.bearing_deg)
    flat = room_m >= figures["flat-run"]
    name = name_of(scene, leg.before)
    conditions = [
        Condition(abs(turn), "at-least", "air-turn"),
        Condition(room_m, "at-least" if flat else "at-most", "flat-run"),
    ]
    if flat:
        advice = say(
            "there is room for {room:.1f} m straight after the landing: jump it straight and turn on the flat.",
            room=room_m,
        )
    else:
        advice = say(
            "only {room:.1f} m straight after the landing fit in: the turn is asked for in the air.", room=room_m
        )
    return remark(
        "turn-on-the-flat" if flat else "turn-in-the-air",
        conditions,
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(
            Fact("turn", turn, "deg"),
            Fact("straight room", room_m, "m"),
            Fact("slant of the line", slant, "deg"),
        ),
        witness=Witness("path", scene.track(leg.before)),
        sentence=say(
            "After {name} the course turns {turn}; {advice}", name=name, turn=turned_words(turn), advice=advice
        ),
        weight=0.4 if flat else 0.9,
    )


def _serpentines(scene: Scene, figures: Figures) -> Iterator[Remark]:
    """Three jumps or more in a row, taken from alternate sides."""
    row: list[Pass] = []
    for before, after in itertools.pairwise(scene.passes):
        if _zigzag(scene, before, after) and (not row or _goes_on(scene, row, after)):
            row = [*row, after] if row else [before, after]
            continue
        yield from _serpentine(scene, row, figures)
        row = [before, after] if _zigzag(scene, before, after) else []
    yield from _serpentine(scene, row, figures)


def _zigzag(scene: Scene, before: Pass, after: Pass) -> bool:
    """Whether two jumps stand side by side and are jumped opposite ways."""
    if scene.way(before).form != "flight" or scene.way(after).form != "flight" or before.obstacle == after.obstacle:
        return False
    ways = scene.way(before).entry, scene.way(after).entry
    opposite = abs(wrap_deg(ways[0].bearing_deg - ways[1].bearing_deg)) > 180.0 - ABREAST_DEG
    across = [abs(math.sin(math.radians(wrap_deg(_row_bearing(scene, before, after) - w.bearing_deg)))) for w in ways]
    return opposite and min(across) >= math.sin(math.radians(90.0 - ABREAST_DEG))


def _row_bearing(scene: Scene, before: Pass, after: Pass) -> float:
    return bearing_between(scene.shape(before).centre, scene.shape(after).centre)


def _goes_on(scene: Scene, row: Sequence[Pass], after: Pass) -> bool:
    """Whether a jump lies further along the row."""
    bend = wrap_deg(_row_bearing(scene, row[-1], after) - _row_bearing(scene, row[-2], row[-1]))
    return abs(bend) <= ABREAST_DEG


def _serpentine(scene: Scene, row: Sequence[Pass], figures: Figures) -> Iterator[Remark]:
    if len(row) < 3:
        return
    centres = [scene.shape(run).centre for run in row]
    widest = max(math.dist(a, b) for a, b in itertools.pairwise(centres))
    made = remark(
        "serpentine",
        [Condition(widest, "at-most", "in-a-row")],
        figures,
        passes=tuple(run.number for run in row),
        obstacles=tuple(run.obstacle for run in row),
        facts=(Fact("jumps", float(len(row)), "count"), Fact("widest spacing", widest, "m")),
        witness=Witness("path", tuple(centres)),
        sentence=say(
            "Serpentine over jumps {first} to {last}, {widest:.1f} m apart at most.",
            first=row[0].number,
            last=row[-1].number,
            widest=widest,
        ),
        weight=0.6,
    )
    if made is not None:
        yield made

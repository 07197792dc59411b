"""Legs: how far it is from one obstacle to the next, and how it turns on the way."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator

import numpy as np
from shapely import STRtree, linestrings

from coursecheck.course.model import Pass
from coursecheck.geometry.distances import nearest_ends
from coursecheck.geometry.frames import Point, bearing_deg, wrap_deg
from coursecheck.geometry.segments import Segment
from coursecheck.language import say
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import LEG, leg_facets, legs, measure
from coursecheck.measures.scene import Scene

__all__ = ["bearing_between", "portal_to_portal_m"]

TWO_POINTS = math.sqrt(2)
FLOAT_NOISE_M = 1e-6


def portal_to_portal_m(scene: Scene, before: Pass) -> float:
    """Length along the line from the exit portal of one obstacle to the entry portal of the next."""
    index = before.number - 1
    runs = scene.line.passes
    return runs[index].after_m + scene.line.legs[index].length_m + runs[index + 1].before_m


def _distances(scene: Scene, metric: str) -> list[tuple[float, Witness]]:
    """The distance of each leg, and what was measured."""
    if metric == "line":
        return [(portal_to_portal_m(scene, run), Witness("path", scene.track(run))) for run in scene.passes[:-1]]
    if metric == "flight":
        return _on_the_ground(scene)
    shapes = [(scene.shape(before), scene.shape(after)) for before, after in legs(scene)]
    ends = [(one.centre, other.centre) for one, other in shapes]
    if metric == "edges":
        ends = nearest_ends([one.footprint for one, _ in shapes], [other.footprint for _, other in shapes])
    return [(math.dist(*points), Witness("segment", points)) for points in ends]


def _on_the_ground(scene: Scene) -> list[tuple[float, Witness]]:
    """From landing to take-off."""
    tracks, passes = scene.tracks, scene.line.passes
    ends = [(before.exit.point, after.entry.point) for before, after in itertools.pairwise(passes)]
    drawn = [points for points, _ in tracks.drawn(tracks.grounds)]
    witnesses = [Witness("path", points or coincide) for points, coincide in zip(drawn, ends, strict=True)]
    return [(leg.length_m, witness) for leg, witness in zip(scene.line.legs, witnesses, strict=True)]


@measure(
    "leg-distance",
    title="distance to the next obstacle",
    unit="m",
    about="How far it is from one obstacle to the next one in the sequence.",
    metrics={
        "line": "along the dog's line, from the bar or exit of one to the bar or entry of the next",
        "centres": "straight, between the centres of the two obstacles",
        "edges": "straight, between the nearest points of the ground that the two cover",
        "flight": "along the dog's line, from landing to take-off",
    },
    facets=LEG,
)
def _leg_distance(scene: Scene, ask: Ask) -> Iterator[Value]:
    for (before, after), (measured, witness) in zip(legs(scene), _distances(scene, ask.metric), strict=True):
        problem = scene.line.legs[before.number - 1].problem if ask.metric in ("line", "flight") else None
        yield _leg_value(scene, before, after, measured, witness, TWO_POINTS, problem)


@measure(
    "legs-between",
    title="distances of a certain length",
    unit="count",
    about="How many distances between two obstacles are as long as the limit says, both ends included.",
    metrics={
        "line": "along the dog's line, from the bar or exit of one to the bar or entry of the next",
        "centres": "straight, between the centres of the two obstacles",
        "edges": "straight, between the nearest points of the ground that the two cover",
    },
)
def _legs_between(scene: Scene, ask: Ask) -> Iterator[Value]:
    low, high = ask.between or (0.0, math.inf)
    counted: list[Pass] = []
    for before, (measured, _) in zip(scene.passes, _distances(scene, ask.metric), strict=False):
        if low - FLOAT_NOISE_M <= measured <= high + FLOAT_NOISE_M:
            counted.append(before)
    missing = ask.metric == "line" and scene.line.problems
    yield Value(
        measured=None if missing else float(len(counted)),
        passes=tuple(before.number for before in counted),
        obstacles=tuple(dict.fromkeys(before.obstacle for before in counted)),
        why_not=scene.line.problems[0].problem or "" if missing else "",
        note=say("{low:.2f} to {high:.2f} m", low=low, high=high) if ask.between else "",
    )


def _leg_value(
    scene: Scene,
    before: Pass,
    after: Pass,
    measured: float,
    witness: Witness,
    spread: float,
    problem: str | None,
) -> Value:
    return Value(
        measured=None if problem else measured,
        passes=(before.number, after.number),
        obstacles=(before.obstacle, after.obstacle),
        witness=witness,
        facets=(leg_facets(scene, before, after),),
        spread=spread,
        why_not=problem or "",
    )


def _line_values(scene: Scene, spread: float, take: Callable[[tuple[Segment, ...]], float | None]) -> Iterator[Value]:
    """One value for each leg, taken from its pieces; nothing where `take` finds nothing to measure."""
    for before, after in legs(scene):
        leg = scene.line.legs[before.number - 1]
        measured = take(leg.segments)
        if measured is None and leg.problem is None:
            continue
        witness = Witness("path", scene.track(before))
        yield _leg_value(scene, before, after, measured or 0.0, witness, spread, leg.problem)


@measure(
    "leg-turn",
    title="turn on the way to the next obstacle",
    unit="deg",
    about="How far the dog turns between two obstacles.",
    metrics={
        "line": "all turning along the dog's line, left and right added up",
        "centres": "between the way out of one obstacle and the straight from its exit to the next one's entry",
    },
    facets=LEG,
)
def _leg_turn(scene: Scene, ask: Ask) -> Iterator[Value]:
    if ask.metric == "line":
        spread = math.degrees(1.0) / 5  # a metre of shift at a usual 5 m of distance; common practice, no source
        yield from _line_values(scene, spread, lambda pieces: math.degrees(sum(abs(p.turn_rad) for p in pieces)))
        return
    for before, after in legs(scene):
        start, end = scene.way(before).exit, scene.way(after).entry
        distance = math.dist(start.centre, end.centre)
        if distance == 0.0:
            continue
        straight = bearing_between(start.centre, end.centre)
        turn = abs(wrap_deg(straight - start.bearing_deg))
        witness = Witness("path", (start.frame.place(-1.0, 0.0), start.centre, end.centre))
        yield _leg_value(scene, before, after, turn, witness, math.degrees(TWO_POINTS / distance), None)


@measure(
    "leg-radius",
    title="tightest turn on the way to the next obstacle",
    unit="m",
    about="The radius of the tightest arc of the line between two obstacles.",
    metrics={"line": "radius of the tightest arc of the dog's line; no value where it runs straight"},
    facets=LEG,
)
def _leg_radius(scene: Scene, _ask: Ask) -> Iterator[Value]:
    def tightest(pieces: tuple[Segment, ...]) -> float | None:
        return min((1 / abs(p.curvature) for p in pieces if p.curvature), default=None)

    yield from _line_values(scene, 0.0, tightest)


@measure(
    "missing-line",
    title="way from one obstacle to the next",
    unit="count",
    about="Whether a dog can get from one obstacle to the next at all, round everything solid and within the ring.",
    metrics={"line": "1 where no line exists, 0 where one does"},
    facets=LEG,
)
def _missing_line(scene: Scene, _ask: Ask) -> Iterator[Value]:
    for before, after in legs(scene):
        leg = scene.line.legs[before.number - 1]
        witness = Witness("path", scene.track(before))
        value = _leg_value(scene, before, after, float(leg.problem is not None), witness, 0.0, None)
        yield value._replace(note=leg.problem or "")


@measure(
    "line-through",
    title="obstacles that the line runs through",
    unit="count",
    about="How many obstacles the dog's line crosses between two passes although they are not the next one.",
    metrics={"line": "bars and rows of poles that the line of a leg crosses"},
    facets=LEG,
)
def _line_through(scene: Scene, _ask: Ask) -> Iterator[Value]:
    bars = [(name, bar) for name, shape in scene.shapes.items() for bar in shape.bars]
    tree = STRtree(np.asarray(linestrings(np.array([bar for _, bar in bars]).reshape(-1, 2, 2))))
    through: dict[int, set[str]] = {}
    for leg, bar in tree.query(scene.tracks.lines, predicate="crosses").T.tolist():
        through.setdefault(leg, set()).add(bars[bar][0])
    for leg, (before, after) in enumerate(legs(scene)):
        crossed = sorted(through.get(leg, set()) - {before.obstacle, after.obstacle})
        yield Value(
            measured=float(len(crossed)),
            passes=(before.number, after.number),
            obstacles=(before.obstacle, after.obstacle, *crossed),
            witness=Witness("path", scene.track(before)),
            facets=(leg_facets(scene, before, after),),
            note=say("through {names}", names=", ".join(crossed)) if crossed else "",
        )


def bearing_between(start: Point, end: Point) -> float:
    """Bearing from one point to another, in degrees."""
    return bearing_deg(math.atan2(end[1] - start[1], end[0] - start[0]))

"""Legs: how far it is from one obstacle to the next, and how it turns on the way."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np
from shapely import crosses, linestrings

from coursecheck.course.model import Pass
from coursecheck.geometry.distances import boxes_meet, nearest_ends
from coursecheck.geometry.frames import Point, bearing_deg, wrap_deg
from coursecheck.geometry.segments import Segment
from coursecheck.language import say
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import LEG, known_values, leg_facets, leg_values, legs, measure
from coursecheck.measures.scene import Scene

__all__ = [
    "TWO_POINTS",
    "apart",
    "axis_spread",
    "bearing_between",
    "direction_spread",
    "portal_to_portal_m",
]

TWO_POINTS = math.sqrt(2)
FLOAT_NOISE_M = 1e-6


def portal_to_portal_m(scene: Scene, before: Pass) -> float:
    """Length along the line from the exit portal of one obstacle to the entry portal of the next."""
    index = before.number - 1
    runs = scene.line.passes
    return runs[index].after_m + scene.line.legs[index].length_m + runs[index + 1].before_m


def _distances(scene: Scene, metric: str) -> list[tuple[float, Witness]]:
    """The distance of each leg, and what was measured."""
    between = list(legs(scene))
    return scene.memo.many(
        f"distance {metric}", scene.leg_keys, lambda missing: _measured(scene, metric, [between[i] for i in missing])
    )


def _measured(scene: Scene, metric: str, between: Sequence[tuple[Pass, Pass]]) -> list[tuple[float, Witness]]:
    if metric == "line":
        return [(portal_to_portal_m(scene, run), Witness("path", scene.track(run))) for run, _ in between]
    if metric == "flight":
        return _on_the_ground(scene, [run.number - 1 for run, _ in between])
    shapes = [(scene.shape(before), scene.shape(after)) for before, after in between]
    ends = [(one.centre, other.centre) for one, other in shapes]
    if metric == "edges":
        ends = nearest_ends([one.footprint for one, _ in shapes], [other.footprint for _, other in shapes])
    return [(math.dist(*points), Witness("segment", points)) for points in ends]


def _on_the_ground(scene: Scene, which: Sequence[int]) -> list[tuple[float, Witness]]:
    """From landing to take-off."""
    tracks, passes, lines = scene.tracks, scene.line.passes, scene.line.legs
    outlined = tracks.outlined([tracks.grounds[i] for i in which])
    ends = [(passes[i].exit.point, passes[i + 1].entry.point) for i in which]
    witnesses = [Witness("path", points or coincide) for points, coincide in zip(outlined, ends, strict=True)]
    return [(lines[i].length_m, witness) for i, witness in zip(which, witnesses, strict=True)]


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
    distances = _distances(scene, ask.metric)

    def taken(before: Pass, after: Pass) -> Value:
        measured, witness = distances[before.number - 1]
        problem = scene.line.legs[before.number - 1].problem if ask.metric in ("line", "flight") else None
        return _leg_value(scene, before, after, measured, witness, TWO_POINTS, problem)

    yield from leg_values(scene, f"leg-distance {ask.metric}", taken)


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


def apart(before: Pass, after: Pass, spread: float) -> float:
    """The spread of a value between two passes: none over one and the same obstacle, however it was set out."""
    return spread if before.obstacle != after.obstacle else 0.0


def direction_spread(scene: Scene, of: Pass, distance_m: float) -> float:
    """Degrees for each metre of error: of the straight between two set-out points and of an obstacle's own axis.

    An angle set out by two points d apart, each sigma off sideways, is sqrt(2) sigma / d off (small angles).
    """
    return math.degrees(math.hypot(TWO_POINTS / distance_m, axis_spread(scene, of.obstacle)))


def axis_spread(scene: Scene, obstacle: str) -> float:
    """Radians for each metre of error: of the way through an obstacle, which is set out by its long side."""
    box = scene.boxes[obstacle]
    return TWO_POINTS / max(math.dist(box[0], box[1]), math.dist(box[1], box[2]))


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
        spread=apart(before, after, spread),
        why_not=problem or "",
    )


def _line_values(
    scene: Scene, what: str, spread: float, take: Callable[[tuple[Segment, ...]], float | None]
) -> Iterator[Value]:
    """One value for each leg, taken from its pieces; nothing where `take` finds nothing to measure."""

    def taken(before: Pass, after: Pass) -> Value | None:
        leg = scene.line.legs[before.number - 1]
        measured = take(leg.segments)
        if measured is None and leg.problem is None:
            return None
        witness = Witness("path", scene.track(before))
        return _leg_value(scene, before, after, measured or 0.0, witness, spread, leg.problem)

    return leg_values(scene, what, taken)


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
        yield from _line_values(
            scene, "leg-turn line", spread, lambda pieces: math.degrees(sum(abs(p.turn_rad) for p in pieces))
        )
        return

    def taken(before: Pass, after: Pass) -> Value | None:
        start, end = scene.way(before).exit, scene.way(after).entry
        distance = math.dist(start.centre, end.centre)
        if distance == 0.0:
            return None
        straight = bearing_between(start.centre, end.centre)
        turn = abs(wrap_deg(straight - start.bearing_deg))
        witness = Witness("path", (start.frame.place(-1.0, 0.0), start.centre, end.centre))
        return _leg_value(scene, before, after, turn, witness, direction_spread(scene, before, distance), None)

    yield from leg_values(scene, "leg-turn centres", taken)


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

    yield from _line_values(scene, "leg-radius line", 0.0, tightest)


@measure(
    "missing-line",
    title="missing way to the next obstacle",
    unit="count",
    about="Whether a dog can get from one obstacle to the next at all, round everything solid and within the ring.",
    metrics={"line": "1 where no line exists, 0 where one does"},
    facets=LEG,
)
def _missing_line(scene: Scene, _ask: Ask) -> Iterator[Value]:
    def taken(before: Pass, after: Pass) -> Value:
        leg = scene.line.legs[before.number - 1]
        witness = Witness("path", scene.track(before))
        value = _leg_value(scene, before, after, float(leg.problem is not None), witness, 0.0, None)
        return value._replace(note=leg.problem or "")

    yield from leg_values(scene, "missing-line", taken)


@measure(
    "line-through",
    title="obstacles that the line runs through",
    unit="count",
    about="How many obstacles the dog's line crosses between two passes although they are not the next one.",
    metrics={"line": "bars and rows of poles that the line of a leg crosses"},
    facets=LEG,
)
def _line_through(scene: Scene, _ask: Ask) -> Iterator[Value]:
    shapes = [shape for shape in scene.shapes.values() if shape.bars]
    boxes = scene.memo.many("bars box", shapes, lambda missing: [_box(shapes[i].bars) for i in missing])
    beside = boxes_meet(scene.tracks.boxes, np.array(boxes).reshape(-1, 4))
    columns = {shape.obstacle.id: column for column, shape in enumerate(shapes)}
    for row, its in enumerate(legs(scene)):
        beside[row, [columns[run.obstacle] for run in its if run.obstacle in columns]] = False

    def taken(missing: list[int]) -> Iterator[Value]:
        near = [
            (i, shape, bar) for i in missing for shape in itertools.compress(shapes, beside[i]) for bar in shape.bars
        ]
        bars = np.asarray(linestrings(np.array([bar for *_, bar in near]).reshape(-1, 2, 2)))
        crossing = crosses(scene.tracks.lines[np.array([i for i, *_ in near], dtype=np.int64)], bars)
        through: dict[int, set[str]] = {i: set() for i in missing}
        for (i, shape, _), crosses_it in zip(near, crossing.tolist(), strict=True):
            if crosses_it:
                through[i].add(shape.obstacle.id)
        for i, met in through.items():
            yield _through_value(scene, scene.passes[i], scene.passes[i + 1], met)

    keys = [(leg, *itertools.compress(shapes, row)) for leg, row in zip(scene.leg_keys, beside.tolist(), strict=True)]
    yield from known_values(scene, "line-through", keys, taken)


def _box(bars: Sequence[tuple[Point, Point]]) -> tuple[float, float, float, float]:
    """The box round some bars: left, bottom, right, top."""
    xs, ys = zip(*(end for bar in bars for end in bar), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _through_value(scene: Scene, before: Pass, after: Pass, met: set[str]) -> Value:
    crossed = sorted(met)
    return Value(
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

"""The course as a whole: its length, what is in it and how often, how it swings from side to side."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
from shapely import bounds, dwithin

from coursecheck.course.model import Pass
from coursecheck.geometry.crossings import TOUCH_M, crossings
from coursecheck.geometry.distances import boxes_meet
from coursecheck.geometry.frames import Point
from coursecheck.language import clauses, say
from coursecheck.measures.model import Ask, Value, Witness
from coursecheck.measures.registry import measure, pass_facets
from coursecheck.measures.scene import CHORD_M, Scene
from coursecheck.measures.tracks import Tracks
from coursecheck.path.line import LengthRule

__all__ = ["course_length", "missing_words"]

SWING_DEG = 20.0  # a bend of less than this does not make the dog change sides; common practice, no source


@measure(
    "course-length",
    title="course length",
    unit="m",
    about="How long the course is.",
    metrics={
        "rulebook": "the way the rulebook measures it",
        "line": "along the dog's line from the first obstacle to the last",
        "centres": "straight from centre to centre, from the first obstacle to the last",
    },
)
def _course_length(scene: Scene, ask: Ask) -> Iterator[Value]:
    if scene.passes:
        yield course_length(scene, scene.length if ask.metric == "rulebook" else LengthRule(how=ask.metric))


def course_length(scene: Scene, rule: LengthRule) -> Value:
    """The course length by a rule, in metres; not measurable along a line that is missing somewhere."""
    if rule not in scene.lengths:
        scene.lengths[rule] = _length_by(scene, rule)
    return scene.lengths[rule]


def _length_by(scene: Scene, rule: LengthRule) -> Value:
    centres = [scene.shape(run).centre for run in scene.passes]
    if rule.how == "centres":
        length = math.fsum(math.dist(a, b) for a, b in itertools.pairwise(centres))
        points, missing = tuple(centres), ""
    else:
        length = scene.line.length_m
        points, missing = scene.tracks.coarse, missing_words(scene)
    length += scene.course.start_line_m if rule.start == "start-line" else 0.0
    length += scene.course.finish_line_m if rule.end == "finish-line" else 0.0
    return Value(
        measured=None if missing or not scene.passes else length,
        witness=Witness("path", points),
        spread=_length_spread(scene),
        why_not=missing,
    )


def _length_spread(scene: Scene) -> float:
    """First order: shifting a point changes the length by the difference of the unit vectors into and out of it.

    An obstacle that is passed several times is one point.
    """
    changes = {run.obstacle: (0.0, 0.0) for run in scene.passes}
    for before, after in itertools.pairwise(scene.passes):
        (ax, ay), (bx, by) = scene.shape(before).centre, scene.shape(after).centre
        if (away := math.dist((ax, ay), (bx, by))) > 0.0:
            for run, way in ((before, -1.0), (after, 1.0)):
                x, y = changes[run.obstacle]
                changes[run.obstacle] = (x + way * (bx - ax) / away, y + way * (by - ay) / away)
    return math.hypot(*itertools.chain.from_iterable(changes.values()))


def _counted(scene: Scene, of: tuple[str, ...]) -> tuple[Pass, ...]:
    return tuple(run for run in scene.passes if not of or scene.shape(run).kind.name in of)


def _count_value(runs: Sequence[Pass], count: int) -> Value:
    return Value(
        measured=float(count),
        passes=tuple(run.number for run in runs),
        obstacles=tuple(dict.fromkeys(run.obstacle for run in runs)),
    )


@measure(
    "passes",
    title="numbered obstacles",
    unit="count",
    about="How many numbers the course has, or how many of them are over the named kinds.",
    metrics={"all": "numbers in the sequence"},
    by_height=False,
)
def _passes(scene: Scene, ask: Ask) -> Iterator[Value]:
    runs = _counted(scene, ask.of)
    yield _count_value(runs if ask.of else (), len(runs))


@measure(
    "obstacles",
    title="obstacles in the ring",
    unit="count",
    about="How many obstacles stand in the ring, numbered or not.",
    metrics={"all": "obstacles of the plan"},
    by_height=False,
)
def _obstacles(scene: Scene, ask: Ask) -> Iterator[Value]:
    names = tuple(n for n, shape in scene.shapes.items() if not ask.of or shape.kind.name in ask.of)
    yield Value(measured=float(len(names)), obstacles=names if ask.of else ())


@measure(
    "weave-poles",
    title="weave poles in the course",
    unit="count",
    about="How many poles the dog weaves in all.",
    metrics={"all": "poles of all passes through weave poles together"},
    by_height=False,
)
def _weave_poles(scene: Scene, _ask: Ask) -> Iterator[Value]:
    runs = [run for run in scene.passes if scene.shape(run).kind.family == "weaves"]
    yield _count_value(runs, sum(round(scene.shape(run).sizes["poles"]) for run in runs))


@measure(
    "first-kind",
    title="kind of the first obstacle",
    unit="kind",
    about="What the first obstacle is.",
    metrics={"pass": "kind of the first number"},
    by_height=False,
    facets=("kind", "to", "pass", "reverse"),
    never={"pass": ("last",)},
)
def _first_kind(scene: Scene, _ask: Ask) -> Iterator[Value]:
    yield from _kind_of(scene, scene.passes[:1])


@measure(
    "last-kind",
    title="kind of the last obstacle",
    unit="kind",
    about="What the last obstacle is.",
    metrics={"pass": "kind of the last number"},
    by_height=False,
    facets=("kind", "from", "pass", "reverse"),
)
def _last_kind(scene: Scene, _ask: Ask) -> Iterator[Value]:
    yield from _kind_of(scene, scene.passes[-1:])


def _kind_of(scene: Scene, runs: Sequence[Pass]) -> Iterator[Value]:
    for run in runs:
        shape = scene.shape(run)
        witness = Witness("point", (shape.centre,))
        facets = (pass_facets(scene, run),)
        yield Value(shape.kind.name, (run.number,), (run.obstacle,), witness, facets)


@measure(
    "succession",
    title="obstacles of these kinds in a row",
    unit="count",
    about="The longest run of numbers in a row that are all over the named kinds.",
    metrics={"all": "length of the longest such run; 0 where there is none"},
    by_height=False,
)
def _succession(scene: Scene, ask: Ask) -> Iterator[Value]:
    groups = itertools.groupby(scene.passes, lambda run: scene.shape(run).kind.name in ask.of)
    longest = max((list(runs) for named, runs in groups if named), key=len, default=[])
    yield _count_value(longest, len(longest))


@measure(
    "repeats",
    title="passes over one obstacle",
    unit="count",
    about="How often the obstacle that is used most, of the named kinds, is taken.",
    metrics={"all": "most numbers on any one obstacle"},
    by_height=False,
)
def _repeats(scene: Scene, ask: Ask) -> Iterator[Value]:
    runs = _counted(scene, ask.of)
    used = Counter(run.obstacle for run in runs)
    most = max(used.values(), default=0)
    busiest = next((run.obstacle for run in runs if used[run.obstacle] == most), "")
    yield _count_value([run for run in runs if run.obstacle == busiest], most)


@measure(
    "side-changes",
    title="changes between left and right turns",
    unit="count",
    about="How often the line changes between turning left and turning right.",
    metrics={
        "line": "changes between bends to the left and to the right, bent tunnels too; not those under 20 degrees"
    },
)
def _side_changes(scene: Scene, _ask: Ask) -> Iterator[Value]:
    bends = [piece.turn_rad for piece in scene.line.segments() if piece.curvature]
    swings = [math.degrees(sum(swing)) for _, swing in itertools.groupby(bends, lambda turn: turn > 0)]
    sides = [swing > 0 for swing in swings if abs(swing) >= SWING_DEG]
    yield _along_the_line(scene, sum(a != b for a, b in itertools.pairwise(sides)))


@measure(
    "self-crossings",
    title="places where the line crosses itself",
    unit="count",
    about="How often the dog's line crosses its own track.",
    metrics={"line": "places where the track of one pass and leg crosses that of another, or itself"},
)
def _self_crossings(scene: Scene, _ask: Ask) -> Iterator[Value]:
    if not scene.passes:
        yield Value(measured=0.0)
        return
    tracks = scene.tracks
    lines, keys = tracks.chords(tracks.ways), [tracks.key(way) for way in tracks.ways]
    boxes = bounds(lines)
    pairs = np.argwhere(np.triu(boxes_meet(boxes, boxes, 2 * CHORD_M))).tolist()

    def crossed(missing: list[int]) -> Iterator[list[Point]]:
        ones, others = lines[np.array([pairs[i] for i in missing]).T]
        near = dwithin(ones, others, 2 * CHORD_M).tolist()
        return (_crossings(tracks, *pairs[i]) if meet else [] for i, meet in zip(missing, near, strict=True))

    found = scene.memo.many("crossings", [(keys[i], keys[j]) for i, j in pairs], crossed)
    # where the line goes in or out of an obstacle, tracks join: one into the next, two through the same tunnel
    joints = [point for run in scene.line.passes for point in (run.entry.point, run.exit.point)]
    places = np.array([point for points in found for point in points]).reshape(-1, 1, 2)
    apart = np.hypot(*np.moveaxis(places - np.array(joints), -1, 0)) > TOUCH_M
    yield _along_the_line(scene, int(apart.all(axis=1).sum()))


def _crossings(tracks: Tracks, way: int, other: int) -> list[Point]:
    """Where the track of a pass and the leg after it crosses that of another one, or itself."""
    pairs = itertools.product(tracks.ways[way], tracks.ways[other])
    points: list[Point] = []
    for i, j in pairs:
        if way == other and j <= i + 1:  # one leads into the next
            continue
        for place in crossings(tracks.pieces[i], tracks.pieces[j]):
            if all(math.dist(place, point) > TOUCH_M for point in points):  # else at a joint of a track
                points.append(place)
    return points


def _along_the_line(scene: Scene, count: int) -> Value:
    """What is counted along the whole line, if there is one."""
    missing = missing_words(scene)
    return Value(measured=None if missing else float(count), why_not=missing)


def missing_words(scene: Scene) -> str:
    """Between which passes there is no line, and why; nothing where there is one all the way."""
    legs = [
        say("{first} to {last}: {why}", first=leg.number, last=leg.number + 1, why=leg.problem)
        for leg in scene.line.problems
    ]
    return say("no line from {legs}", legs=clauses(legs)) if legs else ""

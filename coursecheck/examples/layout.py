"""Laying out small plans: obstacles one after another, a ring round them, and the register of ways to do it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from coursecheck.course.model import Blocked, Course, Obstacle, Pass, Ring, Stock
from coursecheck.equipment import build_shape
from coursecheck.geometry.frames import Frame, Point
from coursecheck.path.runner import Runner

__all__ = [
    "PLANS",
    "Asked",
    "Edges",
    "Sketch",
    "box",
    "chain",
    "measured_by",
    "name_of",
    "place",
    "rows_of",
    "run_of",
    "sketch",
]

ROOM_M = 4.0
"""Ground left round the obstacles where nothing else is wanted."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a limit asks, as far as a plan has to suit it.

    Attributes:
        subject: one word of each facet that the row chooses by, those of the plan as a whole left aside.
        metric, of, between: as the row says.
        runner: who runs.
        answer: the kind that a measure of kinds is to answer with; empty for all others.
    """

    subject: Mapping[str, str]
    metric: str
    of: tuple[str, ...]
    between: tuple[float, float] | None
    runner: Runner
    answer: str = ""

    @property
    def kind(self) -> str:
        """The kind of obstacle that it is about."""
        return self.subject.get("kind", "jump")

    @property
    def before(self) -> str:
        """The kind of the obstacle before."""
        return self.subject.get("from", "jump")

    @property
    def after(self) -> str:
        """The kind of the obstacle after."""
        return self.subject.get("to", "jump")

    @property
    def solid(self) -> tuple[str, ...]:
        """The sides of the ring that have to be walls."""
        return ("right", "top", "left", "bottom") if self.metric == "wall" else ()


@dataclass(frozen=True, slots=True)
class Edges:
    """Where sides of the ring lie, in metres; None: as far out as ROOM_M leaves them."""

    left: float | None = None
    bottom: float | None = None
    right: float | None = None
    top: float | None = None


@dataclass(frozen=True, slots=True)
class Sketch:
    """A plan, and the turn radius of who runs it where that is not the rulebook's."""

    course: Course
    turn_radius_m: float | None = None


Plan = Callable[[Asked, float], Sketch]

PLANS: dict[str, Plan] = {}
"""Measure -> how to lay out a plan on which it comes to about a wanted value."""


def measured_by(*measures: str) -> Callable[[Plan], Plan]:
    """Registers the decorated function as the way to lay out plans for these measures."""

    def register(plan: Plan) -> Plan:
        PLANS.update(dict.fromkeys(measures, plan))
        return plan

    return register


def place(
    name: str, kind: str, entry: Point, bearing_deg: float = 90.0, sizes: Mapping[str, float] | None = None
) -> tuple[Obstacle, Point]:
    """An obstacle whose entry lies at a point, and the point of its exit."""
    probe = build_shape(Obstacle(name, kind, (0.0, 0.0), bearing_deg, sizes or {})).forwards
    at = (entry[0] - probe.entry.centre[0], entry[1] - probe.entry.centre[1])
    leave = (at[0] + probe.exit.centre[0], at[1] + probe.exit.centre[1])
    return Obstacle(name, kind, at, bearing_deg, sizes or {}), leave


def chain(
    kinds: Sequence[str],
    gaps_m: Sequence[float],
    start: Point = (0.0, 0.0),
    bearing_deg: float = 90.0,
    first: int = 0,
) -> list[Obstacle]:
    """Obstacles in a straight row, named a, b, c, ..., each so far beyond the exit of the one before."""
    obstacles: list[Obstacle] = []
    entry = start
    for i, kind in enumerate(kinds):
        obstacle, leave = place(name_of(first + i), kind, entry, bearing_deg)
        obstacles.append(obstacle)
        if i < len(gaps_m):
            entry = Frame(leave, bearing_deg).place(gaps_m[i], 0.0)
    return obstacles


def rows_of(kinds: Sequence[str], gap_m: float, width_m: float = 30.0, apart_m: float = 8.0) -> list[Obstacle]:
    """Obstacles in rows that are run to and fro, like writing that turns at the end of every line."""
    obstacles: list[Obstacle] = []
    bearing, x, y = 90.0, 0.0, 0.0
    for i, kind in enumerate(kinds):
        obstacle, leave = place(name_of(i), kind, (x, y), bearing)
        turn = not 0.0 <= leave[0] <= width_m
        if turn and obstacles:
            bearing, y = 360.0 - bearing, y + apart_m
            x = obstacles[-1].at[0]
            obstacle, leave = place(name_of(i), kind, (x, y), bearing)
        obstacles.append(obstacle)
        x = leave[0] + (gap_m if bearing == 90.0 else -gap_m)
    return obstacles


def name_of(index: int) -> str:
    """A to z, then a1, b1, ..."""
    letter, round_ = chr(ord("a") + index % 26), index // 26
    return f"{letter}{round_ or ''}"


def run_of(words: Iterable[str]) -> tuple[Pass, ...]:
    """The sequence that words such as "a" and "b reverse" tell."""
    parts = [word.split() for word in words]
    return tuple(Pass(i, part[0], "reverse" in part) for i, part in enumerate(parts, 1))


def box(obstacles: Sequence[Obstacle]) -> tuple[float, float, float, float]:
    """The ground round some obstacles: left, bottom, right, top."""
    bounds = [build_shape(obstacle).footprint.bounds for obstacle in obstacles]
    lows, highs = zip(*((b[:2], b[2:]) for b in bounds), strict=True)
    return (min(x for x, _ in lows), min(y for _, y in lows), max(x for x, _ in highs), max(y for _, y in highs))


def sketch(
    obstacles: Sequence[Obstacle],
    run: Iterable[str] | None = None,
    *,
    edges: Edges | None = None,
    solid: Iterable[str] = (),
    gate: float | None = None,
    blocked: Sequence[Blocked] = (),
    store: Mapping[str, Stock] | None = None,
    turn_radius_m: float | None = None,
) -> Sketch:
    """A plan of some obstacles with a ring round them, moved so that the ring's corner is the origin.

    Args:
        obstacles: at least one.
        run: the sequence, by default all of them in order.
        edges: where sides of the ring have to lie.
        solid: the sides that are walls: "bottom", "right", "top", "left".
        gate: the height on the right side where the ring's exit lies.
        blocked: places where nobody can run.
        store: what the club owns.
        turn_radius_m: of who runs it, where it is not to be the rulebook's.
    """
    wanted = edges or Edges()
    around = box(obstacles)
    left, bottom = (
        low - ROOM_M if side is None else side
        for low, side in zip(around, (wanted.left, wanted.bottom), strict=False)
    )
    right, top = (
        high + ROOM_M if side is None else side
        for high, side in zip(around[2:], (wanted.right, wanted.top), strict=True)
    )
    width, height = right - left, top - bottom
    sides = ("bottom", "right", "top", "left")
    ring = Ring(
        outline=((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)),
        solid=frozenset(sides.index(side) for side in solid),
        exit=None if gate is None else ((width, gate - bottom - 1.0), (width, gate - bottom + 1.0)),
        blocked=tuple(_moved(place, -left, -bottom) for place in blocked),
    )
    moved = tuple(replace(o, at=(o.at[0] - left, o.at[1] - bottom)) for o in obstacles)
    words = [obstacle.id for obstacle in obstacles] if run is None else run
    course = Course("example", "", "", "", ring, moved, run_of(words), store=store)
    return Sketch(course, turn_radius_m)


def _moved(blocked: Blocked, dx: float, dy: float) -> Blocked:
    outline = tuple((x + dx, y + dy) for x, y in blocked.outline)
    return replace(blocked, outline=outline, centre=(blocked.centre[0] + dx, blocked.centre[1] + dy))

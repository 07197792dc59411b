"""What the judge drew, as frozen data in metres and degrees.

Frame: x to the right along the bottom side of the ring, y up the plan, origin at its bottom-left corner.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from coursecheck.geometry.frames import Frame, Point

__all__ = ["Blocked", "Course", "Neighbour", "Obstacle", "Origin", "Pass", "Ring", "Stock"]


@dataclass(frozen=True, slots=True)
class Blocked:
    """A place of the ring where nobody can run: a pillar, a tent, a drain.

    Attributes:
        name: what it is.
        outline: its corners, in order, for a polygon; empty for a disc.
        centre: the centre of a disc.
        radius_m: the radius of a disc, 0 for a polygon.
    """

    name: str
    outline: tuple[Point, ...] = ()
    centre: Point = (0.0, 0.0)
    radius_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Another ring that lies beside this one.

    Attributes:
        name: which ring it is.
        gap_m: from edge to edge.
        fence: whether a wall or a closed fence stands between the two.
    """

    name: str
    gap_m: float
    fence: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """The ring.

    Attributes:
        outline: corners in order, counter-clockwise, not closed. Of a ring given by its size: bottom-left,
            bottom-right, top-right, top-left, so that its sides are bottom, right, top, left.
        solid: indices of the sides that are walls; side i runs from corner i to corner i + 1.
        entrance: the two ends of the entrance, or None.
        exit: the two ends of the exit, or None.
        blocked: places where nobody can run.
        beside: the rings beside it.
        indoor: whether the ring is in a hall.
    """

    outline: tuple[Point, ...]
    solid: frozenset[int] = frozenset()
    entrance: tuple[Point, Point] | None = None
    exit: tuple[Point, Point] | None = None
    blocked: tuple[Blocked, ...] = ()
    beside: tuple[Neighbour, ...] = ()
    indoor: bool = False

    def sides(self) -> Iterator[tuple[Point, Point]]:
        """The sides as pairs of corners, in order."""
        for i, corner in enumerate(self.outline):
            yield corner, self.outline[(i + 1) % len(self.outline)]


@dataclass(frozen=True, slots=True)
class Obstacle:
    """An obstacle that stands in the ring, numbered or not.

    Attributes:
        id: its name in the file: letters, digits, - and _.
        kind: what it is, one of the names of the equipment catalogue.
        at: centre of the ground footprint; of a tunnel the mouth that it is entered by, forwards.
        bearing_deg: the way a dog goes over it forwards, clockwise from up the plan.
        sizes: the sizes that the judge gave, by name: metres, degrees or counts as the kind says.
    """

    id: str
    kind: str
    at: Point
    bearing_deg: float
    sizes: Mapping[str, float] = field(default_factory=dict)

    @property
    def frame(self) -> Frame:
        """The local frame: origin at `at`, along the bearing."""
        return Frame(self.at, self.bearing_deg)


@dataclass(frozen=True, slots=True)
class Pass:
    """One numbered performance of an obstacle.

    Attributes:
        number: 1-based place in the sequence.
        obstacle: the obstacle's id.
        reverse: whether it is taken against its bearing.
        turn: the way the dog must turn after it, "left" or "right"; None for the short way round.
    """

    number: int
    obstacle: str
    reverse: bool = False
    turn: str | None = None


@dataclass(frozen=True, slots=True)
class Stock:
    """How many obstacles of one kind the club owns, and of tunnels, how long each is (metres)."""

    count: int
    lengths: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a course was read from.

    Attributes:
        file: the name as the user gave it.
        sha256: of the file's bytes, hexadecimal.
        lines: the line of each key path of the file, for messages.
    """

    file: str
    sha256: str
    lines: Mapping[str, int] = field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Course:
    """A course plan.

    Attributes:
        title: as printed on the papers.
        rulebook: the name of a shipped rulebook, or a path beside the course file.
        discipline: as the rulebook lists it.
        grade: as the rulebook lists it.
        heights: the height classes it is judged for; empty: all that the rulebook lists.
        speed_mps: the judge's speed, or None where the judge has not chosen one.
        units: "m" or "ft", of every length in the file; the model itself is always metric.
        ring: the ring.
        obstacles: all obstacles that stand in it, in the file's order.
        passes: the sequence.
        start_line_m: distance of the start line before the first obstacle.
        finish_line_m: distance of the finish line after the last obstacle.
        store: what the club owns by kind, or None where the file does not say.
        origin: the file it came from, or None.
    """

    title: str
    rulebook: str
    discipline: str
    grade: str
    ring: Ring
    obstacles: tuple[Obstacle, ...]
    passes: tuple[Pass, ...]
    heights: tuple[str, ...] = ()
    speed_mps: float | None = None
    units: str = "m"
    start_line_m: float = 0.0
    finish_line_m: float = 0.0
    store: Mapping[str, Stock] | None = None
    origin: Origin | None = None

    def obstacle(self, name: str) -> Obstacle:
        """The obstacle of that id; KeyError where there is none."""
        for obstacle in self.obstacles:
            if obstacle.id == name:
                return obstacle
        raise KeyError(name)

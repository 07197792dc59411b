"""What an obstacle is on the ground: footprint, solid parts, portals. The words of this package."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from shapely.geometry import Polygon

from coursecheck.course.kinds import Size
from coursecheck.course.model import Obstacle
from coursecheck.geometry.frames import Frame, Point
from coursecheck.geometry.segments import Segment

__all__ = ["Kind", "Portal", "Shape", "Way"]


@dataclass(frozen=True, slots=True)
class Portal:
    """Where a dog enters or leaves an obstacle.

    Attributes:
        centre: the middle of the opening.
        half_width_m: half the opening; 0 where the dog goes through one point.
        bearing_deg: the mean direction in which the dog runs through it.
        cone_deg: how far the dog's direction may lie to either side of that; 0: straight only, 180: any way.
    """

    centre: Point
    half_width_m: float
    bearing_deg: float
    cone_deg: float

    @property
    def frame(self) -> Frame:
        """Local frame of the opening: along the running direction, from its middle."""
        return Frame(self.centre, self.bearing_deg)

    @property
    def ends(self) -> tuple[Point, Point]:
        """The left and the right end of the opening."""
        return (self.frame.place(0.0, -self.half_width_m), self.frame.place(0.0, self.half_width_m))


@dataclass(frozen=True, slots=True)
class Way:
    """One way through an obstacle, forwards or reverse.

    Attributes:
        form: "flight": straight across, from take-off through entry and exit portal to landing, anywhere within
            the opening and the cone; "track": along `track` and nothing else; "stop": the dog comes in by any
            direction, stops at the centre of the portals (one point), and leaves in any direction.
        entry: the portal it goes in by.
        exit: the portal it goes out by. Of a flight, parallel to the entry and `depth` further on.
        track: the exact track of the dog from entry to exit, for the form "track".
    """

    form: Literal["flight", "track", "stop"]
    entry: Portal
    exit: Portal
    track: tuple[Segment, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """An obstacle on the ground for one height class.

    Attributes:
        obstacle: the obstacle.
        kind: its kind.
        sizes: every size of the kind, resolved.
        footprint: the ground that it covers.
        solids: the parts that a dog cannot run through. Curved sides are chords within 0.1 mm of the curve.
        bars: straight pieces between solid parts that a dog may cross in its own pass only: the bar between the
            wings, the row of poles.
        marks: named points to set it out by: uprights, poles, mouths, plank ends.
        forwards: the way along its bearing.
        reverse: the way against it.
        centre: the centre of its ground footprint, for distances between centres.
    """

    obstacle: Obstacle
    kind: Kind
    sizes: Mapping[str, float]
    footprint: Polygon
    solids: tuple[Polygon, ...]
    bars: tuple[tuple[Point, Point], ...]
    marks: tuple[tuple[str, Point], ...]
    forwards: Way
    reverse: Way
    centre: Point

    def way(self, *, reverse: bool) -> Way:
        """The way of a pass."""
        return self.reverse if reverse else self.forwards


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of obstacle.

    Attributes:
        name: the word in a course file.
        title: the words on paper.
        family: "jump" (cleared in flight), "contact", "tunnel", "weaves" or "table".
        synonyms: other words people use for it; refused with a hint.
        sizes: its sizes with default, unit and source.
        build: makes the shape from the obstacle, its resolved sizes and the line kept in a tunnel.
        slope: of planks: which size is their length, which one their height, and how many slopes a length makes.
    """

    name: str
    title: str
    family: str
    synonyms: tuple[str, ...]
    sizes: Mapping[str, Size]
    build: Callable[[Kind, Obstacle, Mapping[str, float], str], Shape]
    slope: tuple[str, str, int] | None = None

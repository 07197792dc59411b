"""The states that a pass offers: where and in which direction a dog may go through it.

A course becomes a chain of *nodes*. A node is entered in one pose and left in another, and both follow from two
numbers: the lateral offset within the opening and the direction within the cone. A fixed track has one state. A stop
becomes two nodes, one to come in by and one to leave by, between which the dog turns on the spot.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import shapely

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Shape, Way
from coursecheck.geometry.frames import heading_rad
from coursecheck.geometry.segments import Pose
from coursecheck.path.memo import Memo
from coursecheck.path.runner import Runner
from coursecheck.path.words import Floats

__all__ = ["EVEN_M", "FREE", "Link", "Node", "chain_of_passes", "point_node", "track_node"]

EVEN_M = 1e-6  # see Node.own_cost
FREE = math.pi
"""The cone of a node whose direction is free all round."""


@dataclass(frozen=True, slots=True)
class Node:
    """What can be chosen at one place of the chain.

    Attributes:
        entry: the pose at its opening for offset 0 and direction 0, where it is entered.
        exit: the same, where it is left.
        bands: the ranges of the lateral offset, metres to the right; (0, 0) where there is nothing to choose.
        cone_rad: how far the direction may lie to either side; pi: all round.
        before_m: straight before the opening.
        after_m: straight beyond it.
        depth_m: from the entry opening to the exit opening, across.
        throat_m: how far the solid sides reach before the entry opening and beyond the exit opening.
        half_opening_m: half of what is free between them.
    """

    entry: Pose
    exit: Pose
    bands: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
    cone_rad: float = 0.0
    before_m: float = 0.0
    after_m: float = 0.0
    depth_m: float = 0.0
    throat_m: float = 0.0
    half_opening_m: float = 0.0
    _hash: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Nodes are asked for their hash all the time, and few figures tell them apart."""
        figures = self.entry.x, self.entry.y, self.entry.heading, self.before_m, self.after_m
        object.__setattr__(self, "_hash", hash(figures))

    def __hash__(self) -> int:
        return self._hash

    @property
    def half_width_m(self) -> float:
        """The greatest offset."""
        return self.bands[-1][1]

    @property
    def free(self) -> bool:
        """Whether any direction will do."""
        return self.cone_rad >= FREE

    @property
    def fixed(self) -> bool:
        """Whether there is nothing to choose: a track, no flight."""
        return self.cone_rad == 0.0 == self.half_opening_m and self.bands == ((0.0, 0.0),)

    @property
    def narrow(self) -> bool:
        """Whether the solid sides leave less room for a direction than the cone."""
        reach_m = self.depth_m + self.throat_m
        return reach_m > 0.0 and reach_m * math.tan(self.cone_rad) > self.half_opening_m - self.half_width_m

    def limits_rad(self, offset: float) -> tuple[float, float]:
        """The least and the greatest direction at an offset: within the cone, and nowhere outside the opening."""
        if not self.narrow:
            return -self.cone_rad, self.cone_rad
        left, right = self.half_opening_m + offset, self.half_opening_m - offset
        reach, ahead = self.depth_m + self.throat_m, max(self.throat_m, 1e-9)
        low = math.atan(min(right / reach, left / ahead))
        return -min(self.cone_rad, low), min(self.cone_rad, math.atan(min(left / reach, right / ahead)))

    def own_cost(self, states: Floats) -> Floats:
        """The way through the depth at each of n states (n, 2), in metres, and what makes one choice of equals.

        Between states that are equally good the middle of the opening and the mean direction are preferred; the
        weight is too small to change a length that could be measured.
        """
        cost = self.depth_m / np.cos(states[:, 1])
        if self.half_width_m > 0.0:
            cost = cost + EVEN_M * (states[:, 0] / self.half_width_m) ** 2
        return np.asarray(cost if self.free else cost + EVEN_M * states[:, 1] ** 2)

    def grid(self, offsets: int, step_rad: float) -> Floats:
        """States spread evenly over all that is allowed, shape (n, 2): offset in metres, direction in radians.

        Args:
            offsets: how many across each band.
            step_rad: directions are no further apart than this, and there are as many to either side of the mean one.
        """
        across = [np.linspace(*band, offsets if band[0] < band[1] else 1) for band in self.bands]
        chosen = np.concatenate(across)
        if self.cone_rad == 0.0:
            return np.column_stack((chosen, np.zeros_like(chosen)))
        half = math.ceil(self.cone_rad / step_rad - 1e-9)
        shares = np.arange(1 - half if self.free else -half, half + 1) / half
        low, high = np.array([self.limits_rad(offset) for offset in chosen.tolist()]).T
        turned = ((low + high) / 2)[:, None] + ((high - low) / 2)[:, None] * shares
        return np.column_stack((np.repeat(chosen, len(shares)), turned.ravel()))

    def around(self, state: Floats, reach: Floats, steps: tuple[int, int]) -> Floats:
        """States round one of them, as far as `reach` (metres, radians) and no further than allowed."""
        if self.cone_rad == 0.0 == self.half_width_m:
            return state[None]
        (offset, direction), (across, turn) = state.tolist(), reach.tolist()
        low, high = self.band_of(offset)
        turned = [direction + turn * share for share in _shares(steps[1])] if self.cone_rad else [0.0]
        states: list[tuple[float, float]] = []
        for there in sorted({min(max(offset + across * share, low), high) for share in _shares(steps[0])}):
            least, greatest = (-math.inf, math.inf) if self.free else self.limits_rad(there)
            states += [(there, min(max(angle, least), greatest)) for angle in turned]
        return np.array(states)

    def band_of(self, offset: float) -> tuple[float, float]:
        """The band that holds an offset."""
        if len(self.bands) == 1:
            return self.bands[0]
        return min(self.bands, key=lambda band: max(band[0] - offset, offset - band[1], 0.0))


def track_node(entry: Pose, exit: Pose) -> Node:  # noqa: A002 - the word of the trade
    """A node without a choice."""
    return Node(entry, exit)


def point_node(x: float, y: float, half_width_m: float = 0.0, heading: float = 0.0) -> Node:
    """A gate across `heading`, or a point, to be run through in any direction."""
    pose = Pose(x, y, heading)
    return Node(pose, pose, bands=((-half_width_m, half_width_m),), cone_rad=FREE)


def _shares(steps: int) -> list[float]:
    """Evenly from -1 to 1."""
    return [2 * i / (steps - 1) - 1 for i in range(steps)]


@dataclass(frozen=True, slots=True)
class Link:
    """What joins a node to the next one.

    Attributes:
        number: the pass that is left, or of a stop the pass itself.
        stop: whether it is the stop between coming in and leaving: no way at all, any turn on the spot.
        turn: the way the dog must turn, or None.
    """

    number: int
    stop: bool = False
    turn: str | None = None


def chain_of_passes(
    passes: Sequence[Pass], shapes: Mapping[str, Shape], runner: Runner, memo: Memo | None = None
) -> tuple[list[Node], list[Link]]:
    """The nodes of a course in order and the links between them."""
    memo = memo or Memo()
    nodes: list[Node] = []
    links: list[Link] = []
    previous: Pass | None = None
    ways = [(shapes[run.obstacle], run.reverse) for run in passes]
    who = memo.get("runner", runner, object)
    found = memo.many("nodes", [(*way, who) for way in ways], lambda new: [_nodes_of(*ways[i], runner) for i in new])
    for run, made in zip(passes, found, strict=True):
        if previous is not None:
            links.append(Link(previous.number, turn=previous.turn))
        links += [Link(run.number, stop=True) for _ in pairwise(made)]
        nodes += made
        previous = run
    return nodes, links


def _nodes_of(shape: Shape, reverse: bool, runner: Runner) -> list[Node]:
    way = shape.way(reverse=reverse)
    if way.form == "track":
        return [track_node(way.track[0].start, way.track[-1].end)]
    if way.form == "stop":
        centre = Pose(*way.entry.centre, heading_rad(way.entry.bearing_deg))
        reach = max(math.dist(corner, way.entry.centre) for corner in shape.footprint.exterior.coords)
        return [
            Node(centre, centre, cone_rad=FREE, before_m=reach),
            Node(centre, centre, cone_rad=FREE, after_m=reach),
        ]
    return [_flight_node(shape, way, runner)]


def _flight_node(shape: Shape, way: Way, runner: Runner) -> Node:
    near, far = (share * way.entry.half_width_m for share in runner.crossing)
    front = Pose(*way.entry.centre, heading_rad(way.entry.bearing_deg))
    return Node(
        entry=front,
        exit=front,
        bands=((-far, far),) if near <= 0.0 else ((-far, -near), (near, far)),
        cone_rad=math.radians(way.entry.cone_deg),
        before_m=runner.takeoff_m,
        after_m=runner.landing_m,
        depth_m=math.dist(way.entry.centre, way.exit.centre),
        throat_m=_throat_m(shape, way),
        half_opening_m=way.entry.half_width_m,
    )


def _throat_m(shape: Shape, way: Way) -> float:
    """How far the solid sides of an opening reach before it."""
    (x, y), (ahead_x, ahead_y) = way.entry.centre, way.entry.frame.forward
    corners: list[list[float]] = shapely.get_coordinates(list(shape.solids)).tolist()
    return max([0.0, *(-((corner_x - x) * ahead_x + (corner_y - y) * ahead_y) for corner_x, corner_y in corners)])

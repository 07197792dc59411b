"""The states that a pass offers: where and in which direction a dog may go through it.

A course becomes a chain of *nodes*. A node is entered in one pose and left in another, and both follow from two
numbers: the lateral offset within the opening and the direction within the cone. A fixed track has one state. A stop
becomes two nodes, one to come in by and one to leave by, between which the dog turns on the spot.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Shape, Way
from coursecheck.geometry.frames import heading_rad
from coursecheck.geometry.segments import Pose
from coursecheck.path.runner import Runner
from coursecheck.path.words import Floats

__all__ = ["Link", "Node", "Nodes", "chain_of_passes", "point_node", "track_node"]

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

    @property
    def half_width_m(self) -> float:
        """The greatest offset."""
        return self.bands[-1][1]

    @property
    def free(self) -> bool:
        """Whether any direction will do."""
        return self.cone_rad >= FREE

    @property
    def narrow(self) -> bool:
        """Whether the solid sides leave less room for a direction than the cone."""
        reach_m = self.depth_m + self.throat_m
        return reach_m > 0.0 and reach_m * math.tan(self.cone_rad) > self.half_opening_m - self.half_width_m

    def limit_rad(self, offsets: Floats) -> tuple[Floats, Floats]:
        """The least and the greatest direction at each offset: within the cone, and nowhere outside the opening."""
        low, high = np.full_like(offsets, -self.cone_rad), np.full_like(offsets, self.cone_rad)
        if self.narrow:
            left, right = self.half_opening_m + offsets, self.half_opening_m - offsets
            beyond, ahead = self.depth_m + self.throat_m, max(self.throat_m, 1e-9)
            low = np.maximum(low, -np.arctan(np.minimum(right / beyond, left / ahead)))
            high = np.minimum(high, np.arctan(np.minimum(left / beyond, right / ahead)))
        return low, high

    def own_cost(self, states: Floats) -> Floats:
        """The way through the depth at each of n states (n, 2), in metres, and what makes one choice of equals.

        Between states that are equally good the middle of the opening and the mean direction are preferred; the
        weight is too small to change a length that could be measured.
        """
        cost = self.depth_m / np.cos(states[:, 1])
        if self.half_width_m > 0.0:
            cost = cost + EVEN_M * (states[:, 0] / self.half_width_m) ** 2
        return np.asarray(cost if self.free else cost + EVEN_M * states[:, 1] ** 2)

    def own_derivatives(self, state: Sequence[float]) -> tuple[float, tuple[float, float], tuple[float, float]]:
        """Of one state: `own_cost`, its slopes by offset and direction, its second derivatives."""
        offset, direction = state
        cos, sin = math.cos(direction), math.sin(direction)
        across = EVEN_M / self.half_width_m**2 if self.half_width_m > 0.0 else 0.0
        turned = 0.0 if self.free else EVEN_M
        cost = self.depth_m / cos + across * offset**2 + turned * direction**2
        slope = (2 * across * offset, self.depth_m * sin / cos**2 + 2 * turned * direction)
        return cost, slope, (2 * across, self.depth_m * (1 + sin**2) / cos**3 + 2 * turned)

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
        low, high = self.limit_rad(chosen)
        turned = ((low + high) / 2)[:, None] + ((high - low) / 2)[:, None] * shares
        return np.column_stack((np.repeat(chosen, len(shares)), turned.ravel()))

    def around(self, state: Floats, reach: Floats, steps: tuple[int, int]) -> Floats:
        """States round one of them, as far as `reach` (metres, radians) and no further than allowed."""
        low, high = self.band_of(float(state[0]))
        across = np.unique(np.clip(state[0] + np.linspace(-reach[0], reach[0], steps[0]), low, high))
        turned = np.unique(state[1] + np.linspace(-reach[1], reach[1], steps[1])) if self.cone_rad else np.zeros(1)
        pairs = np.column_stack((np.repeat(across, len(turned)), np.tile(turned, len(across))))
        return self.clip(pairs)

    def band_of(self, offset: float) -> tuple[float, float]:
        """The band that holds an offset."""
        return min(self.bands, key=lambda band: max(band[0] - offset, offset - band[1], 0.0))

    def clip(self, states: Floats) -> Floats:
        """States brought within the directions that are allowed at their offsets."""
        if self.free:
            return states
        low, high = self.limit_rad(states[:, 0])
        return np.column_stack((states[:, 0], np.clip(states[:, 1], low, high)))


def track_node(entry: Pose, exit: Pose) -> Node:  # noqa: A002 - the word of the trade
    """A node without a choice."""
    return Node(entry, exit)


def point_node(x: float, y: float, half_width_m: float = 0.0, heading: float = 0.0) -> Node:
    """A gate across `heading`, or a point, to be run through in any direction."""
    pose = Pose(x, y, heading)
    return Node(pose, pose, bands=((-half_width_m, half_width_m),), cone_rad=FREE)


class Nodes:
    """Many nodes as arrays, to place all their states at once."""

    def __init__(self, nodes: Iterable[Node]) -> None:
        rows = [
            (
                n.entry.x,
                n.entry.y,
                n.entry.heading,
                n.exit.x,
                n.exit.y,
                n.exit.heading,
                n.before_m,
                n.after_m,
                n.depth_m,
            )
            for n in nodes
        ]
        self._table: Floats = np.array(rows, dtype=float).reshape(-1, 9)

    def poses(self, index: NDArray[np.intp], states: Floats) -> tuple[Floats, Floats]:
        """Entry and exit poses, each of shape (..., 3), of states (..., 2) of the nodes `index` (...)."""
        x0, y0, h0, x1, y1, h1, before, after, depth = np.moveaxis(self._table[index], -1, 0)
        offset, direction = states[..., 0], states[..., 1]
        return (
            _placed(x0, y0, h0, offset, direction, -before),
            _placed(x1, y1, h1, offset, direction, after + depth / np.cos(direction)),
        )

    def slopes(self, index: NDArray[np.intp], states: Floats, by_pose: Floats, *, leaving: bool) -> Floats:
        """Slopes by offset and direction (..., 2) of what has the slopes `by_pose` (..., 3) by exit or entry pose."""
        _, _, h0, _, _, h1, before, after, depth = np.moveaxis(self._table[index], -1, 0)
        direction = states[..., 1]
        heading = h1 if leaving else h0
        along = after + depth / np.cos(direction) if leaving else -before
        longer = depth * np.sin(direction) / np.cos(direction) ** 2 if leaving else np.zeros_like(before)
        cos, sin = np.cos(heading + direction), np.sin(heading + direction)
        by_x, by_y = by_pose[..., 0], by_pose[..., 1]
        by_offset = by_x * np.sin(heading) - by_y * np.cos(heading)
        by_direction = by_x * (longer * cos - along * sin) + by_y * (longer * sin + along * cos) + by_pose[..., 2]
        return np.stack((by_offset, by_direction), axis=-1)


def _placed(x: Floats, y: Floats, heading: Floats, offset: Floats, direction: Floats, along: Floats) -> Floats:
    """Poses at an offset to the right of the mean heading, then `along` the chosen direction."""
    turned = heading + direction
    return np.stack(
        (
            x + offset * np.sin(heading) + along * np.cos(turned),
            y - offset * np.cos(heading) + along * np.sin(turned),
            turned,
        ),
        axis=-1,
    )


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
    passes: Iterable[Pass], shapes: Mapping[str, Shape], runner: Runner
) -> tuple[list[Node], list[Link]]:
    """The nodes of a course in order and the links between them."""
    nodes: list[Node] = []
    links: list[Link] = []
    previous: Pass | None = None
    for run in passes:
        if previous is not None:
            links.append(Link(previous.number, turn=previous.turn))
        made = _nodes_of(shapes[run.obstacle], reverse=run.reverse, runner=runner)
        links += [Link(run.number, stop=True) for _ in pairwise(made)]
        nodes += made
        previous = run
    return nodes, links


def _nodes_of(shape: Shape, *, reverse: bool, runner: Runner) -> list[Node]:
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
    frame = way.entry.frame
    corners = [corner for solid in shape.solids for corner in solid.exterior.coords]
    return max([0.0, *(-frame.locate((x, y))[0] for x, y, *_ in corners)])

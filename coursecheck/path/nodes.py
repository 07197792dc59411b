"""Many nodes as arrays: all their states placed, and what follows from them, at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.states import EVEN_M, Node, opening_limits
from coursecheck.path.words import Floats

__all__ = ["Index", "Nodes"]

Index = NDArray[np.intp]


class Nodes:
    """Many nodes as arrays."""

    def __init__(self, nodes: Iterable[Node]) -> None:
        nodes = tuple(nodes)
        poses = [(*n.entry.point, n.entry.heading, *n.exit.point, n.exit.heading) for n in nodes]
        self._poses: Floats = np.array(poses, dtype=float).reshape(-1, 6).T
        self._straights: Floats = np.array([(n.before_m, n.after_m, n.depth_m) for n in nodes]).reshape(-1, 3).T
        sides = [(n.cone_rad, n.depth_m + n.throat_m, n.throat_m, n.half_opening_m) for n in nodes]
        self._sides: Floats = np.array(sides, dtype=float).reshape(-1, 4).T
        self.narrow: NDArray[np.bool_] = np.array([n.narrow for n in nodes], dtype=bool)
        widths = np.array([n.half_width_m for n in nodes])
        across = np.divide(EVEN_M, widths**2, out=np.zeros_like(widths), where=widths > 0.0)
        turned = [0.0 if n.free else EVEN_M for n in nodes]
        self._even: Floats = np.column_stack((across, turned))

    def poses(self, index: Index, states: Floats) -> tuple[Floats, Floats]:
        """Entry and exit poses, each of shape (..., 3), of states (..., 2) of the nodes `index` (...)."""
        x0, y0, h0, x1, y1, h1 = self._poses[:, index]
        before, after, depth = self._straights[:, index]
        offset, direction = states[..., 0], states[..., 1]
        return (
            _placed(x0, y0, h0, offset, direction, -before),
            _placed(x1, y1, h1, offset, direction, after + depth / np.cos(direction)),
        )

    def places(self, numbers: Sequence[int], grids: Sequence[Floats]) -> list[tuple[Floats, Floats]]:
        """Entry and exit poses of all states (n, 2) of each of some nodes."""
        counts = [len(grid) for grid in grids]
        entries, exits = self.poses(np.repeat(np.asarray(numbers), counts), np.concatenate(grids))
        cuts = np.cumsum([0, *counts]).tolist()
        return [(entries[low:high], exits[low:high]) for low, high in pairwise(cuts)]

    def slopes(self, index: Index, states: Floats, by_pose: Floats, *, leaving: bool) -> Floats:
        """Slopes by offset and direction (..., 2) of what has the slopes `by_pose` (..., 3) by exit or entry pose."""
        heading = self._poses[5 if leaving else 2, index]
        before, after, depth = self._straights[:, index]
        direction = states[..., 1]
        along = after + depth / np.cos(direction) if leaving else -before
        longer = depth * np.sin(direction) / np.cos(direction) ** 2 if leaving else np.zeros_like(before)
        cos, sin = np.cos(heading + direction), np.sin(heading + direction)
        by_x, by_y = by_pose[..., 0], by_pose[..., 1]
        slopes = np.empty((*direction.shape, 2))
        slopes[..., 0] = by_x * np.sin(heading) - by_y * np.cos(heading)
        slopes[..., 1] = by_x * (longer * cos - along * sin) + by_y * (longer * sin + along * cos) + by_pose[..., 2]
        return slopes

    def limits(self, index: Index, offsets: Floats) -> tuple[Floats, Floats]:
        """The middle and half the range of the directions at offsets (..., m) of the nodes `index` (m).

        Of nodes that are not narrow 0 and 1, so that a direction there is its own share of the range.
        """
        middle, half = np.zeros_like(offsets), np.ones_like(offsets)
        at = np.nonzero(self.narrow[index])[0]
        if len(at):
            cone, reach, throat, half_opening = self._sides[:, index[at]]
            low, high = opening_limits(cone, reach, throat, half_opening, offsets[..., at])
            middle[..., at], half[..., at] = (low + high) / 2, (high - low) / 2
        return middle, half

    def own(self, states: Floats) -> tuple[Floats, Floats, Floats]:
        """`Node.own_cost` of one state (n, 2) of every node, its slopes and its second derivatives, both (n, 2)."""
        depth, direction = self._straights[2], states[:, 1]
        cos, sin = np.cos(direction), np.sin(direction)
        cost = depth / cos + (self._even * states**2).sum(axis=1)
        slopes, seconds = 2 * self._even * states, 2 * self._even
        slopes[:, 1] += depth * sin / cos**2
        seconds[:, 1] += depth * (1 + sin**2) / cos**3
        return cost, slopes, seconds


def _placed(x: Floats, y: Floats, heading: Floats, offset: Floats, direction: Floats, along: Floats) -> Floats:
    """Poses at an offset to the right of the mean heading, then `along` the chosen direction."""
    turned = heading + direction
    poses = np.empty((*turned.shape, 3))
    poses[..., 0] = x + offset * np.sin(heading) + along * np.cos(turned)
    poses[..., 1] = y - offset * np.cos(heading) + along * np.sin(turned)
    poses[..., 2] = turned
    return poses

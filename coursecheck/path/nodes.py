"""Many nodes as arrays: all their states placed, and what follows from them, at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.states import EVEN_M, Node
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

    def places(
        self, numbers: Sequence[int], grids: Sequence[Floats]
    ) -> tuple[list[tuple[Floats, Floats]], list[Floats]]:
        """Entry and exit poses of all states (n, 2) of each of some nodes, and what the states themselves cost."""
        counts = [len(grid) for grid in grids]
        index, states = np.repeat(np.asarray(numbers), counts), np.concatenate(grids)
        (entries, exits), costs = self.poses(index, states), self.own_costs(index, states)
        cuts = list(pairwise(np.cumsum([0, *counts]).tolist()))
        return [(entries[low:high], exits[low:high]) for low, high in cuts], [costs[low:high] for low, high in cuts]

    def own_costs(self, index: Index, states: Floats) -> Floats:
        """`Node.own_cost` of states (n, 2) of the nodes `index` (n)."""
        return np.asarray(
            self._straights[2, index] / np.cos(states[:, 1]) + (self._even[index] * states**2).sum(axis=1)
        )


def _placed(x: Floats, y: Floats, heading: Floats, offset: Floats, direction: Floats, along: Floats) -> Floats:
    """Poses at an offset to the right of the mean heading, then `along` the chosen direction."""
    turned = heading + direction
    poses = np.empty((*turned.shape, 3))
    poses[..., 0] = x + offset * np.sin(heading) + along * np.cos(turned)
    poses[..., 1] = y - offset * np.cos(heading) + along * np.sin(turned)
    poses[..., 2] = turned
    return poses

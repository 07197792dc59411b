"""Many nodes as arrays: all their states placed, and what follows from them, at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import accumulate, pairwise, starmap

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.states import EVEN_M, Node
from coursecheck.path.words import Floats

__all__ = ["Index", "Nodes"]

Index = NDArray[np.intp] | slice


class Nodes:
    """Many nodes as arrays."""

    def __init__(self, nodes: Iterable[Node]) -> None:
        self._figures: Floats = np.array([_figures(node) for node in nodes], dtype=float).reshape(-1, 11).T

    def replace(self, k: int, node: Node) -> None:
        """Puts another node in the place of one."""
        self._figures[:, k] = _figures(node)

    def poses(self, index: Index | int, states: Floats) -> tuple[Floats, Floats]:
        """Entry and exit poses, each of shape (..., 3), of states (..., 2) of the nodes `index` (...)."""
        x0, y0, h0, x1, y1, h1, before, after, depth, *_ = self._figures[:, index]
        offset, direction = states[..., 0], states[..., 1]
        return (
            _placed(x0, y0, h0, offset, direction, -before),
            _placed(x1, y1, h1, offset, direction, after + depth / np.cos(direction)),
        )

    def places(self, numbers: Sequence[int], grids: Sequence[Floats]) -> list[tuple[Floats, Floats, Floats]]:
        """Entry and exit poses of all states (n, 2) of each of some nodes, and what the states themselves cost."""
        counts = [len(grid) for grid in grids]
        index, states = np.repeat(np.asarray(numbers), counts), np.concatenate(grids)
        (entries, exits), costs = self.poses(index, states), self.own_costs(index, states)
        cuts = starmap(slice, pairwise(accumulate(counts, initial=0)))
        return [(entries[cut], exits[cut], costs[cut]) for cut in cuts]

    def own_costs(self, index: Index, states: Floats) -> Floats:
        """`Node.own_cost` of states (n, 2) of the nodes `index` (n)."""
        depth, across, turned = self._figures[8:, index]
        offset, direction = states.T
        return np.asarray(depth / np.cos(direction) + (across * offset**2 + turned * direction**2))


def _figures(node: Node) -> tuple[float, ...]:
    """Both poses, the straights before, beyond and through it, and what makes one choice of equals."""
    entry, exit_pose, width_m = node.entry, node.exit, node.half_width_m
    return (
        *(entry.x, entry.y, entry.heading, exit_pose.x, exit_pose.y, exit_pose.heading),
        *(node.before_m, node.after_m, node.depth_m),
        EVEN_M / width_m**2 if width_m > 0.0 else 0.0,
        0.0 if node.free else EVEN_M,
    )


def _placed(x: Floats, y: Floats, heading: Floats, offset: Floats, direction: Floats, along: Floats) -> Floats:
    """Poses at an offset to the right of the mean heading, then `along` the chosen direction."""
    turned = heading + direction
    poses = np.empty((*turned.shape, 3))
    poses[..., 0] = x + offset * np.sin(heading) + along * np.cos(turned)
    poses[..., 1] = y - offset * np.cos(heading) + along * np.sin(turned)
    poses[..., 2] = turned
    return poses

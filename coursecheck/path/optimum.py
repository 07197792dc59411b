"""The best states of a whole chain: dynamic programming over a grid of states, then over ever closer ones."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.states import Link, Node, Nodes
from coursecheck.path.words import Floats, solve

__all__ = ["best_states", "cheapest_chain"]

LEVELS = 12
SHRINK = 0.5


def best_states(nodes: Sequence[Node], links: Sequence[Link], radius_m: float) -> list[Floats]:
    """The states of all nodes for which the line is shortest, each of shape (2,)."""
    grids = [node.grid(3, 24 if node.free else 9) for node in nodes]
    table = Nodes(nodes)
    reach = np.array([[node.half_width_m, 2 * node.cone_rad / (24 if node.free else 8)] for node in nodes])
    chosen: list[Floats] = []
    for _level in range(LEVELS):
        costs = _leg_costs(table, grids, links, radius_m)
        inner = [_inner_cost(node, grid) for node, grid in zip(nodes, grids, strict=True)]
        path = cheapest_chain(costs, inner)
        chosen = [grid[i] for grid, i in zip(grids, path, strict=True)]
        reach *= SHRINK
        grids = [
            node.around(state, reach[k], (3, 5)) for k, (node, state) in enumerate(zip(nodes, chosen, strict=True))
        ]
    return chosen


def _inner_cost(node: Node, states: Floats) -> Floats:
    return np.asarray(node.depth_m / np.cos(states[:, 1]))


def _leg_costs(table: Nodes, grids: Sequence[Floats], links: Sequence[Link], radius_m: float) -> list[Floats]:
    """The length of every leg between all states of its two ends, each of shape (n, m)."""
    places = [table.poses(np.full(len(grid), k), grid) for k, grid in enumerate(grids)]
    costs = []
    for k, link in enumerate(links):
        leave, come = places[k][1], places[k + 1][0]
        n, m = len(leave), len(come)
        if link.stop:
            costs.append(np.zeros((n, m)))
            continue
        words = solve(np.repeat(leave, m, axis=0), np.tile(come, (n, 1)), radius_m)
        lengths = words.lengths_m
        if link.turn is not None:
            wrong = words.turns_rad <= 1e-9 if link.turn == "left" else words.turns_rad >= -1e-9
            lengths[wrong] = np.inf
        costs.append(lengths.min(axis=0).reshape(n, m))
    return costs


def cheapest_chain(costs: Sequence[Floats], inner: Sequence[Floats]) -> list[int]:
    """The cheapest way through a chain of choices, by dynamic programming.

    Args:
        costs: the cost from each choice of one place to each of the next, shapes (n, m).
        inner: the cost of each choice itself, shapes (n,).
    """
    total = inner[0]
    came: list[NDArray[np.intp]] = []
    for cost, own in zip(costs, inner[1:], strict=True):
        through = total[:, None] + cost
        came.append(through.argmin(axis=0))
        total = through.min(axis=0) + own
    path = [int(total.argmin())]
    for back in reversed(came):
        path.append(int(back[path[-1]]))
    return path[::-1]

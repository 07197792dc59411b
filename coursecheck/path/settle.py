"""The best chain over a grid of states, by dynamic programming that is lazy about what stands in the way.

It begins with the lengths of all curves as if the ring were empty, looks exactly at the few curves of the best chain,
strikes out those that hit something, adds the ways round, and begins again: when the best chain is clear, no other
chain over the same states can be shorter, since what was never looked at can only get longer.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.curves import Curve, Place
from coursecheck.path.legs import Leg, look_at
from coursecheck.path.tables import TIE_M, LegTable, first_of_least
from coursecheck.path.words import Floats

__all__ = ["cheapest_chain", "settle"]

Asked = tuple[int, int, LegTable, int]
"""One leg of a chain: the number of its stretch, its own, its table, and its pair of states in the best chain."""


def cheapest_chain(costs: Sequence[Floats], inner: Sequence[Floats]) -> list[int]:
    """The cheapest way through a chain of choices, by dynamic programming.

    Args:
        costs: the cost from each choice of one place to each of the next, shapes (n, m).
        inner: the cost of each choice itself, shapes (n,).
    """
    came: list[NDArray[np.intp]] = []
    total = inner[0]
    for cost, own in zip(costs, inner[1:], strict=True):
        through = total[:, None] + cost
        least = through.min(axis=0)
        came.append((through <= least + TIE_M).argmax(axis=0))
        total = least + own
    path = [first_of_least(total)]
    for back in reversed(came):
        path.append(int(back[path[-1]]))
    return path[::-1]


def _totals(costs: Sequence[Floats], inner: Sequence[Floats]) -> tuple[list[Floats], list[Floats]]:
    """The least cost up to each choice, itself included, and from it to the end, itself left out."""
    upto = [inner[0]]
    for cost, own in zip(costs, inner[1:], strict=True):
        upto.append((upto[-1][:, None] + cost).min(axis=0) + own)
    onward = [np.zeros_like(inner[-1])]
    for cost, own in zip(reversed(costs), reversed(inner[1:]), strict=True):
        onward.append((cost + (own + onward[-1])[None, :]).min(axis=1))
    return upto, onward[::-1]


def _around(upto: Sequence[Floats], onward: Sequence[Floats], inner: Sequence[Floats], k: int) -> Floats:
    """The least cost of the whole chain but for its leg k, by pair of choices, from `_totals`."""
    return (upto[k][:, None] + (inner[k + 1] + onward[k + 1])[None, :]).ravel()


def settle(
    stretches: Sequence[tuple[Sequence[LegTable], Sequence[Floats]]],
) -> list[tuple[list[int], list[Curve | None]]]:
    """The best chain of each of some stretches: the state of each node and the curve of each leg, all looked at.

    A leg is given up only when none of its curves is left: where it is given up earlier, the order of equals decides.
    Every round strikes out at least one curve, and ever more of its like, or finds new ways round.

    Args:
        stretches: the tables of the legs, and the cost of each state of each node.
    """
    chosen: dict[int, tuple[list[int], list[int]]] = {}
    unsettled = list(range(len(stretches)))
    while unsettled:
        costs = {i: [table.costs() for table in stretches[i][0]] for i in unsettled}
        asked: list[Asked] = []
        for i in unsettled:
            tables, inner = stretches[i]
            path = cheapest_chain(costs[i], inner)
            pairs = [table.pair(*ends) for table, ends in zip(tables, pairwise(path), strict=True)]
            chosen[i] = path, pairs
            asked += [(i, k, *one) for k, one in enumerate(zip(tables, pairs, strict=True))]
        struck = _struck(asked)
        hit = {i for (i, *_), _ in struck}
        clear = [one for one in asked if one[0] not in hit and one[2].unexplored]
        totals = {i: _totals(costs[i], stretches[i][1]) for i in hit | {i for i, *_ in clear}}
        for (i, k, table, pair), row in struck:
            table.strike_out(row, pair)
            table.go_round(row, pair, _around(*totals[i], stretches[i][1], k))
        further = {
            i for i, k, table, pair in clear if table.look_further(pair, _around(*totals[i], stretches[i][1], k))
        }
        unsettled = sorted(hit | further)
    return [
        (path, [table.chosen(pair) for table, pair in zip(stretches[i][0], pairs, strict=True)])
        for i, (path, pairs) in sorted(chosen.items())
    ]


def _struck(asked: Sequence[Asked]) -> list[tuple[Asked, int]]:
    """Looks at the best curves of some legs; those that come too near to something, or do not exist, with their rows.

    Those that do not exist come first.
    """
    struck: list[tuple[Asked, int]] = []
    looked_at: list[tuple[Asked, int]] = []
    curves: list[tuple[Leg, Curve, Place]] = []
    for one in asked:
        _, _, table, pair = one
        if (best := table.unknown(pair)) is None:
            continue
        row, leg, curve, start = best
        if curve is None:
            struck.append((one, row))
        else:
            looked_at.append((one, row))
            curves.append((leg, curve, start))
    for (one, row), (leg, _, _), hit in zip(looked_at, curves, look_at(curves), strict=True):
        if hit is None:
            _, _, table, pair = one
            table.clear.add((row, pair))
        else:
            leg.met(hit.owner)
            struck.append((one, row))
    return struck

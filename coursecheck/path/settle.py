"""The best chain over a grid of states, by dynamic programming that is lazy about what stands in the way.

It begins with the lengths of all curves as if the ring were empty, looks exactly at the few curves of the best chain,
strikes out those that hit something, adds the ways round, and begins again: when the best chain is clear, no other
chain over the same states can be shorter, since what was never looked at can only get longer.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache, partial
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.curves import Curve, Place
from coursecheck.path.flights import BLOCKED_M
from coursecheck.path.legs import WORDS, Leg, Looked, look_at
from coursecheck.path.memo import Memo
from coursecheck.path.words import Floats, word_lengths

__all__ = ["LegTable", "cheapest_chain", "leg_tables", "settle"]

BARREN = 3  # searches of a leg for ways round that bring nothing new, after which it is not searched any more
ALIKE = 800  # curves of a leg that are refuted together, the first time; twice as many each further time
QUICK = 4 * ALIKE  # as many are refuted quickly; of more, the ends are looked at, too
TIE_M = 1e-9  # what is no shorter than this is as short: the first of equals is chosen, wherever the plan lies
SMALL = 400  # pairs of poses of a leg that is solved together with others,
TOGETHER = 20  # as many legs; more would leave the processor's cache


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
    path = [int((total <= total.min() + TIE_M).argmax())]
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


@dataclass(slots=True)
class LegTable:
    """All curves of one leg between the states of its two ends; at a stop, where there is no leg, nothing.

    Attributes:
        leg: the leg, or None.
        exits, entries: the poses of the states at its two ends, shapes (n, 3) and (m, 3).
        lengths_m: of all curves, shape (curves, n * m), ends running fastest; infinite where a curve was struck out.
        least_m: of each pair, while the lengths are the memo's, too, and must be copied before they are changed.
        made: the curves that were taken out, by row and pair.
        clear: those of them that were looked at and are clear.
    """

    leg: Leg | None
    exits: Floats
    entries: Floats
    lengths_m: Floats
    least_m: Floats | None = None
    made: dict[tuple[int, int], Curve] = field(default_factory=dict)
    clear: set[tuple[int, int]] = field(default_factory=set)
    _barren: int = 0
    _alike: int = ALIKE // 2
    _looked: Looked | None = None

    def poses(self, pairs: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """Where the curves of some pairs start and end."""
        return self.exits[pairs // len(self.entries)], self.entries[pairs % len(self.entries)]

    def costs(self) -> Floats:
        """The length of the best curve for each pair, shape (n, m)."""
        least = self.least_m if self.least_m is not None else _least_of(self.lengths_m)
        return least.reshape(len(self.exits), len(self.entries))

    def pair(self, here: int, there: int) -> int:
        """The index of a pair of states."""
        return here * len(self.entries) + there

    def row(self, pair: int) -> int:
        """The row of the best curve of a pair."""
        lengths = self.lengths_m[:, pair]
        return int((lengths <= lengths.min() + TIE_M).argmax())

    def unknown(self, pair: int) -> tuple[int, Leg, Curve | None, Place] | None:
        """The best curve of a pair, to be looked at, with its row, leg and start; None where that is not needed.

        The curve itself is None where it does not exist after all: lengths of routes are not quite settled.
        """
        if self.leg is None or self.leg.problem is not None:
            return None
        row = self.row(pair)
        if (row, pair) in self.clear or not math.isfinite(self.lengths_m[row, pair]):
            return None
        start, end = self.ends(pair)
        if (row, pair) not in self.made:
            curve = self.leg.curve(start, end, row)
            if curve is None:
                return row, self.leg, None, start
            self.made[row, pair] = curve
        return row, self.leg, self.made[row, pair], start

    def ends(self, pair: int) -> tuple[Place, Place]:
        """Where the curves of one pair start and end."""
        here, there = divmod(pair, len(self.entries))
        (x, y, heading), (to_x, to_y, to_heading) = self.exits[here].tolist(), self.entries[there].tolist()
        return (x, y, heading), (to_x, to_y, to_heading)

    def strike_out(self, row: int, pair: int) -> None:
        """Puts one curve out of the question."""
        if self.least_m is not None:
            self.lengths_m, self.least_m = self.lengths_m.copy(), None
        self.lengths_m[row, pair] = np.inf

    def go_round(self, row: int, pair: int, upto: Floats, onward: Floats) -> None:
        """After a curve was struck out: finds ways round, and strikes out its like at other pairs that matter.

        Args:
            row: the curve that was struck out.
            pair: its pair of states.
            upto: the least cost of the chain up to each state at the leg's start.
            onward: the least cost from each state at its end.
        """
        if self.leg is None:
            return
        if self._barren < BARREN and (row >= WORDS or not self.leg.routes):
            new = self.leg.find_ways_round(*self.ends(pair))
            self._barren += not new
            if new:
                starts, ends = self.poses(np.arange(self.lengths_m.shape[1]))
                more = [self.leg.route_lengths(route, starts, ends) for route in new]
                self.lengths_m = np.concatenate([self.lengths_m, *more])
        around = (upto[:, None] + onward[None, :]).ravel()
        self._alike *= 2
        if self._looked is None:
            self._looked = Looked(*np.zeros((2, *self.lengths_m.shape), dtype=bool))
        self._looked.keep_up(len(self.lengths_m), len(self.leg.owners), thorough=self._alike > QUICK)
        if row >= WORDS:
            through = around + self.lengths_m[row]
            pairs = _least(through, self._alike // 4)
            self.leg.refute_route(self.lengths_m, self._looked, row, *self.poses(pairs), pairs)
            return
        through = around + self.lengths_m[:WORDS].min(axis=0)
        bound = (around + self.lengths_m[WORDS:].min(axis=0, initial=np.inf)).min()
        pairs = _least(through, self._alike)
        pairs = pairs[through[pairs] <= bound + TIE_M]
        self.leg.refute(self.lengths_m, self._looked, *self.poses(pairs), pairs)

    def chosen(self, pair: int) -> Curve | None:
        """The best curve of a pair; where there is none, the shortest one, and the leg has a problem."""
        if self.leg is None:
            return None
        row = self.row(pair)
        if self.leg.problem is None and not np.isfinite(self.lengths_m[row, pair]):
            self.leg.give_up()
        if self.leg.problem is not None:
            return self.leg.shortest_option(*self.ends(pair)).curve()
        return self.made[row, pair]


def _least(values: Floats, count: int) -> NDArray[np.intp]:
    """The indices of the least of all values, at most so many; of equals the first ones."""
    return np.argsort(np.round(values / TIE_M), kind="stable")[:count]


def leg_tables(
    legs: Sequence[Leg | None], ends: Sequence[tuple[Floats, Floats]], keys: Sequence[Hashable], memo: Memo
) -> list[LegTable]:
    """The tables of legs.

    Args:
        legs: the legs; None at a stop.
        ends: the poses of all states at the start and at the end of each.
        keys: of each leg, what its poses follow from, or None where that is not worth keeping.
        memo: keeps the words of legs that have a key.
    """
    words = _words(legs, ends, keys, memo)
    tables = []
    for leg, (exits, entries), (lengths, least) in zip(legs, ends, words, strict=True):
        if leg is not None and leg.routes:
            starts, ways = _pairs([(exits, entries)])
            lengths = np.concatenate([lengths, *(leg.route_lengths(route, starts, ways) for route in leg.routes)])
            least = None
        tables.append(LegTable(leg, exits, entries, lengths, least))
    return tables


def _pairs(ends: Sequence[tuple[Floats, Floats]]) -> tuple[Floats, Floats]:
    """Every start of each leg with every end of it, ends running fastest, one leg after the other."""
    here, there = _combined(tuple((len(exits), len(entries)) for exits, entries in ends))
    starts, ways = (np.concatenate(poses) for poses in zip(*ends, strict=True))
    return starts.take(here, axis=0), ways.take(there, axis=0)


@lru_cache(maxsize=256)
def _combined(counts: Sequence[tuple[int, int]]) -> NDArray[np.intp]:
    """The indices, shape (2, pairs), of the starts and ends of `_pairs`, by how many each leg has."""
    firsts = np.cumsum([(0, 0), *counts[:-1]], axis=0)
    pairs = [np.indices(count).reshape(2, -1) + first[:, None] for count, first in zip(counts, firsts, strict=True)]
    return np.concatenate(pairs, axis=1)


def _words(
    legs: Sequence[Leg | None], ends: Sequence[tuple[Floats, Floats]], keys: Sequence[Hashable], memo: Memo
) -> list[tuple[Floats, Floats | None]]:
    """The lengths of the words of all legs, big ones each by itself, small ones together; of some with the least."""
    found: list[tuple[Floats, Floats | None]] = [
        (np.zeros((1, len(exits) * len(entries))), None) for exits, entries in ends
    ]
    small: dict[str | None, list[int]] = {}
    for k, (leg, (exits, entries), key) in enumerate(zip(legs, ends, keys, strict=True)):
        if leg is None:
            continue
        if key is not None:
            made = partial(_kept_words, leg, exits, entries)
            found[k] = memo.get("words", (key, leg.radius_m, leg.turn), made)
        elif len(exits) * len(entries) > SMALL:
            found[k] = _grid_words(leg, exits, entries), None
        else:
            small.setdefault(leg.turn, []).append(k)
            radius_m = leg.radius_m
    for turn, alike in small.items():
        for some in (alike[at : at + TOGETHER] for at in range(0, len(alike), TOGETHER)):
            lengths = word_lengths(*_pairs([ends[k] for k in some]), radius_m, turn)
            counts = (len(exits) * len(entries) for exits, entries in (ends[k] for k in some))
            for k, cut in zip(some, pairwise(accumulate(counts, initial=0)), strict=True):
                found[k] = lengths[:, slice(*cut)], None
    return found


def _kept_words(leg: Leg, exits: Floats, entries: Floats) -> tuple[Floats, Floats]:
    lengths = _grid_words(leg, exits, entries)
    return lengths, _least_of(lengths)


def _grid_words(leg: Leg, exits: Floats, entries: Floats) -> Floats:
    return word_lengths(exits[:, None], entries[None], leg.radius_m, leg.turn).reshape(WORDS, -1)


def _least_of(lengths_m: Floats) -> Floats:
    """The length of the best curve of each pair."""
    return np.asarray(np.minimum(lengths_m.min(axis=0), BLOCKED_M))


def settle(
    stretches: Sequence[tuple[Sequence[LegTable], Sequence[Floats]]],
) -> list[tuple[list[int], list[Curve | None]]]:
    """The best chain of each of some stretches: the state of each node and the curve of each leg, all looked at.

    A leg is given up only when none of its curves is left: where it is given up earlier, the order of equals decides.
    Every round strikes out at least one curve, and ever more of its like.

    Args:
        stretches: the tables of the legs, and the cost of each state of each node.
    """
    chosen: dict[int, tuple[list[int], list[int]]] = {}
    unsettled = list(range(len(stretches)))
    while unsettled:
        costs = {i: [table.costs() for table in stretches[i][0]] for i in unsettled}
        asked: list[tuple[int, int, LegTable, int, int]] = []
        curves: list[tuple[Leg, Curve, Place]] = []
        struck: list[tuple[int, int, LegTable, int, int]] = []
        for i in unsettled:
            tables, inner = stretches[i]
            path = cheapest_chain(costs[i], inner)
            pairs = [table.pair(*ends) for table, ends in zip(tables, pairwise(path), strict=True)]
            chosen[i] = path, pairs
            for k, (table, pair) in enumerate(zip(tables, pairs, strict=True)):
                if (best := table.unknown(pair)) is None:
                    continue
                row, leg, curve, start = best
                if curve is None:
                    struck.append((i, k, table, pair, row))
                else:
                    asked.append((i, k, table, pair, row))
                    curves.append((leg, curve, start))
        for (i, k, table, pair, row), (leg, _, _), hit in zip(asked, curves, look_at(curves), strict=True):
            if hit is None:
                table.clear.add((row, pair))
            else:
                leg.met(hit.owner)
                struck.append((i, k, table, pair, row))
        unsettled = sorted({i for i, *_ in struck})
        totals = {i: _totals(costs[i], stretches[i][1]) for i in unsettled}
        for i, k, table, pair, row in struck:
            upto, onward = totals[i]
            table.strike_out(row, pair)
            table.go_round(row, pair, upto[k], stretches[i][1][k + 1] + onward[k + 1])
    return [
        (path, [table.chosen(pair) for table, pair in zip(stretches[i][0], pairs, strict=True)])
        for i, (path, pairs) in sorted(chosen.items())
    ]

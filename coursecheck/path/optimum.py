"""The best states of a whole chain: dynamic programming over grids of states, coarse to fine, then Newton's method.

The dynamic programme is lazy about what stands in the way. It begins with the lengths of all curves as if the ring
were empty, looks exactly at the few curves of the best chain, strikes out those that hit something, adds the ways
round, and begins again: when the best chain is clear, no other chain over the same states can be shorter, since what
was never looked at can only get longer.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.curves import Curve
from coursecheck.path.legs import WORDS, Leg
from coursecheck.path.obstruction import Obstruction
from coursecheck.path.refine import newton
from coursecheck.path.states import Node, Nodes
from coursecheck.path.words import Floats, Words, solve

__all__ = ["Best", "Chain", "cheapest_chain"]

OFFSETS = 5  # of the first grid, across each band
COARSE_RAD = math.radians(10.0)  # between its directions
DENSE_RAD = math.radians(4.0)  # the same, next to a leg without room
FINE = (3, 5)
FINE_LEVELS = 2
SHRINK = 0.5
BLOCKED_M = 1e6  # the cost of a leg without a feasible curve: more than any course, so that as few as can be remain
SHARES = (0.75, 0.5, 0.25)  # of the flight's full length, where there is no room for it
LOOP_RAD = 1.5 * math.pi  # turning beyond what the headings ask for that makes a loop
WINDING_RAD = 0.75 * math.pi  # the same, from which a closer look may find a better way
ROUNDS = 60
SEARCHES = 3
POLISH = 6
BETTER_M = 1e-9
HELD_REACH = 0.1  # metres and radians
HELD_LEVELS = 8

Tables = list[Floats]


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


@dataclass(frozen=True, slots=True)
class Best:
    """A chain that has been chosen.

    Attributes:
        states: of all nodes, shape (n, 2).
        curves: of all legs; None at a stop.
        total_m: legs and depths of obstacles.
    """

    states: Floats
    curves: tuple[Curve | None, ...]
    total_m: float


class Chain:
    """Nodes and the legs between them; `legs[k]` joins nodes k and k + 1, None at a stop."""

    def __init__(
        self,
        nodes: Sequence[Node],
        legs: Sequence[Leg | None],
        owners: Sequence[str],
        obstruction: Obstruction,
    ) -> None:
        self.nodes = nodes
        self.legs = legs
        self.table = Nodes(nodes)
        self._owners = owners
        self._obstruction = obstruction
        self._need: list[int] = [0] * len(nodes)  # what is asked of a flight: 2 clearance, 1 no crossing, 0 nothing
        self.cramped: set[int] = set()

    def best(self, step_rad: float = COARSE_RAD) -> Best:
        """The shortest chain; `step_rad` lies between the directions of the first grid."""
        grids = [node.grid(OFFSETS, step_rad) for node in self.nodes]
        self._ask_of_flights(grids)
        best = self._make_room(grids, self._settle(grids), step_rad)
        reach = np.array([[node.half_width_m / (OFFSETS // 2), step_rad] for node in self.nodes])
        for _level in range(FINE_LEVELS):
            grids = [node.around(best.states[k], reach[k], FINE) for k, node in enumerate(self.nodes)]
            best = self._settle(grids)
            reach = reach * SHRINK
        return self._polish(best)

    def _make_room(self, grids: list[Floats], best: Best, step_rad: float) -> Best:
        """Where a leg loops or has no line: looks closer there, then shortens the flights next to it.

        Take-off and landing next to such a leg are shortened together to the largest share of SHARES, or to nothing,
        with which the dog can run on without a loop. Where not even that helps they keep their length.
        """
        tight = self._tight(best, WINDING_RAD)
        if not tight:
            return best
        for k in {k + side for k in tight for side in (0, 1)}:
            grids[k] = self.nodes[k].grid(OFFSETS, min(step_rad, DENSE_RAD))
        best = self._settle(grids)
        shares = dict.fromkeys(self._tight(best) & self._next_to_flights(), 0.0)
        if not shares:
            return best
        whole = self.nodes
        best = self._shortened(whole, shares, grids)
        shares = dict.fromkeys(shares.keys() - self._tight(best), 0.0)
        unsettled = set(shares)
        for share in SHARES:
            if unsettled:
                best = self._shortened(whole, shares | dict.fromkeys(unsettled, share), grids)
                fits = unsettled - self._tight(best)
                shares |= dict.fromkeys(fits, share)
                unsettled -= fits
        return self._shortened(whole, shares, grids)

    def _tight(self, best: Best, loop_rad: float = LOOP_RAD) -> set[int]:
        """The legs that have no feasible line or wind by more than `loop_rad`."""
        return {
            k
            for k, (leg, curve) in enumerate(zip(self.legs, best.curves, strict=True))
            if leg is not None and curve is not None and (leg.problem is not None or curve.loop_rad > loop_rad)
        }

    def _next_to_flights(self) -> set[int]:
        return {k for k in range(len(self.legs)) if self._is_flight(k) or self._is_flight(k + 1)}

    def _shortened(self, whole: Sequence[Node], shares: Mapping[int, float], grids: Sequence[Floats]) -> Best:
        """The best chain when the flights next to some legs have a share of their full length."""
        nodes = list(whole)
        for k, share in shares.items():
            if self._is_flight(k):
                nodes[k] = replace(nodes[k], after_m=share * nodes[k].after_m)
            if self._is_flight(k + 1):
                nodes[k + 1] = replace(nodes[k + 1], before_m=share * nodes[k + 1].before_m)
        self.nodes, self.table = nodes, Nodes(nodes)
        for k, leg in enumerate(self.legs):
            if leg is not None and k in shares:
                leg.problem = None
        return self._settle(grids)

    def places(self, states: Floats) -> tuple[Floats, Floats]:
        """Entry and exit poses of one state for each node."""
        return self.table.poses(np.arange(len(self.nodes)), states)

    def _ask_of_flights(self, grids: Sequence[Floats]) -> None:
        for k in range(len(self.nodes)):
            if self._is_flight(k):
                self._need[k] = 2
                while self._need[k] and not self._clear(k, grids[k]).any():
                    self._need[k] -= 1
                if not self._need[k]:
                    self.cramped.add(k)

    def _is_flight(self, k: int) -> bool:
        return self.nodes[k].half_opening_m > 0.0

    def _clear(self, k: int, states: Floats) -> NDArray[np.bool_]:
        """Which states of a node fly clear of everything else, as far as that can be asked."""
        if not self._need[k]:
            return np.ones(len(states), dtype=bool)
        entries, exits = self.table.poses(np.full(len(states), k), states)
        keeps, passes = self._obstruction.clear_flights(self._owners[k], entries, exits)
        return keeps if self._need[k] == 2 else passes

    def _settle(self, grids: Sequence[Floats]) -> Best:
        """The best chain over the states given, all of its curves looked at."""
        places = [self.table.poses(np.full(len(grid), k), grid) for k, grid in enumerate(grids)]
        pairs = [_pairs(places[k][1], places[k + 1][0]) for k in range(len(self.legs))]
        words = self._words(pairs)
        inner = [
            np.where(self._clear(k, grid), self.nodes[k].own_cost(grid), BLOCKED_M) for k, grid in enumerate(grids)
        ]
        tables = [
            np.zeros((1, len(starts))) if leg is None else leg.lengths(own, starts, ends)
            for leg, own, (starts, ends) in zip(self.legs, words, pairs, strict=True)
        ]
        sizes = [len(grid) for grid in grids]
        clear: set[tuple[int, int, int]] = set()
        searches = [0] * len(self.legs)
        for _round in range(ROUNDS):
            path = self._cheapest(tables, inner, sizes)
            struck = self._strike(tables, path, sizes, pairs, clear)
            if not struck:
                break
            for k, row, pair in struck:
                leg = self.legs[k]
                if leg is None:
                    continue
                if searches[k] < SEARCHES and (row >= WORDS or not leg.routes):
                    searches[k] += 1
                    tables[k] = _with_ways_round(leg, tables[k], pair, *pairs[k])
                leg.refute(tables[k], words[k], pairs[k][0])
        return self._chosen(grids, tables, path, sizes, pairs)

    def _words(self, pairs: Sequence[tuple[Floats, Floats]]) -> list[Words]:
        """All words of all legs, solved at once."""
        if not pairs:
            return []
        radius_m = next((leg.radius_m for leg in self.legs if leg is not None), 1.0)
        starts, ends = (np.concatenate([pair[i] for pair in pairs]) for i in (0, 1))
        whole = solve(starts, ends, radius_m)
        cuts = np.cumsum([0, *(len(pair[0]) for pair in pairs)])
        return [
            Words(whole.lengths_m[:, a:b], whole.pieces[:, :, a:b], whole.bearing[:, a:b]) for a, b in pairwise(cuts)
        ]

    @staticmethod
    def _cheapest(tables: Tables, inner: Sequence[Floats], sizes: Sequence[int]) -> list[int]:
        costs = [
            np.minimum(table.min(axis=0), BLOCKED_M).reshape(sizes[k], sizes[k + 1]) for k, table in enumerate(tables)
        ]
        return cheapest_chain(costs, inner)

    def _strike(
        self,
        tables: Tables,
        path: Sequence[int],
        sizes: Sequence[int],
        pairs: Sequence[tuple[Floats, Floats]],
        clear: set[tuple[int, int, int]],
    ) -> list[tuple[int, int, int]]:
        """Strikes out the curves of a chain that hit something: (leg, row, pair) of each."""
        struck = []
        for k, leg in enumerate(self.legs):
            if leg is None or leg.problem is not None:
                continue
            pair = path[k] * sizes[k + 1] + path[k + 1]
            row = int(tables[k][:, pair].argmin())
            if (k, row, pair) in clear or not np.isfinite(tables[k][row, pair]):
                continue
            start = pairs[k][0][pair]
            if leg.hit(leg.curve(start, pairs[k][1][pair], row), start) is None:
                clear.add((k, row, pair))
                continue
            tables[k][row, pair] = np.inf
            struck.append((k, row, pair))
        return struck

    def _chosen(
        self,
        grids: Sequence[Floats],
        tables: Tables,
        path: Sequence[int],
        sizes: Sequence[int],
        pairs: Sequence[tuple[Floats, Floats]],
    ) -> Best:
        states = np.array([grid[i] for grid, i in zip(grids, path, strict=True)])
        curves: list[Curve | None] = []
        for k, leg in enumerate(self.legs):
            if leg is None:
                curves.append(None)
                continue
            pair = path[k] * sizes[k + 1] + path[k + 1]
            start, end = pairs[k][0][pair], pairs[k][1][pair]
            row = int(tables[k][:, pair].argmin())
            if leg.problem is None and not np.isfinite(tables[k][row, pair]):
                leg.problem = _why(leg)
            curves.append(leg.shortest(start, end) if leg.problem else leg.curve(start, end, row))
        return Best(states, tuple(curves), self._total(states, curves))

    def _total(self, states: Floats, curves: Sequence[Curve | None]) -> float:
        inner = sum(float(node.own_cost(states[k : k + 1])[0]) for k, node in enumerate(self.nodes))
        return inner + sum(curve.length_m for curve in curves if curve is not None)

    def _polish(self, best: Best) -> Best:
        """Newton's method on the chain's states, every result looked at before it is taken."""
        current = best
        for _round in range(POLISH):
            moved = self._refined(current)
            if moved is None:
                break
            if moved.total_m < best.total_m - BETTER_M:
                best = moved
            same = all(
                a is None or b is None or a.route == b.route
                for a, b in zip(moved.curves, current.curves, strict=True)
            )
            current = moved
            if same:
                break
        return best

    def _refined(self, current: Best) -> Best | None:
        """Newton's method; nodes that it had to hold are settled by ever closer grids instead."""
        states, held = newton(self.nodes, self.table, self.legs, current, set())
        moved = self._looked_at(states)
        if not held or moved is None:
            return moved
        reach = np.full(2, HELD_REACH)
        for _level in range(HELD_LEVELS):
            grids = [
                node.around(moved.states[k], reach, FINE) if k in held else moved.states[k : k + 1]
                for k, node in enumerate(self.nodes)
            ]
            moved = self._settle(grids)
            reach = reach * SHRINK
        states, _ = newton(self.nodes, self.table, self.legs, moved, held)
        return self._looked_at(states) or moved

    def _looked_at(self, states: Floats) -> Best | None:
        """The shortest feasible curves between given states; None where a flight or a leg has none."""
        if not all(self._clear(k, states[k : k + 1])[0] for k in range(len(self.nodes)) if self._is_flight(k)):
            return None
        entries, exits = self.places(states)
        curves: list[Curve | None] = []
        for k, leg in enumerate(self.legs):
            curve = None if leg is None else leg.best(exits[k], entries[k + 1])
            if curve is None and leg is not None:
                return None
            curves.append(curve)
        return Best(states, tuple(curves), self._total(states, curves))


def _pairs(starts: Floats, ends: Floats) -> tuple[Floats, Floats]:
    """Every start with every end, ends running fastest."""
    return np.repeat(starts, len(ends), axis=0), np.tile(ends, (len(starts), 1))


def _with_ways_round(leg: Leg, table: Floats, pair: int, starts: Floats, ends: Floats) -> Floats:
    """The lengths of a leg with the ways round that are found at one pair of poses."""
    new = leg.find_ways_round(starts[pair], ends[pair])
    return np.concatenate([table, *(leg.route_lengths(route, starts, ends) for route in new)])


def _why(leg: Leg) -> str:
    names = leg.owners[:3] or ["itself"]
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    side = f" that turns {leg.turn}" if leg.turn else ""
    return f"no line{side} keeps clear of {listed}"

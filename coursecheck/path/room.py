"""Room for a stretch in which a leg loops or has no line: a closer look, then shorter flights."""

from __future__ import annotations

import math
from collections.abc import Collection, Hashable, Mapping, Sequence
from dataclasses import replace

from coursecheck.path.flights import SHARES, Flights
from coursecheck.path.legs import Leg
from coursecheck.path.states import Node
from coursecheck.path.stretches import Best, Grids, Settle, Stretch

__all__ = ["OFFSETS", "make_room"]

OFFSETS = 5  # of the first grid, across each band
DENSE_RAD = math.radians(4.0)  # between its directions, next to a leg without room
LOOP_RAD = 1.25 * math.pi  # beyond what the headings ask for: a circle, less what two leaning flights hide
WINDING_RAD = 0.75 * math.pi  # the same, from which a closer look may find a better way


def make_room(
    stretch: Stretch, best: Best, grids: Grids, step_rad: float, flights: Flights, legs: Sequence[Leg], settle: Settle
) -> Best:
    """Where a leg loops or has no line: looks closer there, then shortens the flights next to it.

    Take-off and landing next to such a leg are shortened together to the largest share of SHARES, or to nothing, with
    which the dog can run on without a loop, or at all where there was no line. Where not even that helps, or where it
    takes the dog further than the loop, they keep their length.

    Args:
        stretch: the stretch.
        best: its best chain over whole grids.
        grids: the states of its nodes.
        step_rad: between their directions.
        flights: the nodes; some are replaced.
        legs: the legs of the stretch.
        settle: finds the best chain.
    """
    room = _Room(stretch, grids, step_rad, flights, legs, settle)
    tight = room.tight(best, WINDING_RAD)
    if not tight:
        return best
    best = room.settled(close=tight)
    beside = {k for k in stretch.legs if flights.is_flight(k) or flights.is_flight(k + 1)}
    tight = room.tight(best) & beside
    return room.with_shorter_flights(best, tight) if tight else best


class _Room:
    """A stretch, tried with shorter and shorter flights; for the arguments see `make_room`."""

    def __init__(
        self, stretch: Stretch, grids: Grids, step_rad: float, flights: Flights, legs: Sequence[Leg], settle: Settle
    ) -> None:
        self._stretch, self._grids, self._step_rad = stretch, grids, step_rad
        self._flights, self._settle = flights, settle
        self._legs = dict(zip(stretch.legs, legs, strict=True))
        self._whole = {k: flights.nodes[k] for k in grids}
        self._made: dict[Hashable, tuple[Best, dict[int, str | None]]] = {}

    def tight(self, best: Best, loop_rad: float = LOOP_RAD) -> set[int]:
        """The legs that have no feasible line, join a flight without room, or wind by more than `loop_rad`."""
        return {
            k
            for (k, leg), curve in zip(self._legs.items(), best.curves, strict=True)
            if curve is not None and (leg.problem is not None or curve.loop_rad > loop_rad or self._cramped(k))
        }

    def _cramped(self, k: int) -> bool:
        """Whether a leg joins a flight without room."""
        return not self._flights.cramped.isdisjoint((k, k + 1))

    def settled(self, close: Collection[int] = ()) -> Best:
        """The best chain where the states next to some legs lie closer."""
        steps_rad = dict.fromkeys(self._grids, self._step_rad)
        steps_rad |= {k + side: min(self._step_rad, DENSE_RAD) for k in close for side in (0, 1)}
        grids = {
            k: grid if steps_rad[k] == self._step_rad else self._whole[k].grid(OFFSETS, steps_rad[k])
            for k, grid in self._grids.items()
        }
        self._flights.ask(grids)
        return self._settle([self._stretch], grids, steps_rad)[self._stretch]

    def with_shorter_flights(self, best: Best, tight: set[int]) -> Best:
        """The best chain when the flights next to tight legs are shortened as far as that helps.

        Args:
            best: the best one so far.
            tight: the legs.
        """
        problems = {k: leg.problem for k, leg in self._legs.items()}
        stuck = {k for k, problem in problems.items() if problem is not None}
        shares = self._largest_shares(best, tight, stuck)
        if shares:
            made = self._shortened(shares, stuck)
            if stuck or self._whole_m(made) <= self._whole_m(best, self._whole):
                return made
        self._put(self._whole, problems)
        return best

    def _largest_shares(self, best: Best, tight: set[int], stuck: set[int]) -> dict[int, float]:
        """The largest share of SHARES, or nothing, that helps each leg; a leg that nothing helps is left out.

        Args:
            best: the best chain with whole flights.
            tight: the legs.
            stuck: those that had no line: a loop with short flights is better than none.
        """
        self._put(self._cut(dict.fromkeys(tight, 0.0)), {})
        self._flights.ask({k: self._whole[k].grid(OFFSETS, DENSE_RAD) for k in self._whole})
        shares = {k: 0.0 for k in sorted(tight) if not self._cramped(k)}
        if not shares:
            return {}
        found = self._shortened(shares, stuck)
        if not stuck and self._whole_m(found) > self._whole_m(best, self._whole):
            return {}
        may_loop = self.tight(found) & stuck - self.tight(found, math.inf)
        shares = {k: 0.0 for k in shares if k not in self.tight(found) - may_loop}
        left = {k: sorted(SHARES) for k in shares}
        while tried := {k: steps[len(steps) // 2] for k, steps in left.items() if steps}:
            found = self._shortened(shares | tried, stuck)
            still = self.tight(found) - may_loop | self.tight(found, math.inf)
            for k, share in tried.items():
                left[k] = [other for other in left[k] if (other < share if k in still else other > share)]
            shares |= {k: share for k, share in tried.items() if k not in still}
        return shares

    def _shortened(self, shares: Mapping[int, float], stuck: set[int]) -> Best:
        """The best chain when the flights next to some legs have a share of their length.

        Looks closer next to those legs that were stuck and still are.
        """
        key = tuple(sorted(shares.items()))
        if key not in self._made:
            self._put(self._cut(shares), dict.fromkeys(shares))
            best = self.settled()
            if close := self.tight(best, math.inf) & stuck & shares.keys():
                self._put({}, dict.fromkeys(shares))
                best = self.settled(close)
            self._made[key] = best, {k: leg.problem for k, leg in self._legs.items()}
        best, problems = self._made[key]
        self._put(self._cut(shares), problems)
        return best

    def _put(self, nodes: Mapping[int, Node], problems: Mapping[int, str | None]) -> None:
        """Puts in nodes, and what is known of legs."""
        self._flights.replace(nodes)
        self._flights.ask(self._grids)
        for k, problem in problems.items():
            self._legs[k].problem = problem

    def _cut(self, shares: Mapping[int, float]) -> dict[int, Node]:
        """The nodes when the flights next to some legs have a share of their full length."""
        nodes = dict(self._whole)
        for k, share in shares.items():
            if self._flights.is_flight(k):
                nodes[k] = replace(nodes[k], after_m=share * nodes[k].after_m)
            if self._flights.is_flight(k + 1):
                nodes[k + 1] = replace(nodes[k + 1], before_m=share * nodes[k + 1].before_m)
        return nodes

    def _whole_m(self, best: Best, nodes: Mapping[int, Node] | None = None) -> float:
        """The length of a chain with all of its flights: those of some nodes, or those put in."""
        flown = nodes or {k: self._flights.nodes[k] for k in self._whole}
        return best.total_m + sum(node.before_m + node.after_m for node in flown.values())

"""The best states of a whole chain: grids of states, coarse to fine, then Newton's method."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from coursecheck.language import both, say
from coursecheck.path.curves import Curve
from coursecheck.path.legs import Leg, look_at
from coursecheck.path.nodes import Nodes
from coursecheck.path.obstruction import Obstruction
from coursecheck.path.parts import EDGE, Part
from coursecheck.path.refine import newton
from coursecheck.path.settle import BLOCKED_M, leg_tables, settle
from coursecheck.path.states import Node
from coursecheck.path.words import Floats, solve

__all__ = ["Best", "Chain", "line_through"]

OFFSETS = 5  # of the first grid, across each band
COARSE_RAD = math.radians(10.0)  # between its directions
DENSE_RAD = math.radians(4.0)  # the same, next to a leg without room
FINE = (3, 5)
FINE_LEVELS = 2
SHRINK = 0.5
SHARES = (0.75, 0.5, 0.25)  # of the flight's full length, where there is no room for it
LOOP_RAD = 1.5 * math.pi  # turning beyond what the headings ask for that makes a loop
WINDING_RAD = 0.75 * math.pi  # the same, from which a closer look may find a better way
POLISH = 6
BETTER_M = 1e-9
HELD_REACH = 0.1  # metres and radians
HELD = (3, 9)
HELD_LEVELS = 12  # to a few hundredths of a millimetre
EXACT_LEVELS = 24


@dataclass(frozen=True, slots=True)
class Best:
    """A chain that has been chosen.

    Attributes:
        states: of all nodes, shape (n, 2).
        curves: of all legs; None at a stop.
        total_m: what was made as small as can be: legs, depths of obstacles and the preference of `Node.own_cost`.
    """

    states: Floats
    curves: tuple[Curve | None, ...]
    total_m: float

    @property
    def legs_m(self) -> float:
        """The length of all legs."""
        return math.fsum(curve.length_m for curve in self.curves if curve is not None)


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
        self._memo = obstruction.memo
        self._near = [self._near_flights(k) for k in range(len(nodes))]
        self._need: list[int] = [0] * len(nodes)  # what is asked of a flight: 2 clearance, 1 no crossing, 0 nothing
        self.cramped: set[int] = set()
        self.held_levels = HELD_LEVELS

    def best(self, step_rad: float = COARSE_RAD) -> Best:
        """The shortest chain; `step_rad` lies between the directions of the first grid."""
        grids = [node.grid(OFFSETS, step_rad) for node in self.nodes]
        self._fit_ends(grids)
        best = self._make_room(grids, self._settle(grids, [step_rad] * len(grids)), step_rad)
        reach = np.array([[node.half_width_m / (OFFSETS // 2), step_rad] for node in self.nodes])
        for _level in range(FINE_LEVELS):
            grids = [node.around(best.states[k], reach[k], FINE) for k, node in enumerate(self.nodes)]
            best = self._settle(grids)
            reach = reach * SHRINK
        best = self._polish(best)
        self._name_cramped_flights()
        return best

    def _make_room(self, grids: list[Floats], best: Best, step_rad: float) -> Best:
        """Where a leg loops or has no line: looks closer there, then shortens the flights next to it.

        Take-off and landing next to such a leg are shortened together to the largest share of SHARES, or to nothing,
        with which the dog can run on without a loop. Where not even that helps they keep their length.
        """
        tight = self._tight(best, WINDING_RAD)
        if not tight:
            return best
        steps_rad = [step_rad] * len(grids)
        for k in {k + side for k in tight for side in (0, 1)}:
            steps_rad[k] = min(step_rad, DENSE_RAD)
            grids[k] = self.nodes[k].grid(OFFSETS, steps_rad[k])
        best = self._settle(grids, steps_rad)
        shares = dict.fromkeys(self._tight(best) & self._next_to_flights(), 0.0)
        if not shares:
            return best
        whole, problems = self.nodes, [leg.problem if leg else None for leg in self.legs]
        shortest = self._shortened(whole, shares, grids, steps_rad)
        shares = dict.fromkeys(shares.keys() - self._tight(shortest), 0.0)
        if not shares:
            self._replace(dict(enumerate(whole)))
            self._ask_of_flights(grids)
            for leg, problem in zip(self.legs, problems, strict=True):
                if leg is not None:
                    leg.problem = problem
            return best
        unsettled = set(shares)
        for share in SHARES:
            if unsettled:
                tried = self._shortened(whole, shares | dict.fromkeys(unsettled, share), grids, steps_rad)
                fits = unsettled - self._tight(tried)
                shares |= dict.fromkeys(fits, share)
                unsettled -= fits
        return self._shortened(whole, shares, grids, steps_rad)

    def _tight(self, best: Best, loop_rad: float = LOOP_RAD) -> set[int]:
        """The legs that have no feasible line, join a flight without room, or wind by more than `loop_rad`."""
        return {
            k
            for k, (leg, curve) in enumerate(zip(self.legs, best.curves, strict=True))
            if leg is not None
            and curve is not None
            and (leg.problem is not None or curve.loop_rad > loop_rad or self.cramped & {k, k + 1})
        }

    def _next_to_flights(self) -> set[int]:
        return {k for k in range(len(self.legs)) if self._is_flight(k) or self._is_flight(k + 1)}

    def _shortened(
        self, whole: Sequence[Node], shares: Mapping[int, float], grids: Sequence[Floats], steps_rad: Sequence[float]
    ) -> Best:
        """The best chain when the flights next to some legs have a share of their full length."""
        nodes = list(whole)
        for k, share in shares.items():
            if self._is_flight(k):
                nodes[k] = replace(nodes[k], after_m=share * nodes[k].after_m)
            if self._is_flight(k + 1):
                nodes[k + 1] = replace(nodes[k + 1], before_m=share * nodes[k + 1].before_m)
        self._replace(dict(enumerate(nodes)))
        self._ask_of_flights(grids)
        for k, leg in enumerate(self.legs):
            if leg is not None and k in shares:
                leg.try_again()
        return self._settle(grids, steps_rad)

    def places(self, states: Floats) -> tuple[Floats, Floats]:
        """Entry and exit poses of one state for each node."""
        return self.table.poses(np.arange(len(self.nodes)), states)

    def _fit_ends(self, grids: Sequence[Floats]) -> None:
        """At both ends of the course the flight is no longer than there is room for: nothing is measured there."""
        for k, end in ((0, "before_m"), (len(self.nodes) - 1, "after_m")):
            whole, straight = self.nodes[k], grids[k][[np.abs(grids[k]).sum(axis=1).argmin()]]
            self._need[k] = 2 * self._is_flight(k)
            for share in (1.0, *SHARES, 0.0, 1.0):
                self._replace({k: replace(whole, **{end: share * getattr(whole, end)})})
                if self._clear(k, straight)[0]:
                    break
        self._ask_of_flights(grids)

    def _replace(self, changed: Mapping[int, Node]) -> None:
        self.nodes = [changed.get(k, node) for k, node in enumerate(self.nodes)]
        self.table = Nodes(self.nodes)

    def _name_cramped_flights(self) -> None:
        """A flight that cannot help hitting something is a problem of the leg before it, or after the first one."""
        for k in sorted(self.cramped):
            legs = [self.legs[i] for i in (k - 1, k) if 0 <= i < len(self.legs)]
            leg = next((leg for leg in legs if leg is not None), None)
            if leg is not None and leg.problem is None:
                near = sorted({part.owner for part in self._near[k]}) or [EDGE]
                listed = both([say(owner) if owner == EDGE else owner for owner in near])
                leg.problem = say("no room to fly over {name} clear of {what}", name=self._owners[k], what=listed)

    def _ask_of_flights(self, grids: Sequence[Floats]) -> None:
        """Finds out how much can be asked of each flight: the clearance, or not to cross anything, or nothing."""
        self.cramped.clear()
        for k in range(len(self.nodes)):
            if self._is_flight(k):
                self._need[k] = 2
                while self._need[k] and not self._clear(k, grids[k]).any():
                    self._need[k] -= 1
                if not self._need[k]:
                    self.cramped.add(k)

    def _is_flight(self, k: int) -> bool:
        return self.nodes[k].half_opening_m > 0.0

    def _near_flights(self, k: int) -> list[Part]:
        """What stands near the flights of a node."""
        if not self._is_flight(k):
            return []
        node = self.nodes[k]
        reach = node.half_width_m + node.before_m + node.after_m + node.depth_m / math.cos(node.cone_rad)
        x, y = node.entry.point
        return self._obstruction.near_flights(self._owners[k], (x - reach, y - reach, x + reach, y + reach))

    def _clear(self, k: int, states: Floats) -> NDArray[np.bool_]:
        """Which states of a node fly clear of everything else, as far as that can be asked."""
        if not self._need[k] or not self._near[k]:
            return np.ones(len(states), dtype=bool)
        entries, exits = self.table.poses(np.full(len(states), k), states)
        keeps, passes = self._obstruction.clear_flights(self._near[k], entries, exits)
        return keeps if self._need[k] == 2 else passes

    def _settle(self, grids: Sequence[Floats], steps_rad: Sequence[float] | None = None) -> Best:
        """The best chain over the states given; of whole grids `steps_rad` between directions tell them apart."""
        keys: Sequence[Hashable] = [None] * len(self.legs)
        if steps_rad is not None:
            keys = list(pairwise(zip(self.nodes, steps_rad, strict=True)))
        states, curves = self._settle_part(0, grids, keys)
        return Best(states, tuple(curves), self._total(states, curves))

    def _settle_part(
        self, first: int, grids: Sequence[Floats], keys: Sequence[Hashable]
    ) -> tuple[Floats, list[Curve | None]]:
        """The best states of nodes in a row, from node `first`, and the curves between them."""
        row = range(first, first + len(grids))
        places = self.table.places(row, grids)
        inner = [
            np.where(self._clear(k, grid), self.nodes[k].own_cost(grid), BLOCKED_M)
            for k, grid in zip(row, grids, strict=True)
        ]
        path, curves = settle(leg_tables(self.legs[first : row[-1]], places, keys, self._memo), inner)
        return np.array([grid[i] for grid, i in zip(grids, path, strict=True)]), curves

    def _total(self, states: Floats, curves: Sequence[Curve | None]) -> float:
        return float(self.table.own(states)[0].sum()) + sum(curve.length_m for curve in curves if curve is not None)

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
        for first, last in _runs(held):
            moved = self._settle_held(moved, max(0, first - 1), min(len(self.nodes) - 1, last + 1), held)
        states, _ = newton(self.nodes, self.table, self.legs, moved, held)
        return self._looked_at(states) or moved

    def _settle_held(self, best: Best, first: int, last: int, held: set[int]) -> Best:
        """Settles the held ones among the nodes from `first` to `last` by ever closer grids."""
        states, curves = best.states.copy(), list(best.curves)
        reach = np.full(2, HELD_REACH)
        for _level in range(self.held_levels):
            grids = [
                self.nodes[k].around(states[k], reach, HELD) if k in held else states[k : k + 1]
                for k in range(first, last + 1)
            ]
            states[first : last + 1], curves[first:last] = self._settle_part(first, grids, [None] * (last - first))
            reach = reach * SHRINK
        return Best(states, tuple(curves), self._total(states, curves))

    def _looked_at(self, states: Floats) -> Best | None:
        """The shortest feasible curves between given states; None where a flight or a leg has none."""
        if not all(self._clear(k, states[k : k + 1])[0] for k in range(len(self.nodes)) if self._is_flight(k)):
            return None
        entries, exits = self.places(states)
        starts, ends = exits[:-1], entries[1:]
        radius_m = next((leg.radius_m for leg in self.legs if leg is not None), 1.0)
        words = solve(starts, ends, radius_m)
        ways = [(k, leg, slice(k, k + 1)) for k, leg in enumerate(self.legs) if leg is not None]
        shortest = {
            k: next(leg.by_length(words.part(at), starts[at], ends[at]), None)
            for k, leg, at in ways
            if leg.problem is None
        }
        look_at((leg, curve, starts[k]) for k, leg, _ in ways if (curve := shortest.get(k)) is not None)
        curves: list[Curve | None] = [None] * len(self.legs)
        for k, leg, at in ways:
            curves[k] = leg.best(words.part(at), starts[at], ends[at], shortest.get(k))
            if curves[k] is None:
                return None
        return Best(states, tuple(curves), self._total(states, curves))


def line_through(nodes: Sequence[Node], radius_m: float, step_rad: float = COARSE_RAD) -> Best:
    """The shortest line of bounded curvature through nodes in the open, where nothing stands in the way.

    Args:
        nodes: gates, points and poses in order.
        radius_m: the tightest turn.
        step_rad: between the directions that are tried first; a point that may be run through in any direction needs
            close ones where the points stand closer than a few turn radii.
    """
    nowhere = Obstruction(None, {}, 0.0)
    legs = [Leg(radius_m, nowhere) for _ in nodes[1:]]
    line = Chain(nodes, legs, [""] * len(nodes), nowhere)
    line.held_levels = EXACT_LEVELS
    return line.best(step_rad)


def _runs(numbers: set[int]) -> Iterator[tuple[int, int]]:
    """The first and the last of numbers that follow each other without a gap."""
    ordered = sorted(numbers)
    starts = [n for n in ordered if n - 1 not in numbers]
    yield from zip(starts, (n for n in ordered if n + 1 not in numbers), strict=True)

"""The best states of a whole chain: grids of states, coarse to fine, then Newton's method.

A node that can be gone through in one way only, such as a tunnel, parts the chain into stretches that know nothing of
each other. All that is decided is decided for each stretch by itself; only the arithmetic is done for many at once.
So a stretch whose surroundings have not changed can be taken from the memo whole.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from coursecheck.language import spoken
from coursecheck.path.boxes import Bounds, around
from coursecheck.path.curves import Curve
from coursecheck.path.flights import BLOCKED_M, Flights
from coursecheck.path.legs import Leg
from coursecheck.path.obstruction import Kept, Obstruction
from coursecheck.path.polish import SHRINK, Polish
from coursecheck.path.room import OFFSETS, make_room
from coursecheck.path.settle import settle
from coursecheck.path.states import Node
from coursecheck.path.stretches import Best, Grids, Stretch, stretches_of
from coursecheck.path.tables import leg_tables
from coursecheck.path.words import Floats

__all__ = ["Best", "Chain", "line_through"]

COARSE_RAD = math.radians(10.0)  # between its directions
FINE = (3, 3)  # states across and directions of closer grids, where nothing stands in the way
FINE_AROUND = (3, 5)  # the same, where something does
FINE_LEVELS = 2
HELD_LEVELS = 12  # to a few hundredths of a millimetre
EXACT_LEVELS = 24


@dataclass(frozen=True, slots=True)
class _Made:
    """What is kept of a stretch: its chain, its nodes with the flights that there is room for, its legs' problems."""

    best: Best
    nodes: tuple[Node, ...]
    problems: tuple[str | None, ...]


class Chain:
    """Nodes and the legs between them; `legs[k]` joins nodes k and k + 1, None at a stop."""

    def __init__(
        self,
        nodes: Sequence[Node],
        legs: Sequence[Leg | None],
        owners: Sequence[str],
        obstruction: Obstruction,
    ) -> None:
        self.legs = legs
        self._owners = owners
        self._obstruction = obstruction
        self._flights = Flights(nodes, owners, obstruction)
        self.held_levels = HELD_LEVELS

    @property
    def nodes(self) -> Sequence[Node]:
        """The nodes, their flights no longer than there is room for."""
        return self._flights.nodes

    def places(self, states: Floats) -> tuple[Floats, Floats]:
        """Entry and exit poses of one state for each node."""
        return self._flights.table.poses(slice(None), states)

    def best(self, step_rad: float = COARSE_RAD) -> Best:
        """The shortest chain; `step_rad` lies between the directions of the first grid."""
        chosen: dict[Stretch, Best] = {}
        kept = {s: self._kept(s, step_rad) for s in stretches_of(self.nodes, self.legs)}
        for stretch, made in zip(kept, self._obstruction.recall(list(kept.values())), strict=True):
            if made is not None:
                chosen[stretch] = self._take_up(stretch, made)
        new = [stretch for stretch in kept if stretch not in chosen]
        if new:
            chosen |= self._best_of(new, step_rad)
            for stretch in new:
                self._obstruction.remember(kept[stretch], self._boxes(stretch), self._made(stretch, chosen[stretch]))
        states = np.zeros((len(self.nodes), 2))
        curves: list[Curve | None] = [None] * len(self.legs)
        for (first, last), best in chosen.items():
            states[first : last + 1], curves[first:last] = best.states, best.curves
        return Best(states, tuple(curves), math.fsum(best.total_m for best in chosen.values()))

    def _kept(self, stretch: Stretch, step_rad: float) -> list[Kept[_Made]]:
        """What is kept of a stretch from computations in which all but its surroundings was the same."""
        nodes = tuple(self.nodes[k] for k in stretch.nodes)
        owners = tuple(self._owners[k] for k in stretch.nodes)
        legs = tuple((leg.radius_m, leg.turn) for leg in stretch.legs_of(self.legs))
        ends = stretch.first == 0, stretch.last == len(self.nodes) - 1
        key = (nodes, owners, legs, ends, self._obstruction.clearance_m, step_rad, self.held_levels, spoken())
        return self._obstruction.memo.get("stretch", key, list)

    def _boxes(self, stretch: Stretch) -> list[Bounds]:
        """All flights and all curves of a stretch that were looked at lie in these boxes."""
        flights = [self._flights.boxes[k] for k in stretch.nodes if self._flights.is_flight(k)]
        return flights + [around(leg.seen) for leg in stretch.legs_of(self.legs) if leg.seen]

    def _made(self, stretch: Stretch, best: Best) -> _Made:
        nodes = tuple(self.nodes[k] for k in stretch.nodes)
        return _Made(best, nodes, tuple(leg.problem for leg in stretch.legs_of(self.legs)))

    def _take_up(self, stretch: Stretch, made: _Made) -> Best:
        self._flights.replace(dict(zip(stretch.nodes, made.nodes, strict=True)))
        for leg, problem in zip(stretch.legs_of(self.legs), made.problems, strict=True):
            leg.problem = problem
        return made.best

    def _best_of(self, stretches: Sequence[Stretch], step_rad: float) -> dict[Stretch, Best]:
        """The shortest chains of some stretches."""
        numbers = sorted({k for stretch in stretches for k in stretch.nodes})
        self._flights.begin(numbers)
        grids = {k: self._grid(self.nodes[k], step_rad) for k in numbers}
        self._flights.ask(grids)
        best = self._settle(stretches, grids, dict.fromkeys(numbers, step_rad))
        for stretch in stretches:
            own = {k: grids[k] for k in stretch.nodes}
            best[stretch] = make_room(
                stretch, best[stretch], own, step_rad, self._flights, stretch.legs_of(self.legs), self._settle
            )
        shrunk = 1.0
        for _level in range(FINE_LEVELS):
            around: Grids = {}
            for stretch in stretches:
                steps = FINE_AROUND if any(leg.owners for leg in stretch.legs_of(self.legs)) else FINE
                for k, state in zip(stretch.nodes, best[stretch].states, strict=True):
                    node = self.nodes[k]
                    reach = np.array((shrunk * node.half_width_m / (OFFSETS // 2), shrunk * step_rad))
                    around[k] = node.around(state, reach, steps)
            best = self._settle(stretches, around)
            shrunk *= SHRINK
        best = Polish(self._flights, self.legs, self._settle, self.held_levels).polished(best)
        self._name_cramped_flights(numbers)
        return best

    def _grid(self, node: Node, step_rad: float) -> Floats:
        return self._obstruction.memo.get("grid", (node, step_rad), lambda: node.grid(OFFSETS, step_rad))

    def _name_cramped_flights(self, numbers: Iterable[int]) -> None:
        """A flight that cannot help hitting something is a problem of the leg before it, or after the first one."""
        for k in numbers:
            if k in self._flights.cramped:
                legs = [self.legs[i] for i in (k - 1, k) if 0 <= i < len(self.legs)]
                leg = next((leg for leg in legs if leg is not None), None)
                if leg is not None and leg.problem is None:
                    leg.problem = self._flights.no_room(k)

    def _settle(
        self, stretches: Sequence[Stretch], grids: Grids, steps_rad: Mapping[int, float] | None = None
    ) -> dict[Stretch, Best]:
        """The best chains over the states given; of whole grids `steps_rad` between directions tell them apart."""
        flights, numbers = self._flights, sorted({k for stretch in stretches for k in stretch.nodes})
        place = partial(self._placed, numbers, grids)
        placed = (
            place(range(len(numbers)))
            if steps_rad is None
            else self._obstruction.memo.many("placed", [(self.nodes[k], steps_rad[k]) for k in numbers], place)
        )
        places = {k: (entries, exits) for k, (entries, exits, _) in zip(numbers, placed, strict=True)}
        clear = flights.clear(places)
        inner = {
            k: np.where(clear[k], cost, BLOCKED_M) if k in clear else cost
            for k, (_, _, cost) in zip(numbers, placed, strict=True)
        }
        legs = [k for stretch in stretches for k in stretch.legs]
        made_of: list[Hashable] = [None] * len(legs)
        if steps_rad is not None:
            made_of = [tuple((self.nodes[j], steps_rad[j]) for j in (k, k + 1)) for k in legs]
        found = leg_tables(
            [self.legs[k] for k in legs],
            [(places[k][1], places[k + 1][0]) for k in legs],
            made_of,
            self._obstruction.memo,
        )
        tables = dict(zip(legs, found, strict=True))
        jobs = [([tables[k] for k in s.legs], [inner[k] for k in s.nodes]) for s in stretches]
        made: dict[Stretch, Best] = {}
        for stretch, (path, curves) in zip(stretches, settle(jobs), strict=True):
            states = np.array([grids[k][i] for k, i in zip(stretch.nodes, path, strict=True)])
            made[stretch] = Best(states, tuple(curves), self._flights.total_m(stretch, states, curves))
        return made

    def _placed(
        self, numbers: Sequence[int], grids: Grids, which: Iterable[int]
    ) -> list[tuple[Floats, Floats, Floats]]:
        """`Nodes.places` of the states of some of the numbered nodes."""
        chosen = [numbers[i] for i in which]
        return self._flights.table.places(chosen, [grids[k] for k in chosen])


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

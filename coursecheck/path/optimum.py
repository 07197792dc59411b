"""The best states of a whole chain: grids of states, coarse to fine, then Newton's method.

A node that can be gone through in one way only, such as a tunnel, parts the chain into stretches that know nothing of
each other. All that is decided is decided for each stretch by itself; only the arithmetic is done for many at once.
So a stretch whose surroundings have not changed can be taken from the memo whole.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from coursecheck.language import spoken
from coursecheck.path.curves import Curve, Place
from coursecheck.path.detour import Route
from coursecheck.path.flights import BLOCKED_M, Flights
from coursecheck.path.legs import Leg, look_at
from coursecheck.path.obstruction import Bounds, Kept, Obstruction, around
from coursecheck.path.refine import newton
from coursecheck.path.room import OFFSETS, make_room
from coursecheck.path.settle import leg_tables, settle
from coursecheck.path.states import Node
from coursecheck.path.stretches import Best, Grids, Stretch, stretches_of
from coursecheck.path.words import Floats

__all__ = ["Best", "Chain", "line_through"]

COARSE_RAD = math.radians(10.0)  # between its directions
FINE = (3, 3)  # states across and directions of closer grids, where nothing stands in the way
FINE_AROUND = (3, 5)  # the same, where something does
FINE_LEVELS = 2
SHRINK = 0.5
POLISH = 6
BETTER_M = 1e-9
HELD_REACH = 0.1  # metres and radians
HELD = (3, 9)
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
        return self._flights.table.poses(np.arange(len(self.nodes)), states)

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
        legs = tuple((leg.radius_m, leg.turn) for leg in self._legs_of(stretch))
        ends = stretch.first == 0, stretch.last == len(self.nodes) - 1
        key = (nodes, owners, legs, ends, self._obstruction.clearance_m, step_rad, self.held_levels, spoken())
        return self._obstruction.memo.get("stretch", key, list)

    def _boxes(self, stretch: Stretch) -> list[Bounds]:
        """All flights and all curves of a stretch that were looked at lie in these boxes."""
        flights = [self._flights.boxes[k] for k in stretch.nodes if self._flights.is_flight(k)]
        return flights + [around(leg.seen) for leg in self._legs_of(stretch) if leg.seen]

    def _made(self, stretch: Stretch, best: Best) -> _Made:
        nodes = tuple(self.nodes[k] for k in stretch.nodes)
        return _Made(best, nodes, tuple(leg.problem for leg in self._legs_of(stretch)))

    def _take_up(self, stretch: Stretch, made: _Made) -> Best:
        self._flights.replace(dict(zip(stretch.nodes, made.nodes, strict=True)))
        for leg, problem in zip(self._legs_of(stretch), made.problems, strict=True):
            leg.problem = problem
        return made.best

    def _legs_of(self, stretch: Stretch) -> list[Leg]:
        return [leg for leg in self.legs[stretch.first : stretch.last] if leg is not None]

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
                stretch, best[stretch], own, step_rad, self._flights, self._legs_of(stretch), self._settle
            )
        shrunk = 1.0
        for _level in range(FINE_LEVELS):
            around: Grids = {}
            for stretch in stretches:
                steps = FINE_AROUND if any(leg.owners for leg in self._legs_of(stretch)) else FINE
                for k, state in zip(stretch.nodes, best[stretch].states, strict=True):
                    node = self.nodes[k]
                    reach = np.array((shrunk * node.half_width_m / (OFFSETS // 2), shrunk * step_rad))
                    around[k] = node.around(state, reach, steps)
            best = self._settle(stretches, around)
            shrunk *= SHRINK
        best = self._polish(best)
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
        placed, costs = flights.table.places(numbers, [grids[k] for k in numbers])
        places = dict(zip(numbers, placed, strict=True))
        clear = flights.clear(places)
        inner = {
            k: np.where(clear[k], cost, BLOCKED_M) if k in clear else cost
            for k, cost in zip(numbers, costs, strict=True)
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
            made[stretch] = Best(states, tuple(curves), self._total(stretch, states, curves))
        return made

    def _total(self, stretch: Stretch, states: Floats, curves: Sequence[Curve | None]) -> float:
        own = self._flights.table.own_costs(np.array(stretch.nodes), states)
        return float(own.sum()) + sum(curve.length_m for curve in curves if curve is not None)

    def _polish(self, chosen: Mapping[Stretch, Best]) -> dict[Stretch, Best]:
        """Newton's method on the states of stretches, every result looked at before it is taken."""
        best, current = dict(chosen), dict(chosen)
        for _round in range(POLISH):
            refined = self._refined(current)
            for stretch, moved in refined.items():
                if moved.total_m < best[stretch].total_m - BETTER_M:
                    best[stretch] = moved
            current = {s: moved for s, moved in refined.items() if _routes(moved) != _routes(current[s])}
            if not current:
                break
        return best

    def _refined(self, current: Mapping[Stretch, Best]) -> dict[Stretch, Best]:
        """Newton's method; nodes that it had to hold are settled by ever closer grids instead.

        Left out are stretches that are not feasible where it led.
        """
        made = {stretch: self._newton(stretch, best, set()) for stretch, best in current.items()}
        moved = self._looked_at({stretch: states for stretch, (states, _) in made.items()})
        for stretch, (_, held) in made.items():
            if held and stretch in moved:
                settled = self._settle_held(stretch, moved[stretch], held)
                states, _ = self._newton(stretch, settled, held)
                moved[stretch] = self._looked_at({stretch: states}).get(stretch, settled)
        return moved

    def _newton(self, stretch: Stretch, chosen: Best, held: set[int]) -> tuple[Floats, set[int]]:
        nodes = [self.nodes[k] for k in stretch.nodes]
        states = [(offset, direction) for offset, direction in chosen.states.tolist()]
        refined, held = newton(nodes, self._legs_of(stretch), states, _routes(chosen), held)
        return np.array(refined), held

    def _settle_held(self, stretch: Stretch, best: Best, held: set[int]) -> Best:
        """Settles the held nodes of a stretch, by their places in it, by ever closer grids.

        Such a grid may be too close for all that hits something to be struck out; then what is known is kept.
        """
        for first, last in _runs(held):
            part = Stretch(stretch.first + max(0, first - 1), min(stretch.last, stretch.first + last + 1))
            reach = np.full(2, HELD_REACH)
            for _level in range(self.held_levels):
                states = dict(zip(stretch.nodes, best.states, strict=True))
                grids = {
                    k: self.nodes[k].around(states[k], reach, HELD) if k - stretch.first in held else states[k][None]
                    for k in part.nodes
                }
                problems = [leg.problem for leg in self._legs_of(stretch)]
                found = self._settle([part], grids)[part]
                if [leg.problem for leg in self._legs_of(stretch)] != problems:
                    for leg, problem in zip(self._legs_of(stretch), problems, strict=True):
                        leg.problem = problem
                    break
                best = self._with_part(stretch, best, part, found)
                reach = reach * SHRINK
        return best

    def _with_part(self, stretch: Stretch, best: Best, part: Stretch, found: Best) -> Best:
        """The chain of a stretch with a part of it replaced."""
        low, high = part.first - stretch.first, part.last - stretch.first
        states, curves = best.states.copy(), list(best.curves)
        states[low : high + 1], curves[low:high] = found.states, found.curves
        return Best(states, tuple(curves), self._total(stretch, states, curves))

    def _looked_at(self, states: Mapping[Stretch, Floats]) -> dict[Stretch, Best]:
        """The shortest feasible curves between given states, of stretches whose flights and legs have such."""
        poses = {
            stretch: self._flights.table.poses(np.array(stretch.nodes), found) for stretch, found in states.items()
        }
        flown = {
            k: (come, leave)
            for stretch, ends in poses.items()
            for k, come, leave in zip(stretch.nodes, *(end[:, None] for end in ends), strict=True)
        }
        barred = {k for k, clear in self._flights.clear(flown).items() if not clear.all()}
        ways = {
            stretch: self._ways(stretch, *ends) for stretch, ends in poses.items() if not barred & {*stretch.nodes}
        }
        look_at(
            [
                (leg, shortest, start)
                for legs in ways.values()
                for leg, start, _, shortest in legs
                if shortest is not None and leg.problem is None
            ]
        )
        made: dict[Stretch, Best] = {}
        for stretch, legs in ways.items():
            curves: list[Curve] = []
            for leg, start, end, shortest in legs:
                curve = leg.best(start, end, shortest)
                if curve is None:
                    break
                curves.append(curve)
            else:
                made[stretch] = Best(states[stretch], tuple(curves), self._total(stretch, states[stretch], curves))
        return made

    def _ways(self, stretch: Stretch, entries: Floats, exits: Floats) -> list[tuple[Leg, Place, Place, Curve | None]]:
        """The legs of a stretch, where they start and end, and the shortest curve whatever stands in its way."""
        starts, ends = list(map(_place, exits[:-1].tolist())), list(map(_place, entries[1:].tolist()))
        return [
            (leg, start, end, next(leg.by_length(start, end), None))
            for leg, start, end in zip(self._legs_of(stretch), starts, ends, strict=True)
        ]


def _routes(best: Best) -> list[Route | None]:
    return [curve.route if curve is not None else None for curve in best.curves]


def _place(pose: Sequence[float]) -> Place:
    x, y, heading = pose
    return x, y, heading


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

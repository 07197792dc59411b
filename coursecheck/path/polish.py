"""The last step to the best states of stretches: Newton's method, every result looked at before it is taken."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

import numpy as np

from coursecheck.path.curves import Curve, Place, place_of
from coursecheck.path.detour import Route
from coursecheck.path.flights import Flights
from coursecheck.path.legs import Leg, look_at
from coursecheck.path.refine import SAME_M, Refined, newton
from coursecheck.path.stretches import Best, Settle, Stretch
from coursecheck.path.words import Floats

__all__ = ["SHRINK", "Polish"]

POLISH = 6
BETTER_M = 1e-9
HELD_REACH = 0.1  # metres and radians
WIDE = (3, 9)  # states across and directions of the first grids round a held node,
WIDE_LEVELS = 3
CLOSE = (3, 5)  # and of the closer ones, where something stands in the way
SHRINK = 0.5  # of what grids reach, from each to the next


class Polish:
    """Polishes stretches of a chain.

    Args:
        flights: the nodes of the chain.
        legs: the legs between them; None at a stop.
        settle: finds the best chain over given states.
        held_levels: how many times closer grids get where Newton's method had to hold nodes.
    """

    def __init__(self, flights: Flights, legs: Sequence[Leg | None], settle: Settle, held_levels: int) -> None:
        self._flights, self._legs = flights, legs
        self._settle, self._held_levels = settle, held_levels

    def polished(self, chosen: Mapping[Stretch, Best]) -> dict[Stretch, Best]:
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

        Where circles were made to touch and something stands in the way of that, it begins again without.
        Left out are stretches that are not feasible where it led.
        """
        made = {stretch: self._newton(stretch, best) for stretch, best in current.items()}
        moved = self._looked_at({stretch: np.array(refined.states) for stretch, refined in made.items()})
        barred = [
            stretch for stretch, refined in made.items() if refined.touched and _longer(stretch, moved, refined)
        ]
        if barred:
            made |= {stretch: self._newton(stretch, current[stretch], touch=False) for stretch in barred}
            moved = {stretch: best for stretch, best in moved.items() if stretch not in barred}
            moved |= self._looked_at({stretch: np.array(made[stretch].states) for stretch in barred})
        for stretch, refined in made.items():
            if refined.held and stretch in moved:
                settled = self._settle_held(stretch, moved[stretch], refined.held)
                closer = self._newton(stretch, settled, refined.held, touch=False)
                moved[stretch] = self._looked_at({stretch: np.array(closer.states)}).get(stretch, settled)
        return moved

    def _newton(self, stretch: Stretch, chosen: Best, held: Collection[int] = (), *, touch: bool = True) -> Refined:
        nodes = [self._flights.nodes[k] for k in stretch.nodes]
        states = [(offset, direction) for offset, direction in chosen.states.tolist()]
        return newton(nodes, stretch.legs_of(self._legs), states, _routes(chosen), held, touch=touch)

    def _settle_held(self, stretch: Stretch, best: Best, held: set[int]) -> Best:
        """Settles the held nodes of a stretch, by their places in it, by ever closer grids.

        Such a grid may be too close for all that hits something to be struck out; then what is known is kept.
        """
        for first, last in _runs(held):
            part = Stretch(stretch.first + max(0, first - 1), min(stretch.last, stretch.first + last + 1))
            reach = np.full(2, HELD_REACH)
            crowded = any(leg.owners for leg in part.legs_of(self._legs))
            for level in range(self._held_levels):
                states = dict(zip(stretch.nodes, best.states, strict=True))
                grids = {
                    k: self._flights.nodes[k].around(
                        states[k], reach, CLOSE if crowded and level >= WIDE_LEVELS else WIDE
                    )
                    if k - stretch.first in held
                    else states[k][None]
                    for k in part.nodes
                }
                problems = [leg.problem for leg in stretch.legs_of(self._legs)]
                found = self._settle([part], grids, None)[part]
                if [leg.problem for leg in stretch.legs_of(self._legs)] != problems:
                    for leg, problem in zip(stretch.legs_of(self._legs), problems, strict=True):
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
        return Best(states, tuple(curves), self._flights.total_m(stretch, states, curves))

    def _looked_at(self, states: Mapping[Stretch, Floats]) -> dict[Stretch, Best]:
        """The shortest feasible curves between given states, of stretches whose flights and legs have such."""
        poses = {
            stretch: self._flights.table.poses(slice(stretch.first, stretch.last + 1), found)
            for stretch, found in states.items()
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
                made[stretch] = Best(
                    states[stretch], tuple(curves), self._flights.total_m(stretch, states[stretch], curves)
                )
        return made

    def _ways(self, stretch: Stretch, entries: Floats, exits: Floats) -> list[tuple[Leg, Place, Place, Curve | None]]:
        """The legs of a stretch, where they start and end, and the shortest curve whatever stands in its way."""
        starts, ends = list(map(place_of, exits[:-1].tolist())), list(map(place_of, entries[1:].tolist()))
        return [
            (leg, start, end, leg.shortest(start, end))
            for leg, start, end in zip(stretch.legs_of(self._legs), starts, ends, strict=True)
        ]


def _longer(stretch: Stretch, looked_at: Mapping[Stretch, Best], refined: Refined) -> bool:
    """Whether something stands in the way of the curves that were refined, so that others had to be taken."""
    return stretch not in looked_at or looked_at[stretch].total_m > refined.value_m + SAME_M


def _routes(best: Best) -> list[Route | None]:
    return [curve.route if curve is not None else None for curve in best.curves]


def _runs(numbers: set[int]) -> Iterator[tuple[int, int]]:
    """The first and the last of numbers that follow each other without a gap."""
    ordered = sorted(numbers)
    starts = [n for n in ordered if n - 1 not in numbers]
    yield from zip(starts, (n for n in ordered if n + 1 not in numbers), strict=True)

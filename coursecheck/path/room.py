"""Room for a stretch in which a leg loops or has no line: a closer look, then shorter flights."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
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
    which the dog can run on without a loop, or at all where there was no line. Where not even that helps they keep
    their length.

    Args:
        stretch: the stretch.
        best: its best chain over whole grids.
        grids: the states of its nodes; closer ones are put in where they are wanted.
        step_rad: between their directions.
        flights: the nodes; some are replaced.
        legs: the legs of the stretch.
        settle: finds the best chain.
    """
    tight = _tight(stretch, best, flights, legs, WINDING_RAD)
    if not tight:
        return best
    steps_rad = dict.fromkeys(grids, step_rad)
    for k in {k + side for k in tight for side in (0, 1)}:
        steps_rad[k] = min(step_rad, DENSE_RAD)
        grids[k] = flights.nodes[k].grid(OFFSETS, steps_rad[k])
    best = settle([stretch], grids, steps_rad)[stretch]
    beside = {k for k in stretch.legs if flights.is_flight(k) or flights.is_flight(k + 1)}
    shares = dict.fromkeys(_tight(stretch, best, flights, legs) & beside, 0.0)
    if not shares:
        return best
    whole, problems = {k: flights.nodes[k] for k in grids}, [leg.problem for leg in legs]
    stuck = {k for k, problem in zip(stretch.legs, problems, strict=True) if problem is not None}
    may_loop: set[int] = set()

    def shorten(shares: Mapping[int, float]) -> tuple[Best, set[int]]:
        """The best chain when the flights next to some legs have a share of their length, and what is tight then."""
        flights.replace(_shortened(whole, shares, flights))
        flights.ask(grids)
        for k in shares:
            legs[k - stretch.first].try_again()
        found = settle([stretch], grids, steps_rad)[stretch]
        without_line = _tight(stretch, found, flights, legs, math.inf)
        return found, _tight(stretch, found, flights, legs) - may_loop | without_line

    without_flights, still_tight = shorten(shares)
    # A loop with short flights is better than no line at all.
    may_loop |= still_tight & stuck - _tight(stretch, without_flights, flights, legs, math.inf)
    shares = dict.fromkeys(shares.keys() - (still_tight - may_loop), 0.0)
    if not shares:
        flights.replace(whole)
        flights.ask(grids)
        for leg, problem in zip(legs, problems, strict=True):
            leg.problem = problem
        return best
    unsettled = set(shares)
    for share in SHARES:
        if unsettled:
            fits = unsettled - shorten(shares | dict.fromkeys(unsettled, share))[1]
            shares |= dict.fromkeys(fits, share)
            unsettled -= fits
    return shorten(shares)[0]


def _tight(
    stretch: Stretch, best: Best, flights: Flights, legs: Sequence[Leg], loop_rad: float = LOOP_RAD
) -> set[int]:
    """The legs that have no feasible line, join a flight without room, or wind by more than `loop_rad`."""
    return {
        k
        for k, leg, curve in zip(stretch.legs, legs, best.curves, strict=True)
        if curve is not None
        and (leg.problem is not None or curve.loop_rad > loop_rad or flights.cramped & {k, k + 1})
    }


def _shortened(whole: Mapping[int, Node], shares: Mapping[int, float], flights: Flights) -> dict[int, Node]:
    """The nodes when the flights next to some legs have a share of their full length."""
    nodes = dict(whole)
    for k, share in shares.items():
        if flights.is_flight(k):
            nodes[k] = replace(nodes[k], after_m=share * nodes[k].after_m)
        if flights.is_flight(k + 1):
            nodes[k + 1] = replace(nodes[k + 1], before_m=share * nodes[k + 1].before_m)
    return nodes

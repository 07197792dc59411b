"""Room for a stretch in which a leg loops or has no line: a closer look, then shorter flights."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial

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
    tight = _tight(stretch, best, flights, legs) & beside
    if not tight:
        return best
    whole, problems = {k: flights.nodes[k] for k in grids}, [leg.problem for leg in legs]
    stuck = {k for k, problem in zip(stretch.legs, problems, strict=True) if problem is not None}

    def shorten(shares: Mapping[int, float]) -> Best:
        """The best chain when the flights next to some legs have a share of their length."""
        flights.replace(_shortened(whole, shares, flights))
        flights.ask(grids)
        for k in shares:
            legs[k - stretch.first].try_again()
        return settle([stretch], grids, steps_rad)[stretch]

    shares = _largest_shares(tight, stuck, shorten, partial(_tight, stretch, flights=flights, legs=legs))
    made = shorten(shares) if shares else None
    shortened = {k: flights.nodes[k] for k in grids}
    if made is not None and (stuck or _whole_m(made, shortened) <= _whole_m(best, whole)):
        return made
    flights.replace(whole)
    flights.ask(grids)
    for leg, problem in zip(legs, problems, strict=True):
        leg.problem = problem
    return best


def _largest_shares(
    tight: set[int],
    stuck: set[int],
    shorten: Callable[[Mapping[int, float]], Best],
    still_tight: Callable[..., set[int]],
) -> dict[int, float]:
    """The largest share of SHARES, or nothing, that helps each leg; a leg that nothing helps is left out.

    Args:
        tight: the legs.
        stuck: those that had no line: a loop with short flights is better than none.
        shorten: the best chain when the flights next to some legs have a share of their length.
        still_tight: the legs of such a chain that are tight.
    """
    found = shorten(dict.fromkeys(tight, 0.0))
    may_loop = still_tight(found) & stuck - still_tight(found, loop_rad=math.inf)
    shares = dict.fromkeys(tight - (still_tight(found) - may_loop), 0.0)
    unsettled = set(shares)
    for share in SHARES:
        if unsettled:
            found = shorten(shares | dict.fromkeys(unsettled, share))
            fits = unsettled - (still_tight(found) - may_loop | still_tight(found, loop_rad=math.inf))
            shares |= dict.fromkeys(fits, share)
            unsettled -= fits
    return shares


def _whole_m(best: Best, nodes: Mapping[int, Node]) -> float:
    """The length of a chain with all of its flights."""
    return best.total_m + sum(node.before_m + node.after_m for node in nodes.values())


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

"""Newton's method on the states of a chain whose curves keep their form."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

from coursecheck.path.detour import Route
from coursecheck.path.grip import Grip, State
from coursecheck.path.legs import Leg
from coursecheck.path.posture import FLAT, Posture, spot_of
from coursecheck.path.states import Node

__all__ = ["SAME_M", "Refined", "newton"]

ITERATIONS = 15
SHORTER_STEPS = 4
NOISE = 1e-13  # of a length
SHORTER = 1 / 8
LONGEST = 0.3  # a step of circles that touch, metres or radians
SAME_M = 1e-6  # lengths that differ by no more belong to the same curves
STILL = 1e-9  # a step after which the next one is float noise


class Refined(NamedTuple):
    """Where Newton's method led.

    Attributes:
        states: of the nodes.
        held: the nodes that were held in the end.
        touched: whether circles were made to touch.
        value_m: the length of all legs and what the states cost, whatever stands in the way.
    """

    states: list[State]
    held: set[int]
    touched: bool
    value_m: float


def newton(
    nodes: Sequence[Node],
    legs: Sequence[Leg],
    states: Sequence[State],
    routes: Sequence[Route | None],
    held: Collection[int] = (),
    *,
    touch: bool = True,
) -> Refined:
    """States for which the chain is shortest while each leg keeps its route, or runs directly where it has none.

    The length of a leg jumps where two circles come so close that no straight fits between them any more. The method
    does not step across: it lets the circles touch, or holds the nodes of such a leg where they are.

    Args:
        nodes: the nodes of the chain.
        legs: the legs between them.
        states: where to begin.
        routes: of the legs; None where one runs directly.
        held: nodes to be left where they are.
        touch: whether circles may be made to touch.
    """
    grips = [Grip(node) for node in nodes]
    holds, touched = set(held), False
    spots = [spot_of(grip, grip.clipped(*state)) for grip, state in zip(grips, states, strict=True)]
    here = Posture(grips, legs, routes, spots)
    for _iteration in range(ITERATIONS):
        way, step = here.downhill(holds)
        if max(map(abs, step)) == 0.0:
            break
        there = here.moved(way, step)
        jumps = here.jumps(there)
        if jumps and touch:
            found, pressed = _in_touch(here, there, jumps, holds)
            if found is None:
                return newton(nodes, legs, states, routes, held, touch=False)
            here, touched = found, True
            if pressed:
                break
            continue
        if jumps:
            holds |= {k + side for k in jumps for side in (0, 1)}
            continue
        for _shorter in range(SHORTER_STEPS):
            if there.value_m < here.value_m + NOISE * max(1.0, here.value_m):
                break
            step = [SHORTER * along for along in step]
            there = here.moved(way, step)
        else:
            break
        still = max(here.way(there)) < STILL
        here = there
        if still:
            break
    return Refined(here.states, holds, touched, here.value_m)


def _in_touch(here: Posture, there: Posture, jumps: Sequence[int], held: set[int]) -> tuple[Posture | None, bool]:
    """The shortest chain whose circles touch in the legs that jump on the way there.

    Returns:
        The chain, None where that leads nowhere, and whether its circles press against each other: then no other
        chain near it is shorter.
    """
    chain = here.touching(there.overlaps(jumps))
    if not chain.contacts:
        return None, False
    forces = [0.0] * len(chain.contacts)
    for _iteration in range(ITERATIONS):
        way, step, forces = chain.downhill_in_touch(held, forces)
        longest = max(map(abs, step))
        if longest > LONGEST:
            step = [along * LONGEST / longest for along in step]
        after = chain.moved(way, step)
        if chain.jumps(after):
            return None, False
        more = [contact for contact in after.overlaps(jumps) if contact not in chain.contacts]
        if more:
            chain = chain.touching([*chain.contacts, *more])
            forces += [0.0] * len(more)
            continue
        chain = after
        if longest >= STILL:
            continue
        kept = [(contact, force) for contact, force in zip(chain.contacts, forces, strict=True) if force <= FLAT]
        if len(kept) in (0, len(forces)):
            break
        chain, forces = chain.touching([contact for contact, _ in kept]), [force for _, force in kept]
    else:
        return None, False
    found = chain.touching([])
    if abs(found.value_m - chain.value_m) > SAME_M or found.value_m >= here.value_m:
        return None, False
    return found, bool(kept)

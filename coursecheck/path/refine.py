"""Newton's method on the states of a chain whose curves keep their form.

Only the circles at the two ends of a curve count: when the first circle moves by d, the length changes by -u.d, u
being the direction of the first straight, and turning the pose turns the circle about it and shortens the arc on it.
So `Tension` says all about a leg, and what a state does to the circle next to it follows from the node. All
derivatives are exact; the arithmetic is that of single numbers, of which a chain has too few for arrays.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from coursecheck.path.banded import BAND, downhill
from coursecheck.path.curves import Stiffness
from coursecheck.path.detour import Route
from coursecheck.path.grip import End, Freedom, Grip, Own, State, Wheel
from coursecheck.path.legs import Leg
from coursecheck.path.states import Node

__all__ = ["newton"]

ITERATIONS = 15
SHORTER_STEPS = 4
NOISE = 1e-13  # of a length
SHORTER = 1 / 8
JUMP_M = 0.1
FLAT = 1e-11  # a gradient that is nothing, metres per metre or radian
STILL = 1e-9  # a step after which the next one is float noise


def newton(
    nodes: Sequence[Node],
    legs: Sequence[Leg],
    states: Sequence[State],
    routes: Sequence[Route | None],
    held: set[int],
) -> tuple[list[State], set[int]]:
    """States for which the chain is shortest while each leg keeps its route, or runs directly where it has none.

    The length of a leg jumps where two circles come so close that no straight fits between them any more. The method
    does not step across: it holds the nodes of such a leg where they are.

    Args:
        nodes: the nodes of the chain.
        legs: the legs between them.
        states: where to begin.
        routes: of the legs; None where one runs directly.
        held: nodes to be left where they are.

    Returns:
        The states, and the nodes that were held in the end.
    """
    grips = [Grip(node) for node in nodes]
    held = set(held)
    spots = [_spot(grip, grip.clipped(*state)) for grip, state in zip(grips, states, strict=True)]
    here = _Chain(grips, legs, routes, spots)
    for _iteration in range(ITERATIONS):
        way, step = here.downhill(held)
        if max(map(abs, step)) == 0.0:
            break
        there = here.moved(way, step)
        jumps = here.jumps(there)
        if jumps:
            held |= {k + side for k in jumps for side in (0, 1)}
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
    return here.states, held


class _Spot(NamedTuple):
    """A node at one of its states: where it is entered and left, and what the state costs."""

    state: State
    come: End
    leave: End
    own: Own


def _spot(grip: Grip, state: State) -> _Spot:
    return _Spot(state, grip.entry(state), grip.exit(state), grip.own(state))


class _Chain:
    """The length of a chain at one choice of its states.

    Attributes:
        states: of its nodes.
        lengths_m: of its legs.
        value_m: of the legs and of what the states cost.
    """

    def __init__(
        self, grips: Sequence[Grip], legs: Sequence[Leg], routes: Sequence[Route | None], spots: Sequence[_Spot]
    ) -> None:
        self.states = [spot.state for spot in spots]
        self._grips, self._legs, self._routes, self._spots = grips, legs, routes, spots
        self._options = [
            leg.shortest_option(before.leave.place, after.come.place, route)
            for leg, route, (before, after) in zip(legs, routes, pairwise(spots), strict=True)
        ]
        self.lengths_m = [option.length_m for option in self._options]
        self.value_m = sum(self.lengths_m) + sum(spot.own.cost_m for spot in spots)

    def way(self, other: _Chain) -> list[float]:
        """How far each node lies from where it is in another choice."""
        return [abs(a - c) + abs(b - d) for (a, b), (c, d) in zip(self.states, other.states, strict=True)]

    def jumps(self, other: _Chain) -> list[int]:
        """The legs that get longer by far more than their ends move."""
        way = self.way(other)
        return [
            k
            for k, (leg, before, after) in enumerate(zip(self._legs, self.lengths_m, other.lengths_m, strict=True))
            if after - before > JUMP_M + 4 * (way[k] + way[k + 1]) * (1.0 + leg.radius_m)
        ]

    def moved(self, freedoms: Sequence[Freedom], step: Sequence[float]) -> _Chain:
        """The chain after a step."""
        spots = [
            _spot(grip, grip.stepped(spot.state, freedom, across, turn)) if across or turn or freedom.tied else spot
            for grip, spot, freedom, across, turn in zip(
                self._grips, self._spots, freedoms, step[::2], step[1::2], strict=True
            )
        ]
        return _Chain(self._grips, self._legs, self._routes, spots)

    def downhill(self, held: set[int]) -> tuple[list[Freedom], list[float]]:
        """Newton's step, and how far each node may follow it."""
        pulls = [option.tension() for option in self._options]
        wheels = [
            (before.leave.wheel(pull.first_side * leg.radius_m), after.come.wheel(pull.last_side * leg.radius_m))
            for leg, pull, (before, after) in zip(self._legs, pulls, pairwise(self._spots), strict=True)
        ]
        owns = [spot.own for spot in self._spots]
        by_offset, by_direction = [own.by_offset for own in owns], [own.by_direction for own in owns]
        bend = [own.by_direction_twice for own in owns]
        for k, (leg, pull, (left, right)) in enumerate(zip(self._legs, pulls, wheels, strict=True)):
            for i, sign, wheel, side, x, y in (
                (k, -1.0, left, pull.first_side, pull.first_x, pull.first_y),
                (k + 1, 1.0, right, pull.last_side, pull.last_x, pull.last_y),
            ):
                by_offset[i] += sign * (x * wheel.across_x + y * wheel.across_y)
                by_direction[i] += sign * (x * wheel.turn_x + y * wheel.turn_y + side * leg.radius_m)
                bend[i] += sign * (x * wheel.bend_x + y * wheel.bend_y)
        freedoms = [
            grip.freedom(state, across, turn)
            for grip, state, across, turn in zip(self._grips, self.states, by_offset, by_direction, strict=True)
        ]
        band = [[0.0] * (2 * len(self._grips)) for _ in range(BAND + 1)]
        for k, (pull, (left, right)) in enumerate(zip(pulls, wheels, strict=True)):
            for part in pull.stiffness:
                felt = _felt(part.first_x, part.first_y, left, freedoms[k])
                felt_on = _felt(part.last_x, part.last_y, right, freedoms[k + 1])
                _stiffen(band, 2 * k, part, felt, felt_on)
        gradient: list[float] = []
        free: list[bool] = []
        for k, (own, freedom) in enumerate(zip(owns, freedoms, strict=True)):
            slope = by_direction[k]
            gradient += (by_offset[k] + slope * freedom.slope, slope)
            free += (freedom.across and k not in held, freedom.turn and k not in held)
            band[0][2 * k] += own.by_offset_twice + bend[k] * freedom.slope**2 + slope * freedom.bend
            band[0][2 * k + 1] += bend[k]
        moves = [loose and abs(slope) >= FLAT for loose, slope in zip(free, gradient, strict=True)]
        return freedoms, downhill(gradient, band, free) if any(moves) else [0.0] * len(free)


def _felt(x: float, y: float, wheel: Wheel, freedom: Freedom) -> tuple[float, float]:
    """How far a circle moves along a unit vector with the offset and with the direction of its node."""
    turn = x * wheel.turn_x + y * wheel.turn_y
    return x * wheel.across_x + y * wheel.across_y + turn * freedom.slope, turn


def _stiffen(
    band: Sequence[list[float]], i: int, part: Stiffness, left: tuple[float, float], right: tuple[float, float]
) -> None:
    """Adds what the unknowns i and i + 1 of a leg's start and i + 2 and i + 3 of its end feel."""
    (a, b), (c, d) = left, right
    first, both, last = part[:3]
    own, next_to, apart, far = band
    own[i] += first * a * a
    own[i + 1] += first * b * b
    own[i + 2] += last * c * c
    own[i + 3] += last * d * d
    next_to[i + 1] += first * a * b
    next_to[i + 2] -= both * b * c
    next_to[i + 3] += last * c * d
    apart[i + 2] -= both * a * c
    apart[i + 3] -= both * b * d
    far[i + 3] -= both * a * d

"""A chain at one choice of its states: how long it is, and what pulls at its nodes.

Only the circles at the two ends of a curve count: when the first circle moves by d, the length changes by -u.d, u
being the direction of the first straight, and turning the pose turns the circle about it and shortens the arc on it.
So `Tension` says all about a leg, and what a state does to the circle next to it follows from the node. All
derivatives are exact; the arithmetic is that of single numbers, of which a chain has too few for arrays.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from coursecheck.path.banded import BAND, downhill, solved
from coursecheck.path.curves import Stiffness, Tension
from coursecheck.path.detour import Route
from coursecheck.path.grip import End, Freedom, Grip, Own, State, Wheel
from coursecheck.path.legs import Leg, Option
from coursecheck.path.touch import GAP_M, Contact, Touching, touching

__all__ = ["FLAT", "Posture", "Spot", "spot_of"]

JUMP_M = 0.1
FLAT = 1e-11  # a gradient that is nothing, metres per metre or radian
STIFF = 1.0  # of circles that touch, per metre; whatever it is, the same is found


class Spot(NamedTuple):
    """A node at one of its states: where it is entered and left, and what the state costs."""

    state: State
    come: End
    leave: End
    own: Own


def spot_of(grip: Grip, state: State) -> Spot:
    """A node at a state."""
    return Spot(state, grip.entry(state), grip.exit(state), grip.own(state))


class Posture:
    """The length of a chain at one choice of its states.

    Attributes:
        states: of its nodes.
        lengths_m: of its legs.
        value_m: of the legs and of what the states cost.
        contacts: circles that are taken to touch.
    """

    def __init__(
        self,
        grips: Sequence[Grip],
        legs: Sequence[Leg],
        routes: Sequence[Route | None],
        spots: Sequence[Spot],
        contacts: Sequence[Contact] = (),
    ) -> None:
        self.contacts = contacts
        self.states = [spot.state for spot in spots]
        self._grips, self._legs, self._routes, self._spots = grips, legs, routes, spots
        self._options: list[Option | Touching] = [
            leg.shortest_option(before.leave.place, after.come.place, route)
            for leg, route, (before, after) in zip(legs, routes, pairwise(spots), strict=True)
        ]
        self._circles = [self._touching(contact) for contact in contacts]
        for contact, circles in zip(contacts, self._circles, strict=True):
            self._options[contact.leg] = circles
        self.lengths_m = [option.length_m for option in self._options]
        self.value_m = sum(self.lengths_m) + sum(spot.own.cost_m for spot in spots)

    def way(self, other: Posture) -> list[float]:
        """How far each node lies from where it is in another choice."""
        return [abs(a - c) + abs(b - d) for (a, b), (c, d) in zip(self.states, other.states, strict=True)]

    def jumps(self, other: Posture) -> list[int]:
        """The legs that get longer by far more than their ends move."""
        way = self.way(other)
        return [
            k
            for k, (leg, before, after) in enumerate(zip(self._legs, self.lengths_m, other.lengths_m, strict=True))
            if after - before > JUMP_M + 4 * (way[k] + way[k + 1]) * (1.0 + leg.radius_m)
        ]

    def moved(self, freedoms: Sequence[Freedom], step: Sequence[float]) -> Posture:
        """The chain after a step."""
        spots = [
            spot_of(grip, grip.stepped(spot.state, freedom, across, turn)) if across or turn or freedom.tied else spot
            for grip, spot, freedom, across, turn in zip(
                self._grips, self._spots, freedoms, step[::2], step[1::2], strict=True
            )
        ]
        return Posture(self._grips, self._legs, self._routes, spots, self.contacts)

    def touching(self, contacts: Sequence[Contact]) -> Posture:
        """The same chain with other circles taken to touch."""
        return Posture(self._grips, self._legs, self._routes, self._spots, contacts)

    def overlaps(self, legs: Iterable[int]) -> list[Contact]:
        """The circles that overlap in some legs; those that must turn one way or go round something are left out."""
        plain = [k for k in legs if self._routes[k] is None and self._legs[k].turn is None]
        contacts = [Contact(k, side) for k in plain for side in (1.0, -1.0)]
        return [contact for contact in contacts if self._touching(contact).gap_m < 0.0]

    def _touching(self, contact: Contact) -> Touching:
        k, side = contact
        return touching(self._spots[k].leave, self._spots[k + 1].come, side, self._legs[k].radius_m)

    def downhill(self, held: Collection[int]) -> tuple[list[Freedom], list[float]]:
        """Newton's step, and how far each node may follow it."""
        freedoms, gradient, band, free, _ = self._system(held, [])
        moves = [loose and abs(slope) >= FLAT for loose, slope in zip(free, gradient, strict=True)]
        return freedoms, downhill(gradient, band, free) if any(moves) else [0.0] * len(free)

    def downhill_in_touch(
        self, held: Collection[int], forces: Sequence[float]
    ) -> tuple[list[Freedom], list[float], list[float]]:
        """The same on the condition that circles touch, and the force of each contact.

        Args:
            held: nodes to be left where they are.
            forces: of each contact, in metres by which the chain gets shorter per metre of its gap; less than 0
                where the circles press against each other. A guess will do.
        """
        freedoms, gradient, band, free, rows = self._system(held, forces)
        step = np.array(solved(gradient, band, free))
        back = np.array([solved(row, band, free) for row in rows])
        left = np.array(rows) @ step + [circles.gap_m - GAP_M for circles in self._circles]
        more = np.linalg.lstsq(np.array(rows) @ back.T, -left, rcond=None)[0]
        return freedoms, (step + more @ back).tolist(), (np.array(forces) + more).tolist()

    def _system(self, held: Collection[int], forces: Sequence[float]) -> _System:
        """What is to be solved with such forces of the contacts."""
        pulls = [option.tension() for option in self._options]
        wheels = [self._wheels(k, pull.first_side, pull.last_side) for k, pull in enumerate(pulls)]
        contacts = [
            _Pressed(contact.leg, circles, force + STIFF * circles.gap_m, *self._wheels(*contact, -contact.side))
            for contact, circles, force in zip(self.contacts, self._circles, forces, strict=True)
        ]
        by_offset, by_direction, bend = self._slopes(pulls, wheels, contacts)
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
        rows = [self._open(contact, freedoms, band) for contact in contacts]
        gradient: list[float] = []
        free: list[bool] = []
        for k, (spot, freedom) in enumerate(zip(self._spots, freedoms, strict=True)):
            slope = by_direction[k]
            gradient += (by_offset[k] + slope * freedom.slope, slope)
            free += (freedom.across and k not in held, freedom.turn and k not in held)
            band[0][2 * k] += spot.own.by_offset_twice + bend[k] * freedom.slope**2 + slope * freedom.bend
            band[0][2 * k + 1] += bend[k]
        return _System(freedoms, gradient, band, free, rows)

    def _slopes(
        self, pulls: Sequence[Tension], wheels: Sequence[tuple[Wheel, Wheel]], contacts: Sequence[_Pressed]
    ) -> tuple[list[float], list[float], list[float]]:
        """By the offset and by the direction of each node, and the second derivatives by the direction."""
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
        for k, circles, force, left, right in contacts:
            for i, sign, wheel in ((k, -force, left), (k + 1, force, right)):
                by_offset[i] += sign * (circles.x * wheel.across_x + circles.y * wheel.across_y)
                by_direction[i] += sign * (circles.x * wheel.turn_x + circles.y * wheel.turn_y)
                bend[i] += sign * (circles.x * wheel.bend_x + circles.y * wheel.bend_y)
        return by_offset, by_direction, bend

    def _open(self, contact: _Pressed, freedoms: Sequence[Freedom], band: Sequence[list[float]]) -> list[float]:
        """How the gap of a contact grows with all that may move; its second derivatives are added to the others."""
        k, circles, force, left, right = contact
        x, y = circles.x, circles.y
        for weight, along_x, along_y in ((STIFF, x, y), (force / circles.apart_m, -y, x)):
            part = Stiffness(weight, weight, weight, along_x, along_y, along_x, along_y)
            felt = _felt(along_x, along_y, left, freedoms[k])
            felt_on = _felt(along_x, along_y, right, freedoms[k + 1])
            _stiffen(band, 2 * k, part, felt, felt_on)
        (a, b), (c, d) = _felt(x, y, left, freedoms[k]), _felt(x, y, right, freedoms[k + 1])
        return [0.0] * 2 * k + [-a, -b, c, d] + [0.0] * 2 * (len(freedoms) - k - 2)

    def _wheels(self, leg: int, first_side: float, last_side: float) -> tuple[Wheel, Wheel]:
        """How the centres of the circles at both ends of a leg go with the states."""
        radius_m, before, after = self._legs[leg].radius_m, self._spots[leg], self._spots[leg + 1]
        return before.leave.wheel(first_side * radius_m), after.come.wheel(last_side * radius_m)


class _System(NamedTuple):
    """What Newton's step solves.

    Attributes:
        freedoms: how far each node may move.
        gradient: by offset and direction of each node.
        band: second derivatives, see `banded`.
        free: which of these may move.
        rows: for each contact, how its gap grows with them.
    """

    freedoms: list[Freedom]
    gradient: list[float]
    band: list[list[float]]
    free: list[bool]
    rows: list[list[float]]


class _Pressed(NamedTuple):
    """Circles of a leg that touch, their force, and how their centres go with the states."""

    leg: int
    circles: Touching
    force: float
    left: Wheel
    right: Wheel


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

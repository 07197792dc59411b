"""Stretches of a chain that know nothing of each other, and what is chosen for them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from coursecheck.path.curves import Curve
from coursecheck.path.legs import Leg
from coursecheck.path.states import Node
from coursecheck.path.words import Floats

__all__ = ["Best", "Grids", "Settle", "Stretch", "stretches_of"]

Grids = dict[int, Floats]
"""States of nodes, by the number of the node."""


@dataclass(frozen=True, slots=True)
class Best:
    """A chain, or a stretch of it, that has been chosen.

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


class Stretch(NamedTuple):
    """Nodes in a row, by their numbers, with the legs between them."""

    first: int
    last: int

    @property
    def nodes(self) -> range:
        """The numbers of its nodes."""
        return range(self.first, self.last + 1)

    @property
    def legs(self) -> range:
        """The numbers of its legs: each joins the node of its number and the next one."""
        return range(self.first, self.last)

    def legs_of(self, legs: Sequence[Leg | None]) -> list[Leg]:
        """Its own ones of all legs of the chain."""
        return [leg for leg in legs[self.first : self.last] if leg is not None]


Settle = Callable[[Sequence[Stretch], Grids, Mapping[int, float] | None], dict[Stretch, Best]]
"""The best chains of stretches over given states; of whole grids, how far apart the directions of each node are."""


def stretches_of(nodes: Sequence[Node], legs: Sequence[Leg | None]) -> list[Stretch]:
    """The stretches of a chain within which choices hang together.

    They end at stops, and at nodes that can be gone through in one way only, which belong to the stretches on both
    sides.
    """
    stretches: list[Stretch] = []
    first = 0
    for k, leg in enumerate(legs):
        if leg is None:
            stretches.append(Stretch(first, k))
            first = k + 1
        elif nodes[k + 1].fixed and k + 1 < len(legs) and legs[k + 1] is not None:
            stretches.append(Stretch(first, k + 1))
            first = k + 1
    return [*stretches, Stretch(first, len(nodes) - 1)]

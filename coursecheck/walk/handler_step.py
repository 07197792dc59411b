"""What a handler can choose from while the dog goes from one entry to the next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coursecheck.walk.figures import Figures
from coursecheck.walk.handler_ground import Place
from coursecheck.walk.legs import Leg
from coursecheck.walk.straight_ways import Flags, Floats

__all__ = ["Step"]

TURN_DEG = 45.0  # from here on a turn of the dog has an inside and an outside
AWRY_DEG = 60.0  # who runs with the dog runs no farther off its way than this; who turns more has to stop; assumption
STEADY = math.cos(math.radians(AWRY_DEG)) - 1e-9  # the same as a cosine, float noise off


@dataclass(frozen=True, eq=False)
class Step:
    """From the places at one pass to the places at the next.

    At each of them the handler stands or runs, the dog's way: every place counts twice, first for standing.

    Attributes:
        leg: the dog's leg.
        starts, ends: the places.
        ways: the ways between them in metres, infinite where there is none, shape (starts, ends).
        time_s: how long the dog takes.
    """

    leg: Leg
    starts: Sequence[Place]
    ends: Sequence[Place]
    ways: Floats
    time_s: float

    def costs(self, figures: Figures) -> Floats:
        """What the places cost, in points, and a change of side between them, shape (starts, ends).

        For a change of side, for being outside the turn, far away or behind; all are figures of the model.
        """
        along = np.array([end.along_m for end in self.ends])
        far = np.array([end.far for end in self.ends])
        turned = abs(self.leg.right_deg - self.leg.left_deg) >= TURN_DEG
        outside = np.array([turned and end.side != self.leg.side for end in self.ends])
        costs = figures["cost-front-cross"] * self.front + figures["cost-rear-cross"] * (self._cross & ~self.front)
        costs = costs + figures["cost-outside"] * outside + figures["cost-far"] * far
        found: Floats = costs + figures["cost-behind"] * np.maximum(0.0, -along) / figures["handler-lead"]
        return found

    @cached_property
    def _cross(self) -> Flags:
        """Whether the side is changed, shape (starts, ends)."""
        starts, ends = (np.array([place.side for place in row]) for row in (self.starts, self.ends))
        found: Flags = starts[:, None] != ends[None]
        return found

    @cached_property
    def front(self) -> Flags:
        """Whether it is changed before the dog, shape (starts, ends)."""
        found: Flags = self._cross & (np.array([end.along_m for end in self.ends]) >= 0.0)[None]
        return found

    @cached_property
    def _units(self) -> Floats:
        """The straight ways as unit vectors, zero for one of no length, shape (starts, ends, 2)."""
        starts, ends = (np.array([place.point for place in row]) for row in (self.starts, self.ends))
        ways = ends[None] - starts[:, None]
        far = np.hypot(ways[..., 0], ways[..., 1])[..., None]
        units: Floats = np.divide(ways, far, out=np.zeros_like(ways), where=far > 0.0)
        return units

    @cached_property
    def leaves_with_the_dog(self) -> Flags:
        """Whether a way leaves its start the dog's way, shape (starts, ends)."""
        found: Flags = np.einsum("ijk,ik->ij", self._units, _headings(self.starts)) >= STEADY
        return found

    @cached_property
    def comes_with_the_dog(self) -> Flags:
        """Whether a way comes to its end the dog's way, shape (starts, ends)."""
        found: Flags = np.einsum("ijk,jk->ij", self._units, _headings(self.ends)) >= STEADY
        return found


def _headings(places: Sequence[Place]) -> Floats:
    """The dog's way at each place as a unit vector, shape (places, 2)."""
    bearings = np.radians([place.bearing_deg for place in places])
    return np.stack((np.sin(bearings), np.cos(bearings)), axis=-1)

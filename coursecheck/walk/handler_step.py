"""What a handler can do while the dog goes from one entry to the next, how long that takes it, and what it costs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coursecheck.walk.figures import Figures
from coursecheck.walk.handler_ground import Place
from coursecheck.walk.handler_motion import keeps_going, least_time_s
from coursecheck.walk.legs import Leg
from coursecheck.walk.straight_ways import Flags, Floats

__all__ = ["Step"]

LATE_COST = 100.0  # for each second: more than any plan costs that gets there in time
MOST_LATE_S = 100.0  # nobody is later than this, not even without any way
LEAST_S = 1e-6  # two passes on one spot leave no time at all
NOISE_S = 1e-9  # float noise of times
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

    def needs_s(self, speed_mps: float, figures: Figures) -> Floats:
        """How long a handler takes at least, with the time of a turn-round.

        Args:
            speed_mps: its top speed.
            figures: the figures of the model.

        Returns:
            Shape (starts, 2, ends, 2); infinite where the handler cannot be running there, or has no way.
        """
        push = figures["handler-acceleration"]
        found = np.full((len(self.starts), 2, len(self.ends), 2), np.inf)
        turning = figures["handler-turn-round"] * self._front
        for runs_off in (0, 1):
            for runs_in in (0, 1):
                rests = 2 - runs_off - runs_in
                can = keeps_going(self.ways, rests, self.time_s, speed_mps, push)
                if runs_off:
                    can = can & self._leaves_with_the_dog
                if runs_in:
                    can = can & self._comes_with_the_dog
                least = least_time_s(self.ways, rests, speed_mps, push) + turning
                found[:, runs_off, :, runs_in] = np.where(can, least, np.inf)
        return found

    def late_s(self, needs_s: Floats) -> Floats:
        """How much too late the handler is.

        Args:
            needs_s: how long it takes.

        Returns:
            Of the same shape: 0 where it is in time, infinite where it cannot be done. Who comes to its start running
            and cannot go on so stops there and goes from a stand to a stand.
        """
        late = np.where(np.isfinite(needs_s), np.clip(needs_s - self.time_s, 0.0, MOST_LATE_S), np.inf)
        stand_to_stand = np.clip(needs_s[:, :1, :, 0] - self.time_s, 0.0, MOST_LATE_S)
        late[:, :, :, 0] = np.minimum(late[:, :, :, 0], stand_to_stand)
        return np.where(late <= NOISE_S, 0.0, late)

    def costs(self, needs_s: Floats, figures: Figures, *, may_be_late: bool) -> Floats:
        """What it costs a handler to get from each place to each place of the next pass, in points.

        The square of the share of its time that the way takes, and what the figures say for a change of side, for
        being outside the turn, far away or behind.

        Args:
            needs_s: how long it takes.
            figures: the figures of the model.
            may_be_late: whether the handler may be too late, at a high cost.

        Returns:
            Shape (2 starts, 2 ends); infinite where it cannot be done.
        """
        late = self.late_s(needs_s)
        effort = (np.minimum(needs_s, self.time_s) / max(self.time_s, LEAST_S)) ** 2
        effort = effort + (LATE_COST * late if may_be_late else np.where(late > 0.0, np.inf, 0.0))
        costs: Floats = effort + self._places(figures)[:, None, :, None]
        return costs.reshape(2 * len(self.starts), -1)

    def _places(self, figures: Figures) -> Floats:
        """What the places cost and a change of side between them, shape (starts, ends)."""
        along = np.array([end.along_m for end in self.ends])
        far = np.array([end.far for end in self.ends])
        turned = abs(self.leg.right_deg - self.leg.left_deg) >= TURN_DEG
        outside = np.array([turned and end.side != self.leg.side for end in self.ends])
        costs = figures["cost-front-cross"] * self._front + figures["cost-rear-cross"] * (self._cross & ~self._front)
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
    def _front(self) -> Flags:
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
    def _leaves_with_the_dog(self) -> Flags:
        """Whether a way leaves its start the dog's way, shape (starts, ends)."""
        found: Flags = np.einsum("ijk,ik->ij", self._units, _headings(self.starts)) >= STEADY
        return found

    @cached_property
    def _comes_with_the_dog(self) -> Flags:
        """Whether a way comes to its end the dog's way, shape (starts, ends)."""
        found: Flags = np.einsum("ijk,jk->ij", self._units, _headings(self.ends)) >= STEADY
        return found


def _headings(places: Sequence[Place]) -> Floats:
    """The dog's way at each place as a unit vector, shape (places, 2)."""
    bearings = np.radians([place.bearing_deg for place in places])
    return np.stack((np.sin(bearings), np.cos(bearings)), axis=-1)

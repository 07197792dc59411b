"""How long a model handler takes from every place to every place of a leg, how late it is, and what that costs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coursecheck.walk.figures import Figures
from coursecheck.walk.handler_motion import least_time_s
from coursecheck.walk.handler_step import Step
from coursecheck.walk.straight_ways import Flags, Floats

__all__ = ["RUNS", "STANDS", "Paced"]

STANDS, RUNS = 0, 1
"""How a handler is at a place: the first index of arrays for the start of a way, the second one for its end."""

WALK_MPS = 1.5  # who goes on slower than this is as good as standing; assumption: a walk
LATE_COST = 100.0  # for each second: more than any plan costs that gets there in time
MOST_LATE_S = 100.0  # nobody is later than this, not even without any way
LEAST_S = 1e-6  # two passes on one spot leave no time at all
NOISE_S = 1e-9  # float noise of times


@dataclass(frozen=True, eq=False)
class Paced:
    """A step at the pace of one handler.

    Attributes:
        step: the places and the ways between them.
        top_mps: the handler's top speed.
        accelerate_mps2: how hard it speeds up and slows down.
        turn_round_s: how long it takes for a turn-round.
    """

    step: Step
    top_mps: float
    accelerate_mps2: float
    turn_round_s: float

    @classmethod
    def of(cls, step: Step, handler: str, figures: Figures) -> Paced:
        """A step at the pace of "slow", "middling" or "fast"."""
        return cls(
            step, figures[f"handler-{handler}"], figures["handler-acceleration"], figures["handler-turn-round"]
        )

    @cached_property
    def late_s(self) -> Floats:
        """How much too late the handler is, shape (2, 2, starts, ends): 0 where it is in time.

        It is infinite where the handler cannot be running there. Who comes to its start running and cannot go on so
        stops there and goes from a stand to a stand.
        """
        running, half, standing = (self._late_s(least) for least in self._least_s)
        late = np.empty((2, 2, *standing.shape))
        late[STANDS, STANDS] = standing
        late[RUNS, STANDS] = np.where(self._goes_off, np.minimum(half, standing), standing)
        late[STANDS, RUNS] = np.where(self._comes_in, half, np.inf)
        late[RUNS, RUNS] = np.where(self._goes_on, running, np.inf)
        return late

    def costs(self, places: Floats, *, may_be_late: bool) -> Floats:
        """What it costs to get from each place to each place, in points: the square of the share of time it takes.

        Args:
            places: what the places cost themselves, shape (starts, ends).
            may_be_late: whether the handler may be too late, at a high cost.

        Returns:
            Shape (2, 2, starts, ends); infinite where it cannot be done.
        """
        time = self.step.time_s
        running, half, standing = ((np.minimum(least, time) / max(time, LEAST_S)) ** 2 for least in self._least_s)
        costs = np.empty((2, 2, *standing.shape))
        costs[STANDS, STANDS], costs[:, RUNS], costs[RUNS, RUNS] = standing, half, running
        costs[RUNS, STANDS] = np.where(self._goes_off, half, (time / max(time, LEAST_S)) ** 2)
        costs += LATE_COST * self.late_s if may_be_late else np.where(self.late_s > 0.0, np.inf, 0.0)
        costs += places
        return costs

    def _late_s(self, least_s: Floats) -> Floats:
        late = np.clip(least_s - self.step.time_s, 0.0, MOST_LATE_S)
        late[late <= NOISE_S] = 0.0
        return late

    @cached_property
    def _least_s(self) -> list[Floats]:
        """The least times with a turn-round, by at how many ends of a way the handler stands."""
        turning = self.turn_round_s * self.step.front
        return [least + turning for least in self._ways_s]

    @cached_property
    def _ways_s(self) -> list[Floats]:
        """The same without."""
        return [least_time_s(self.step.ways, rests, self.top_mps, self.accelerate_mps2) for rests in range(3)]

    @cached_property
    def _gets_to_a_walk(self) -> Flags:
        """Whether a handler that stands at one end of a way gets faster than a walk on it."""
        found: Flags = self.step.ways >= WALK_MPS**2 / (2 * self.accelerate_mps2)
        return found

    @cached_property
    def _goes_off(self) -> Flags:
        """Whether it can begin running and stop at the end."""
        found: Flags = self.step.leaves_with_the_dog & self._gets_to_a_walk
        return found

    @cached_property
    def _comes_in(self) -> Flags:
        """Whether it can begin standing and end running."""
        found: Flags = self.step.comes_with_the_dog & self._gets_to_a_walk
        return found

    @cached_property
    def _goes_on(self) -> Flags:
        """Whether it can run at both: not slower than a walk, or with the time to stop and to start again."""
        moves = (self.step.ways >= WALK_MPS * self.step.time_s) | (self._ways_s[2] <= self.step.time_s)
        found: Flags = self.step.leaves_with_the_dog & self.step.comes_with_the_dog & moves
        return found

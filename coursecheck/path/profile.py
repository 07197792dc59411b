"""Speed and time along a line, at places in even steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Segment

__all__ = ["Part", "Profile"]

Floats = NDArray[np.float64]

STANDING_M = 5.0  # so far a dog is still getting under way; common practice, no source


class Part(NamedTuple):
    """A stretch of the line cut into equal steps.

    Attributes:
        piece: where it lies.
        steps: how many.
        step_m: how long each.
        curvature: that is felt, without its sign, in 1/m.
        cap: the highest square of the speed.
        grounded: whether the dog's feet are on the ground.
        stop_s: a pause at the end of the last step.
    """

    piece: Segment
    steps: int
    step_m: float
    curvature: float
    cap: float
    grounded: bool
    stop_s: float


@dataclass(frozen=True, eq=False)
class Profile:
    """Speed and time along a line, at the ends of the steps of its parts.

    Attributes:
        figures: distance in metres, speed in metres a second and time in seconds, from the start on, in order; shape
            (3, n).
        parts: the line cut into steps.
    """

    figures: Floats
    parts: tuple[Part, ...]

    @cached_property
    def distance_m(self) -> tuple[float, ...]:
        """How far along the line each place is."""
        return tuple(self.figures[0].tolist())

    @cached_property
    def speed_mps(self) -> tuple[float, ...]:
        """How fast the dog is there."""
        return tuple(self.figures[1].tolist())

    def point(self, index: int) -> Point:
        """Where a place is; indices from 0 on."""
        left = index
        for part in self.parts:
            if left < part.steps:
                return part.piece.at(left * part.step_m).point
            left -= part.steps
        return self.parts[-1].piece.end.point

    @property
    def total_s(self) -> float:
        """From the first place to the last."""
        return float(self.figures[2, -1]) if self.parts else 0.0

    def extremes(self) -> tuple[int, int]:
        """The indices of the fastest and, the first metres of the start left out, the slowest place."""
        distances, speeds, _ = self.figures
        running = int(distances.searchsorted(STANDING_M, side="right"))
        start = running if running < len(speeds) else 0
        return int(speeds.argmax()), start + int(speeds[start:].argmin())

    def time_at(self, distance_m: float) -> float:
        """The time when the dog is that far, in seconds; linear between the places."""
        return self.times_at([distance_m])[0]

    def times_at(self, distances_m: Sequence[float]) -> list[float]:
        """The times when the dog is that far, in seconds; see `time_at`."""
        distances, _, times = self.figures
        after = np.clip(distances.searchsorted(distances_m), 1, len(distances) - 1)
        d0, d1, t0, t1 = distances[after - 1], distances[after], times[after - 1], times[after]
        within = d1 > d0
        share = np.where(within, (distances_m - d0) / np.where(within, d1 - d0, 1.0), 1.0)
        seconds: list[float] = (t0 + share * (t1 - t0)).tolist()
        return seconds

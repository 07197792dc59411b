"""Speed and time along a line, at places in even steps."""

from __future__ import annotations

import bisect
from dataclasses import dataclass
from typing import NamedTuple

from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Segment

__all__ = ["Profile", "Row"]

STANDING_M = 5.0  # so far a dog is still getting under way; common practice, no source


class Row(NamedTuple):
    """Places on one piece: the index of the first one, how far along the piece it lies, and from one to the next."""

    first: int
    piece: Segment
    along_m: float
    step_m: float


@dataclass(frozen=True, slots=True)
class Profile:
    """Speed and time along a line.

    Attributes:
        distance_m, speed_mps, time_s: at the same places, from the start on, in order.
        rows: where they lie: rows of evenly spaced places on the pieces of the line.
    """

    distance_m: tuple[float, ...]
    speed_mps: tuple[float, ...]
    time_s: tuple[float, ...]
    rows: tuple[Row, ...]

    def point(self, index: int) -> Point:
        """Where a place is; indices from 0 on."""
        row = self.rows[bisect.bisect_right(self.rows, index, key=lambda row: row.first) - 1]
        return row.piece.at(row.along_m + (index - row.first) * row.step_m).point

    @property
    def total_s(self) -> float:
        """From the first place to the last."""
        return self.time_s[-1] if self.time_s else 0.0

    def extremes(self) -> tuple[int, int]:
        """The indices of the fastest and, the first metres of the start left out, the slowest place."""
        speeds = self.speed_mps
        running = bisect.bisect_right(self.distance_m, STANDING_M)
        start = running if running < len(speeds) else 0
        return speeds.index(max(speeds)), speeds.index(min(speeds[start:]), start)

    def time_at(self, distance_m: float) -> float:
        """The time when the dog is that far, in seconds; linear between the places."""
        i = min(max(1, bisect.bisect_left(self.distance_m, distance_m)), len(self.distance_m) - 1)
        d0, d1 = self.distance_m[i - 1], self.distance_m[i]
        share = (distance_m - d0) / (d1 - d0) if d1 > d0 else 1.0
        return self.time_s[i - 1] + share * (self.time_s[i] - self.time_s[i - 1])

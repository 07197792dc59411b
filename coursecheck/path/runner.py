"""Who runs: the figures of a height class that shape its line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Runner"]


@dataclass(frozen=True, slots=True)
class Runner:
    """A runner profile.

    Attributes:
        turn_radius_m: the tightest turn on the line.
        takeoff_m: straight flight before the (front) bar.
        landing_m: straight flight beyond the (rear) bar.
        crossing: where the bar may be crossed, as a band of the half bar width: 0 the middle, 1 the inside upright.
        clearance_m: how far the line stays from everything solid and from the ring's edge.
        tunnel_line: whether a tunnel is run along its centre or its outside.
    """

    turn_radius_m: float
    takeoff_m: float
    landing_m: float
    crossing: tuple[float, float] = (0.0, 0.6)
    clearance_m: float = 0.25
    tunnel_line: Literal["centre", "outside"] = "centre"

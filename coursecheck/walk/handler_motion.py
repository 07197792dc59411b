"""How long a handler takes for a way: who stands at an end of it loses the time to get to speed or to stop.

From rest to rest over the way d, with the top speed v and the acceleration a, the least time is d / v + v / a, or
2 sqrt(d / a) where the way is too short to get to top speed. With one end at rest it is half of that loss.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["keeps_going", "least_time_s"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

WALK_MPS = 1.5  # who goes on slower than this is as good as standing; assumption: a walk


def least_time_s(way_m: Floats, rests: int, top_mps: float, accelerate_mps2: float) -> Floats:
    """The least time for a way, in seconds.

    Args:
        way_m: its length, infinite where there is none.
        rests: at how many of its two ends the handler stands; at the others it runs at top speed.
        top_mps: the top speed.
        accelerate_mps2: how hard the handler speeds up and slows down.

    Returns:
        Of the shape of `way_m`.
    """
    to_speed_m = rests * top_mps**2 / (2 * accelerate_mps2)
    whole = way_m / top_mps + rests * top_mps / (2 * accelerate_mps2)
    return np.where(way_m >= to_speed_m, whole, np.sqrt(2 * rests * np.minimum(way_m, to_speed_m) / accelerate_mps2))


def keeps_going(way_m: Floats, rests: int, time_s: float, top_mps: float, accelerate_mps2: float) -> Flags:
    """Whether a handler is on the move at those ends of a way that it does not stand at.

    It must get faster than a walk on it, or have been; from move to move it must not be slower than a walk, or have
    the time to stop and to start again.

    Args:
        way_m: its length.
        rests: at how many of its two ends the handler stands.
        time_s: the time there is for it.
        top_mps: the top speed.
        accelerate_mps2: how hard the handler speeds up and slows down.

    Returns:
        Of the shape of `way_m`.
    """
    if rests == 2:
        return np.ones(way_m.shape, dtype=bool)
    if rests == 1:
        return way_m >= WALK_MPS**2 / (2 * accelerate_mps2)
    walks = way_m >= WALK_MPS * time_s
    return walks | (least_time_s(way_m, 2, top_mps, accelerate_mps2) <= time_s)

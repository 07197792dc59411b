"""How long a handler takes for a way: who stands at an end of it loses the time to get to speed or to stop.

From rest to rest over the way d, with the top speed v and the acceleration a, the least time is d / v + v / a, or
2 sqrt(d / a) where the way is too short to get to top speed. With one end at rest it is half of that loss.
"""

from __future__ import annotations

import numpy as np

from coursecheck.walk.straight_ways import Floats

__all__ = ["least_time_s"]


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
    if rests == 0:
        return way_m / top_mps
    to_speed_m = rests * top_mps**2 / (2 * accelerate_mps2)
    whole = way_m / top_mps + rests * top_mps / (2 * accelerate_mps2)
    return np.where(way_m >= to_speed_m, whole, np.sqrt(2 * rests * np.minimum(way_m, to_speed_m) / accelerate_mps2))

"""A leg so short that its two arcs follow each other: two circles that may come no closer than touching.

A curve that turns one way and then the other exists only while its circles do not overlap; where they do, what is
shortest then is a whole loop longer. So the best line of a short leg often lies right where they touch, and with two
such pairs at once it is a single arc. There it is found by Newton's method with that as a condition.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from coursecheck.path.curves import LEAST_M, Tension
from coursecheck.path.grip import End
from coursecheck.path.words import TURN

__all__ = ["GAP_M", "Contact", "Touching", "touching"]

GAP_M = 1e-10  # left between circles that touch, so that float noise does not make them overlap


class Contact(NamedTuple):
    """A leg whose first circle, turning to `side`, 1 or -1, and last circle, turning the other way, touch."""

    leg: int
    side: float


class Touching(NamedTuple):
    """Two such circles, and the curve from the one into the other as if they touched.

    Attributes:
        side: which way the first one turns.
        radius_m: of both.
        gap_m: between them; less than 0 where they overlap.
        x, y: the direction from the centre of the first to that of the last.
        length_m: of both arcs, one that would run backwards taken off.
    """

    side: float
    radius_m: float
    gap_m: float
    x: float
    y: float
    length_m: float

    @property
    def apart_m(self) -> float:
        """From centre to centre."""
        return self.gap_m + 2 * self.radius_m

    def tension(self) -> Tension:
        """How the curve's length changes; its second derivatives count only where the gap changes, so never."""
        pull = 2 * self.radius_m / self.apart_m * self.side
        x, y = -pull * self.y, pull * self.x
        return Tension(self.side, -self.side, x, y, x, y, ())


def touching(start: End, end: End, side: float, radius_m: float) -> Touching:
    """The two circles of a leg between two ends; where they are one and the same, they lie in no direction."""
    (from_x, from_y, first), (to_x, to_y, last) = start.place, end.place
    reach = side * radius_m
    x = to_x + reach * end.sin - (from_x - reach * start.sin)
    y = to_y - reach * end.cos - (from_y + reach * start.cos)
    apart_m = max(math.hypot(x, y), LEAST_M)
    bearing = math.atan2(side * x, -side * y)
    turned = math.remainder(side * (bearing - first), TURN) + math.remainder(side * (bearing - last), TURN)
    return Touching(side, radius_m, apart_m - 2 * radius_m, x / apart_m, y / apart_m, radius_m * turned)

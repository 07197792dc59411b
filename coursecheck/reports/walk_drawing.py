"""Shapes that every drawing of a walk has: where a dog looks."""

from __future__ import annotations

import math

from coursecheck.geometry.frames import Point, bearing_deg
from coursecheck.walk.legs import Leg

__all__ = ["view_cone"]

CONE_M = 5.0  # how far the view cone is drawn
CONE_STEPS = 8


def view_cone(leg: Leg, view_deg: float) -> list[Point]:
    """The corners of the view cone from where the dog lands or comes out.

    Args:
        leg: the leg that begins there.
        view_deg: how far to either side of its way the dog looks.
    """
    middle = math.radians(bearing_deg(leg.carry.heading))
    half = math.radians(min(view_deg, 179.0))
    turns = [middle - half + 2 * half * i / CONE_STEPS for i in range(CONE_STEPS + 1)]
    x, y = leg.carry.point
    return [(x, y), *((x + CONE_M * math.sin(turn), y + CONE_M * math.cos(turn)) for turn in turns)]

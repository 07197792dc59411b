"""Corners to go round: the true ones, wherever the plan lies."""

import math

import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon, box

from coursecheck.path.parts import bays, outer_corners

# Two wings of a jump on one line: their inner corners lie on straights between the outer ones.
WINGS = [box(-1.1, 0.0, -0.6, 0.1), box(0.6, 0.0, 1.1, 0.1)]
# A ring with a bay, and a point more on a straight before it.
RING = Polygon([(0, 0), (10, 0), (20, 0), (20, 20), (12, 20), (12, 15), (8, 15), (8, 20), (0, 20)])
TURNS = [0.0, 2.1, 7.0, 37.3, 90.0, 143.01301, 213.7]


def moved(shape, turn_deg):
    return translate(rotate(shape, turn_deg, origin=(0, 0)), 17.3, -4.7)


def back(corners, turn_deg):
    turn = math.radians(turn_deg)
    moved_back = [(x - 17.3, y + 4.7) for x, y, _ in corners]
    return sorted(
        (
            round(x * math.cos(turn) + y * math.sin(turn), 6) + 0.0,
            round(y * math.cos(turn) - x * math.sin(turn), 6) + 0.0,
        )
        for x, y in moved_back
    )


@pytest.mark.parametrize("turn_deg", TURNS)
def test_points_on_a_straight_are_no_corners_wherever_the_plan_lies(turn_deg):
    corners = outer_corners([moved(wing, turn_deg) for wing in WINGS])
    assert back(corners, turn_deg) == [(-1.1, 0.0), (-1.1, 0.1), (1.1, 0.0), (1.1, 0.1)]


@pytest.mark.parametrize("turn_deg", TURNS)
def test_the_bays_of_a_ring_are_the_same_wherever_the_plan_lies(turn_deg):
    assert back(bays(moved(RING, turn_deg)), turn_deg) == [(8.0, 15.0), (12.0, 15.0)]

"""Where to lay the tapes: the base line and its two corners, and what is read along, off and from each corner."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from coursecheck.geometry.frames import Frame, Point, bearing_deg

__all__ = ["GOOD_DEG", "Baseline", "choose_baseline", "rounded"]

GOOD_DEG = (30.0, 150.0)
"""Where two tapes cross by less than 30 degrees or by more than 150, a small error of length moves the point by more
than twice as much; common practice of taping, no source."""

MOST_CORNERS = 48  # of a ring with a round outline, so many corners are looked at


@dataclass(frozen=True, slots=True)
class Baseline:
    """A straight line between two corners of the ring, to measure from.

    Attributes:
        start, end: the corners P and Q; the tape along the line begins at P.
    """

    start: Point
    end: Point

    @property
    def length_m(self) -> float:
        """From P to Q."""
        return math.dist(self.start, self.end)

    @property
    def frame(self) -> Frame:
        """The local frame: along the line from P."""
        (ax, ay), (bx, by) = self.start, self.end
        return Frame(self.start, bearing_deg(math.atan2(by - ay, bx - ax)))

    def locate(self, point: Point) -> Point:
        """How far along the line and how far off it, to the left as seen from P, a point lies; metres."""
        along, right = self.frame.locate(point)
        return along, -right + 0.0

    def place(self, along_m: float, off_m: float) -> Point:
        """The point of the ring that lies so far along and off."""
        return self.frame.place(along_m, -off_m)

    def tapes(self, point: Point) -> tuple[float, float]:
        """The tapes from P and from Q to a point, in metres."""
        return math.dist(self.start, point), math.dist(self.end, point)

    def cross_deg(self, point: Point) -> float:
        """The angle by which the two tapes cross at a point; 0 where it is a corner itself."""
        (ax, ay), (bx, by), (x, y) = self.start, self.end, point
        turn = math.atan2((ax - x) * (by - y) - (ay - y) * (bx - x), (ax - x) * (bx - x) + (ay - y) * (by - y))
        return abs(math.degrees(turn))


def choose_baseline(outline: Sequence[Point], points: Sequence[Point]) -> Baseline:
    """Chooses the two corners of the ring from which the points are found best.

    Every pair of outer corners is looked at. The best has the fewest poor points: those where the tapes cross by an
    angle outside GOOD_DEG, and those beyond the line, which two tapes cannot tell from their mirror image.
    Of several, the one whose longest tape is shortest; then the first in the order of the outline.

    Args:
        outline: the corners of the ring, counter-clockwise.
        points: what is to be set out.
    """
    corners = _outer(outline)
    marks = np.array(points if points else [shapely.Polygon(outline).centroid.coords[0]])
    reach = np.hypot(*(corners[:, None, :] - marks[None, :, :]).transpose(2, 0, 1))
    best = min(
        (_rank(i, j, corners, marks, reach) for i in range(len(corners)) for j in range(len(corners)) if i != j),
        key=lambda rank: rank[:4],
    )
    start, end = ((float(x), float(y)) for x, y in (corners[best[2]], corners[best[3]]))
    return Baseline(start, end)


def _outer(outline: Sequence[Point]) -> np.ndarray:
    """The corners of the ring that its hull has too, in the order of the outline."""
    hull = shapely.MultiPoint(list(outline)).convex_hull
    kept = [corner for corner in outline if hull.boundary.distance(shapely.Point(corner)) < 1e-9]
    step = math.ceil(len(kept) / MOST_CORNERS)
    return np.array(kept[::step])


def _rank(i: int, j: int, corners: np.ndarray, marks: np.ndarray, reach: np.ndarray) -> tuple[int, float, int, int]:
    """How many points are poor, and the longest tape to a millimetre; with the corners, to settle ties."""
    a, b = corners[i] - marks, corners[j] - marks
    cross, dot = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(axis=1)
    angle = np.degrees(np.arctan2(np.abs(cross), dot))
    # Seen from a point to the left of the line, Q lies counter-clockwise of P.
    poor = (cross <= 0) | (angle < GOOD_DEG[0]) | (angle > GOOD_DEG[1])
    return int(poor.sum()), round(float(max(reach[i].max(), reach[j].max())), 3), i, j


def rounded(value_m: float, step_m: float) -> float:
    """A length to the nearest multiple of a step, half a step upwards; without the sign of a zero."""
    # To a nanometre first: 0.125 m that comes as 0.12499999999 is half a step, and rounds like it.
    return round(math.floor(round(value_m / step_m, 9) + 0.5) * step_m, 9) + 0.0

"""Which straight ways across the ground are free, for many places at once.

A way misses a box where both its ends are beyond the same side of it, or the box lies to one side of the way: these
are the separating axes of a line and a parallelogram. Things that are no boxes have one round them. What is within
NOISE of either answer, and what meets no more than the box round a thing, geometry is asked for exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon

__all__ = ["Flags", "Floats", "Obstructions"]

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

NOISE = 1e-9  # in halves of a box: far above float noise, far below anything that is drawn
ROUNDING = 16.0 * float(np.finfo(np.float32).eps)  # of a sum of six products, as a share of the greatest there can be


@dataclass(frozen=True, eq=False)
class Obstructions:
    """Things that stand in the way; `things` is their ground."""

    things: MultiPolygon

    def free(self, starts: Floats, ends: Floats) -> Flags:
        """Which straight ways touch nothing.

        Args:
            starts: points in metres, shape (n, 2).
            ends: points, shape (m, 2).

        Returns:
            Shape (n, m).
        """
        near = self._boxes.between(starts, ends)
        if not near.size:
            return np.ones((len(starts), len(ends)), dtype=bool)
        free, blocked = self._boxes.met(near, starts, ends)
        rows, columns = np.nonzero(~(free | blocked))
        lines = shapely.linestrings(np.stack((starts[rows], ends[columns]), axis=1))
        shapely.prepare(self.things)
        free[rows, columns] = ~shapely.intersects(self.things, lines)
        return free

    @cached_property
    def _boxes(self) -> _Boxes:
        return _boxes_of([part for part in shapely.get_parts(self.things) if isinstance(part, Polygon)])


@dataclass(frozen=True, eq=False)
class _Boxes:
    """Parallelograms.

    Attributes:
        low, high: the least and the greatest coordinates of each, shape (p, 2).
        middles: their middles, shape (p, 2).
        frames: take metres from the middle to halves of the box: it reaches from -1 to 1, shape (p, 2, 2).
        filled: whether a box is the thing itself, or lies round it, shape (p,).
    """

    low: Floats
    high: Floats
    middles: Floats
    frames: Floats
    filled: Flags

    def between(self, starts: Floats, ends: Floats) -> NDArray[np.intp]:
        """The indices of those that a straight way from a start to an end can meet, and of some more."""
        points = np.concatenate((starts, ends))
        low, high = points.min(axis=0) - NOISE, points.max(axis=0) + NOISE
        return np.flatnonzero(((self.high >= low) & (self.low <= high)).all(axis=1))

    def met(self, some: NDArray[np.intp], starts: Floats, ends: Floats) -> tuple[Flags, Flags]:
        """Which ways certainly miss all of some boxes, and which certainly meet one, each of shape (n, m)."""
        start, end = self._located(some, starts)[..., None], self._located(some, ends)[:, :, None]
        aside, noise = _aside(start, end)
        apart = (_beyond(start, 1.0 + NOISE) & _beyond(end, 1.0 + NOISE)) != 0
        apart |= aside > noise
        meets = (_beyond(start, 1.0 - NOISE) & _beyond(end, 1.0 - NOISE)) == 0
        meets &= aside < -noise
        return apart.all(axis=0), meets[self.filled[some]].any(axis=0)

    def _located(self, some: NDArray[np.intp], points: Floats) -> Floats:
        """Points in the frames of some boxes, shape (2, p, points)."""
        found: Floats = np.einsum("pij,pkj->ipk", self.frames[some], points[None] - self.middles[some, None])
        return found


def _beyond(points: Floats, far: float) -> NDArray[np.uint8]:
    """The sides of a box that points are beyond, a bit for each."""
    sides: NDArray[np.uint8] = np.packbits(np.concatenate((points > far, points < -far)), axis=0)[0]
    return sides


def _aside(start: Floats, end: Floats) -> tuple[NDArray[np.float32], float]:
    """How far boxes are to one side of ways, times the lengths of these, and how far that may be wrong.

    It is below 0 where a box is on both sides of the way. Half the digits do, and take half the time.
    """
    (x, y), (x_too, y_too) = start.astype(np.float32), end.astype(np.float32)
    aside = np.abs(x * y_too - y * x_too)
    aside -= np.abs(x_too - x)
    aside -= np.abs(y_too - y)
    far = 1.0 + max(np.abs(start).max(initial=0.0), np.abs(end).max(initial=0.0))
    return aside, float(ROUNDING * far**2)


def _boxes_of(things: Sequence[Polygon]) -> _Boxes:
    filled = [_is_box(thing) for thing in things]
    boxes = [thing if full else shapely.oriented_envelope(thing) for thing, full in zip(things, filled, strict=True)]
    corners = np.array([shapely.get_coordinates(box)[:4] for box in boxes], dtype=float).reshape(-1, 4, 2)
    halves = np.stack((corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 1]), axis=-1) / 2
    frames = np.asarray(np.linalg.inv(halves), dtype=np.float64)
    middles = (corners[:, 0] + corners[:, 2]) / 2
    return _Boxes(corners.min(axis=1), corners.max(axis=1), middles, frames, np.array(filled, dtype=bool))


def _is_box(thing: Polygon) -> bool:
    """Whether a polygon is a parallelogram."""
    corners = shapely.get_coordinates(thing)
    return len(corners) == 5 and bool(np.abs(corners[0] + corners[2] - corners[1] - corners[3]).max() < NOISE / 100)

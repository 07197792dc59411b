"""Exact distances from straights and circular arcs to edges, and points along curves, for whole arrays at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.words import Floats

__all__ = ["Stretches", "begins", "cross", "distances", "sample_many"]

STEPS = 8  # chords for each arc in the quick search for what is near


@dataclass(frozen=True, slots=True)
class Stretches:
    """Straights and arcs.

    Attributes:
        poses: where each begins, shape (n, 3).
        lengths_m: shape (n,).
        curvatures: 1/m, positive to the left, 0 for a straight.
    """

    poses: Floats
    lengths_m: Floats
    curvatures: Floats

    def part(self, index: NDArray[np.intp] | NDArray[np.bool_]) -> Stretches:
        """Some of them."""
        return Stretches(self.poses[index], self.lengths_m[index], self.curvatures[index])

    def beyond(self, begin_m: Floats, end_m: Floats) -> Stretches:
        """What is left of each between two distances from its start."""
        places = _along(self.poses, begin_m[:, None], self.curvatures)[:, 0]
        headings = self.poses[:, 2] + self.curvatures * begin_m
        return Stretches(np.column_stack((places, headings)), end_m - begin_m, self.curvatures)

    @property
    def ends(self) -> Floats:
        """Where each ends, shape (n, 2)."""
        return _along(self.poses, self.lengths_m[:, None], self.curvatures)[:, 0]

    def boxes(self, margin_m: Floats) -> Floats:
        """Boxes that hold each with a margin: least x and y, greatest x and y, shape (n, 4)."""
        run = self.lengths_m[:, None] * np.arange(STEPS + 1) / STEPS
        points = _along(self.poses, run, self.curvatures)
        margin = (margin_m + _strays(self.lengths_m, self.curvatures))[:, None]
        return np.hstack((points.min(axis=1) - margin, points.max(axis=1) + margin))


def begins(starts: Floats, lengths_m: Floats, curvatures: Floats) -> Floats:
    """The poses (n, pieces, 3) where the pieces (n, pieces) of many curves begin."""
    turns = lengths_m * curvatures
    headings = starts[:, 2:] + np.cumsum(turns, axis=1) - turns
    chords = lengths_m * np.sinc(turns / (2 * np.pi))
    poses = np.empty((*turns.shape, 3))
    for axis, share in ((0, np.cos(headings + turns / 2)), (1, np.sin(headings + turns / 2))):
        steps = chords * share
        poses[..., axis] = starts[:, axis, None] + np.cumsum(steps, axis=1) - steps
    poses[..., 2] = headings
    return poses


def sample_many(
    starts: Floats, lengths_m: Floats, curvatures: Floats, zone_m: float
) -> tuple[Floats, NDArray[np.bool_], Floats]:
    """Points (n, m, 2) along many curves without both end zones, which of them count, and how far chords stray."""
    share = np.arange(STEPS + 1) / STEPS
    reached = np.cumsum(lengths_m, axis=1)
    low = np.maximum(zone_m - (reached - lengths_m), 0.0)
    high = np.minimum(reached[:, -1:] - zone_m - (reached - lengths_m), lengths_m)
    run = low[..., None] + (high - low)[..., None] * share
    poses = begins(starts, lengths_m, curvatures).reshape(-1, 3)
    points = _along(poses, run.reshape(-1, STEPS + 1), curvatures.ravel())
    counted = np.repeat(low < high, STEPS + 1, axis=1)
    return points.reshape(*counted.shape, 2), counted, _strays(lengths_m, curvatures).max(axis=1)


def _strays(lengths_m: Floats, curvatures: Floats) -> Floats:
    """How far arcs stray from STEPS chords."""
    half = np.minimum(np.abs(lengths_m * curvatures) / STEPS / 2, np.pi)
    return np.asarray((1 - np.cos(half)) / np.maximum(np.abs(curvatures), 1e-12))


def _along(poses: Floats, run: Floats, curvature: Floats) -> Floats:
    """Points (n, m, 2) at distances (n, m) along pieces of constant curvature (n,) from n poses."""
    half = curvature[:, None] * run / 2
    chord = run * np.sinc(half / np.pi)
    turned = poses[:, 2:] + half
    return np.stack((poses[:, :1] + chord * np.cos(turned), poses[:, 1:2] + chord * np.sin(turned)), axis=-1)


def distances(pieces: Stretches, starts: Floats, ends: Floats) -> Floats:
    """Exact distances in metres from n straights or arcs to n edges, each to its own; 0 where they meet.

    Args:
        pieces: the straights and arcs.
        starts: one end of each edge, shape (n, 2).
        ends: the other end.
    """
    first, last = pieces.poses[:, :2], pieces.ends
    least = np.minimum(_to_edges(first, starts, ends), _to_edges(last, starts, ends))
    bent = pieces.curvatures != 0.0
    if not bent.all():
        at = ~bent
        least[at] = _from_straights(least[at], first[at], last[at], starts[at], ends[at])
    if bent.any():
        least[bent] = _from_arcs(least[bent], pieces.part(bent), starts[bent], ends[bent])
    return least


def _to_edges(point: Floats, starts: Floats, ends: Floats) -> Floats:
    """From points to edges, each to its own."""
    along = ends - starts
    square = np.maximum((along * along).sum(axis=-1), 1e-300)
    share = np.clip(((point - starts) * along).sum(axis=-1) / square, 0.0, 1.0)
    offset = starts + share[..., None] * along - point
    return np.asarray(np.sqrt((offset * offset).sum(axis=-1)))


def cross(a: Floats, b: Floats) -> Floats:
    """The cross products of vectors (..., 2)."""
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])


def _from_straights(least: Floats, first: Floats, last: Floats, starts: Floats, ends: Floats) -> Floats:
    least = np.minimum(least, np.minimum(_to_edges(starts, first, last), _to_edges(ends, first, last)))
    way = last - first
    apart = cross(way, starts - first) * cross(way, ends - first) < 0.0
    edge = ends - starts
    across = cross(edge, first - starts) * cross(edge, last - starts) < 0.0
    return np.asarray(np.where(apart & across, 0.0, least))


def _from_arcs(least: Floats, arcs: Stretches, starts: Floats, ends: Floats) -> Floats:
    heading = arcs.poses[:, 2]
    radius, side = 1 / np.abs(arcs.curvatures), np.sign(arcs.curvatures)
    normal = np.column_stack((-np.sin(heading), np.cos(heading)))
    centre = arcs.poses[:, :2] + normal / arcs.curvatures[:, None]
    first = heading - side * np.pi / 2
    span = arcs.lengths_m / radius

    def gap(points: Floats) -> Floats:
        """From points to the arc along the ray from its centre; infinite where the arc does not reach the ray."""
        x, y = (points - centre).T
        reached = np.mod(side * (np.arctan2(y, x) - first), 2 * np.pi) <= span
        return np.where(reached, np.abs(np.sqrt(x * x + y * y) - radius), np.inf)

    edge = ends - starts
    length = np.sqrt(np.maximum((edge * edge).sum(axis=-1), 1e-300))
    unit = edge / length[:, None]
    along = ((centre - starts) * unit).sum(axis=-1)
    foot = starts + along[:, None] * unit
    off = foot - centre
    apart = np.sqrt((off * off).sum(axis=-1))
    least = np.minimum(least, np.minimum(gap(starts), gap(ends)))
    least = np.where((along >= 0.0) & (along <= length), np.minimum(least, gap(foot)), least)
    half = np.sqrt(np.maximum(radius * radius - apart * apart, 0.0))
    for sign in (-1.0, 1.0):
        meets = (apart <= radius) & (along + sign * half >= 0.0) & (along + sign * half <= length)
        reached = np.isfinite(gap(foot + (sign * half)[:, None] * unit))
        least = np.where(meets & reached, 0.0, least)
    return np.asarray(least)

"""Exact distances from straights and circular arcs to edges, and points along many curves at once."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from coursecheck.geometry.segments import Segment
from coursecheck.path.words import Floats

__all__ = ["cross", "distances", "sample", "sample_many"]

STEPS = 8  # chords for each arc in the quick search for what is near


def sample(segments: Sequence[Segment]) -> tuple[list[tuple[float, float]], float]:
    """Points along a curve and how far, at most, the curve strays from their chords, in metres."""
    points, error_m = [segments[0].start.point], 0.0
    for segment in segments:
        steps = STEPS if segment.curvature else 1
        points += [segment.at(segment.length_m * i / steps).point for i in range(1, steps + 1)]
        if segment.curvature:
            half = min(math.pi, abs(segment.turn_rad) / steps / 2)
            error_m = max(error_m, (1 - math.cos(half)) / abs(segment.curvature))
    return points, error_m


def sample_many(
    starts: Floats, lengths_m: Floats, curvatures: Floats, zone_m: float
) -> tuple[Floats, NDArray[np.bool_], Floats]:
    """Points (n, m, 2) along many curves without both end zones, which of them count, and how far chords stray."""
    share = np.arange(STEPS + 1) / STEPS
    pose, begin = starts, np.zeros(len(starts))
    last = lengths_m.sum(axis=1) - zone_m
    points, counted = [], []
    for length, curvature in zip(lengths_m.T, curvatures.T, strict=True):
        low, high = np.maximum(zone_m - begin, 0.0), np.minimum(last - begin, length)
        run = low[:, None] + (high - low)[:, None] * share
        points.append(_along(pose, run, curvature))
        counted.append(np.repeat((low < high)[:, None], STEPS + 1, axis=1))
        end = _along(pose, length[:, None], curvature)[:, 0]
        pose, begin = np.column_stack((end, pose[:, 2] + curvature * length)), begin + length
    half = np.minimum(np.abs(lengths_m * curvatures) / STEPS / 2, np.pi)
    strays = (1 - np.cos(half)) / np.maximum(np.abs(curvatures), 1e-12)
    return np.concatenate(points, axis=1), np.concatenate(counted, axis=1), strays.max(axis=1)


def _along(poses: Floats, run: Floats, curvature: Floats) -> Floats:
    """Points (n, m, 2) at distances (n, m) along pieces of constant curvature (n,) from n poses."""
    half = curvature[:, None] * run / 2
    chord = run * np.sinc(half / np.pi)
    turned = poses[:, 2:] + half
    return np.stack((poses[:, :1] + chord * np.cos(turned), poses[:, 1:2] + chord * np.sin(turned)), axis=-1)


def distances(piece: Segment, starts: Floats, ends: Floats) -> Floats:
    """Exact distances in metres from a straight or an arc to each of n edges; 0 where they meet.

    Args:
        piece: the straight or arc.
        starts: one end of each edge, shape (n, 2).
        ends: the other end.
    """
    first, last = (np.array(pose.point) for pose in (piece.start, piece.end))
    least = np.minimum(_to_edges(first, starts, ends), _to_edges(last, starts, ends))
    if piece.curvature == 0.0:
        return _from_straight(least, first, last, starts, ends)
    return _from_arc(least, piece, starts, ends)


def _to_edges(point: Floats, starts: Floats, ends: Floats) -> Floats:
    """From one point to edges, or from points to one edge."""
    along = ends - starts
    square = np.maximum((along * along).sum(axis=-1), 1e-300)
    share = np.clip(((point - starts) * along).sum(axis=-1) / square, 0.0, 1.0)
    offset = starts + share[..., None] * along - point
    return np.asarray(np.sqrt((offset * offset).sum(axis=-1)))


def cross(a: Floats, b: Floats) -> Floats:
    """The cross products of vectors (..., 2)."""
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])


def _from_straight(least: Floats, first: Floats, last: Floats, starts: Floats, ends: Floats) -> Floats:
    least = np.minimum(least, np.minimum(_to_edges(starts, first, last), _to_edges(ends, first, last)))
    way = last - first
    apart = cross(way, starts - first) * cross(way, ends - first) < 0.0
    edge = ends - starts
    across = cross(edge, first - starts) * cross(edge, last - starts) < 0.0
    return np.asarray(np.where(apart & across, 0.0, least))


def _from_arc(least: Floats, piece: Segment, starts: Floats, ends: Floats) -> Floats:
    centre, radius = np.array(piece.centre), 1 / abs(piece.curvature)
    side = math.copysign(1.0, piece.curvature)
    first = piece.start.heading - side * math.pi / 2
    span = abs(piece.turn_rad)

    def gap(points: Floats) -> Floats:
        """From points to the arc along the ray from its centre; infinite where the arc does not reach the ray."""
        x, y = points[:, 0] - centre[0], points[:, 1] - centre[1]
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

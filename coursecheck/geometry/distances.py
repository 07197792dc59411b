"""Exact distances: between a piece of a line and a straight, out of the ring, along rays on the ground."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.frames import Point, heading_rad
from coursecheck.geometry.segments import Segment

__all__ = [
    "NOISE_M",
    "boxes_meet",
    "farthest_from",
    "nearest_ends",
    "nearest_on_piece",
    "piece_to_straight",
    "ray_to_straights",
]

NOISE_M = 1e-9  # float noise between two ways to work out the same distance

Pair = tuple[float, Point, Point]


def boxes_meet(ones: NDArray[np.float64], others: NDArray[np.float64], apart_m: float = 0.0) -> NDArray[np.bool_]:
    """Which boxes come so near to which others, shape (n, m).

    What is asked exactly of what lies within two boxes need be asked of those only: float noise counts as near.

    Args:
        ones: shape (n, 4): left, bottom, right, top. A box of nan, round nothing, meets none.
        others: shape (m, 4).
        apart_m: how far apart, in metres, along x and along y.
    """
    reach_m = apart_m + NOISE_M
    left, bottom, right, top = others.T
    near: NDArray[np.bool_] = ones[:, :1] - reach_m <= right
    near &= ones[:, 2:3] + reach_m >= left
    near &= ones[:, 1:2] - reach_m <= top
    near &= ones[:, 3:] + reach_m >= bottom
    return near


def nearest_ends(
    ones: Sequence[BaseGeometry] | NDArray[np.object_], others: BaseGeometry | Sequence[BaseGeometry]
) -> list[tuple[Point, Point]]:
    """Of each pair of geometries the two points, one on each, that are nearest to each other.

    Args:
        ones: none of them empty.
        others: as many, or one for all.
    """
    ends = shapely.get_coordinates(shapely.shortest_line(np.array(ones, dtype=object), others)).tolist()
    return [((ax, ay), (bx, by)) for (ax, ay), (bx, by) in zip(ends[::2], ends[1::2], strict=True)]


def farthest_from(ground: BaseGeometry, edges: Sequence[tuple[Point, Point]]) -> tuple[float, Point]:
    """How far from some ground edges lead, and where they are that far from it.

    Args:
        ground: a polygon, not a convex one either: between two of its sides an edge may be farther off than its ends.
        edges: straights outside it.
    """
    starts, ends = np.array(edges).swapaxes(0, 1)
    ways = ends - starts
    places = [starts, ends, starts + _evenly_near(ground, starts, ways)[..., None] * ways]
    candidates = np.concatenate([place.reshape(-1, 2) for place in places])
    far = shapely.distance(ground, np.asarray(shapely.points(candidates)))
    x, y = candidates[far.argmax()].tolist()
    return float(far.max()), (x, y)


def _evenly_near(ground: BaseGeometry, starts: NDArray[np.float64], ways: NDArray[np.float64]) -> NDArray[np.float64]:
    """The shares of each edge at which it is as far from a side or a corner of a ground as from another one.

    The square of how far off a corner or the line of a side is, is a parabola along an edge: they meet at two places.
    """
    corners = shapely.get_coordinates(ground)
    sides = np.diff(corners, axis=0)
    normals = np.stack([sides[:, 1], -sides[:, 0]]) / np.hypot(*sides.T)
    off = starts - corners[:-1, None]
    along, across = (ways @ normals).T, np.einsum("cs,sec->se", normals, off)
    square, off_along, off_square = (ways**2).sum(-1), (off * ways).sum(-1), (off**2).sum(-1)
    to_lines = (along**2, 2 * along * across, across**2)
    to_corners = (np.broadcast_to(square, off_square.shape), 2 * off_along, off_square)
    squares = np.concatenate([np.stack(to_lines), np.stack(to_corners)], axis=1)
    one, other = np.triu_indices(squares.shape[1], 1)
    a, b, c = squares[:, one] - squares[:, other]
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.sqrt(b**2 - 4 * a * c)
        shares = np.concatenate([2 * c / (-b + root), 2 * c / (-b - root)])
    return np.where((shares > 0.0) & (shares < 1.0), shares, 0.0)


def piece_to_straight(piece: Segment, a: Point, b: Point) -> Pair:
    """The least distance from a piece of a line to the straight from a to b.

    Returns:
        The distance in metres, 0 where they meet, and the two nearest points, on the piece and on the straight.
    """
    start, end = piece.start.point, piece.end.point
    on_piece = [start, end]
    if piece.curvature == 0.0:
        on_piece += _crossing(start, end, a, b)
        opposite = [(_nearest_on_straight(p, start, end), p) for p in (a, b)]
    else:
        on_piece += _facing_points(piece, a, b)
        opposite = [(_nearest_on_arc(piece, p, (start, end)), p) for p in (a, b)]
    pairs = [(p, _nearest_on_straight(p, a, b)) for p in on_piece] + opposite
    return min((math.dist(p, q), p, q) for p, q in pairs)


def nearest_on_piece(piece: Segment, point: Point) -> Point:
    """The point of a piece of a line that is nearest to a point."""
    ends = (piece.start.point, piece.end.point)
    return _nearest_on_straight(point, *ends) if piece.curvature == 0.0 else _nearest_on_arc(piece, point, ends)


def _nearest_on_arc(piece: Segment, point: Point, ends: tuple[Point, Point]) -> Point:
    cx, cy = piece.centre
    if point == (cx, cy):
        return ends[0]
    along = _arc_distance(piece, math.atan2(point[1] - cy, point[0] - cx))
    if along is not None:
        return piece.at(along).point
    return min(ends, key=lambda end: math.dist(end, point))


def ray_to_straights(start: Point, bearing_deg: float, straights: Sequence[tuple[Point, Point]]) -> float | None:
    """How far a ray runs from `start` until it meets the first of the straights; None where it meets none."""
    heading = heading_rad(bearing_deg)
    dx, dy = math.cos(heading), math.sin(heading)
    hits = []
    for (ax, ay), (bx, by) in straights:
        ex, ey = bx - ax, by - ay
        cross = dx * ey - dy * ex
        if abs(cross) < 1e-12 * math.hypot(ex, ey):
            continue
        px, py = ax - start[0], ay - start[1]
        along, share = (px * ey - py * ex) / cross, (px * dy - py * dx) / cross
        if along >= -1e-9 and -1e-9 <= share <= 1 + 1e-9:
            hits.append(max(0.0, along))
    return min(hits, default=None)


def _nearest_on_straight(p: Point, a: Point, b: Point) -> Point:
    ex, ey = b[0] - a[0], b[1] - a[1]
    square = ex * ex + ey * ey
    if square == 0.0:
        return a
    share = min(1.0, max(0.0, ((p[0] - a[0]) * ex + (p[1] - a[1]) * ey) / square))
    return (a[0] + share * ex, a[1] + share * ey)


def _arc_distance(piece: Segment, angle: float) -> float | None:
    """How far along an arc the direction `angle` from its centre lies; None where the arc does not reach it."""
    start = piece.start.heading - math.copysign(math.pi / 2, piece.curvature)
    turned = (angle - start) * math.copysign(1.0, piece.curvature) % (2 * math.pi)
    along = turned / abs(piece.curvature)
    return along if along <= piece.length_m else None


def _facing_points(piece: Segment, a: Point, b: Point) -> list[Point]:
    """Points inside an arc that may be nearest to the straight: where they meet, and where the arc faces it."""
    (cx, cy), radius = piece.centre, 1 / abs(piece.curvature)
    length = math.dist(a, b)
    if length == 0.0:
        return []
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    offset = (cx - a[0]) * uy - (cy - a[1]) * ux  # signed distance of the centre, to the right of a -> b
    foot = math.atan2(ux * math.copysign(1.0, offset), -uy * math.copysign(1.0, offset))
    angles = [foot]
    if abs(offset) <= radius:
        half = math.acos(min(1.0, abs(offset) / radius))
        angles = [foot - half, foot + half]
    reached = (_arc_distance(piece, angle) for angle in angles)
    return [piece.at(along).point for along in reached if along is not None]


def _crossing(start: Point, end: Point, a: Point, b: Point) -> list[Point]:
    """Where the straight from start to end meets that from a to b, if it does."""
    (px, py), (qx, qy) = start, end
    dx, dy, ex, ey = qx - px, qy - py, b[0] - a[0], b[1] - a[1]
    cross = dx * ey - dy * ex
    if cross == 0.0:
        return []
    share = ((a[0] - px) * ey - (a[1] - py) * ex) / cross
    other = ((a[0] - px) * dy - (a[1] - py) * dx) / cross
    if not (0.0 <= share <= 1.0 and 0.0 <= other <= 1.0):
        return []
    return [(px + share * dx, py + share * dy)]

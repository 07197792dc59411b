"""How long the last straight of a way can be, at a turn radius and without a loop.

A way is a curve of bounded curvature (see `coursecheck.path.words`) that turns, in all, by no more than half a
circle, or a quarter more than the headings ask for. What is worked out exactly is in turn radii, in a frame in which
the end lies at the origin, looks along x and asks for a turn to the left (else all is mirrored): the straight lies on
the negative x axis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from coursecheck.geometry.segments import Pose
from coursecheck.path.words import SIDES, Floats, solve

__all__ = ["straight_rooms_m"]

TURNS_BACK_RAD = 3 * math.pi / 4  # from here on ways of three arcs and the other way round are allowed, too
NOISE_RAD = 1e-9


def straight_rooms_m(ways: Sequence[tuple[Pose, Pose]], radius_m: float) -> list[float]:
    """How long the last straight can be on a way from each start to its end, in metres; 0 where there is no way."""
    turns = [math.remainder(end.heading - start.heading, 2 * math.pi) for start, end in ways]
    back = [i for i, turn in enumerate(turns) if abs(turn) >= TURNS_BACK_RAD - NOISE_RAD]
    found = dict(zip(back, _searched_m([ways[i] for i in back], radius_m), strict=True))
    return [
        found[i] if i in found else _worked_out_m(start, end, turn, radius_m)
        for i, ((start, end), turn) in enumerate(zip(ways, turns, strict=True))
    ]


def _worked_out_m(start: Pose, end: Pose, turn: float, radius_m: float) -> float:
    """The room where the headings differ by a turn of less than TURNS_BACK_RAD, of either sign.

    Then a way turns all the time to the left, or bends one way and back: LSL, LSR or RSL. Each of them leads into
    every shorter straight, too, or hands over to another one that does: the longest straight of any is the answer.
    """
    dx, dy = (start.x - end.x) / radius_m, (start.y - end.y) / radius_m
    cos, sin = math.cos(end.heading), math.sin(end.heading)
    x, y, left = dx * cos + dy * sin, dy * cos - dx * sin, abs(turn)
    if turn < 0.0:
        y = -y
    to_side, ahead = math.sin(left), math.cos(left)  # from the start to the centre of its left circle
    allowed = max(math.pi, left + math.pi / 2)
    rooms = (
        0.0,
        _same_side(x + to_side, y + ahead, left),
        _s_curve(x + to_side, y + ahead, 0.0, (allowed - left) / 2),
        _s_curve(x - to_side, ahead - y, left, (allowed + left) / 2),  # seen in a mirror: RSL is LSR there
    )
    return min(radius_m * max(rooms), math.dist(start.point, end.point))


def _same_side(x: float, y: float, left: float) -> float:
    """The longest straight after LSL from a first circle round (x, y).

    Its straight must point between both headings; at the most it points along the first one.
    """
    return -x - (y - 1.0) / math.tan(left) if left and y >= 1.0 else -math.inf


def _s_curve(x: float, y: float, least: float, most: float) -> float:
    """The longest straight after LSR from a first circle round (x, y).

    The straight between the arcs slants by `least` to `most` to the left of the last one. With the slant t and the
    length s of it, the centres lie s cos t + 2 sin t apart along x, and across it s sin t - 2 cos t. The room grows
    with t, by s / sin t, until no turn is left or the circles touch (s = 0).
    """
    across = -1.0 - y
    if across < -2.0:
        return -math.inf
    slant = min(most, math.acos(max(-1.0, -across / 2)))
    if slant < least:
        return -math.inf
    between = (across + 2 * math.cos(slant)) / math.sin(slant) if slant else 0.0
    return -x - between * math.cos(slant) - 2 * math.sin(slant)


def _searched_m(ways: Sequence[tuple[Pose, Pose]], radius_m: float) -> list[float]:
    """The same for ways back, to a few micrometres, by narrowing a row of lengths four times."""
    if not ways:
        return []
    start, end = np.array([[(pose.x, pose.y, pose.heading) for pose in way] for way in ways]).swapaxes(0, 1)
    needed = np.abs(np.remainder(end[:, 2] - start[:, 2] + np.pi, 2 * np.pi) - np.pi)
    allowed = (needed + np.pi / 2)[:, None]
    low, high = np.zeros(len(start)), np.hypot(*(end[:, :2] - start[:, :2]).T)
    share = np.linspace(0.0, 1.0, 33)
    found, rows = np.zeros(len(start)), np.arange(len(start))
    for _ in range(4):
        lengths = low[:, None] + (high - low)[:, None] * share
        last = _longest_fit(start[rows], end[rows], lengths, allowed[rows], radius_m)
        between = (last >= 0) & (last < len(share) - 1)  # where all fit or none does, nothing is left to find
        found[rows] = np.where(last >= 0, lengths[np.arange(len(rows)), np.maximum(last, 0)], 0.0)
        rows, lengths, last = rows[between], lengths[between], last[between]
        column = np.arange(len(rows))
        low, high = lengths[column, last], lengths[column, last + 1]
        if not len(rows):
            break
    listed: list[float] = found.tolist()
    return listed


def _longest_fit(start: Floats, end: Floats, lengths: Floats, allowed: Floats, radius_m: float) -> NDArray[np.int64]:
    """Of each row of lengths, the column of the longest one that some word allows; -1 where none does."""
    ends = np.empty((*lengths.shape, 3))
    ends[..., 0] = end[:, :1] - lengths * np.cos(end[:, 2:])
    ends[..., 1] = end[:, 1:2] - lengths * np.sin(end[:, 2:])
    ends[..., 2] = end[:, 2:]
    words = solve(np.broadcast_to(start[:, None, :], ends.shape), ends, radius_m)
    arcs = np.einsum("pw,pw...->w...", np.abs(SIDES.T), words.pieces)
    fits = np.any(np.isfinite(words.lengths_m) & (arcs <= allowed + NOISE_RAD), axis=0)
    last = lengths.shape[1] - 1 - np.argmax(fits[:, ::-1], axis=1)
    return np.where(fits.any(axis=1), last, -1)

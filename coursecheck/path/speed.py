"""How fast a dog runs along its line: a speed profile from its grip, its push and its brakes.

The dog's feet can push it sideways, forwards and backwards, and a push in one direction leaves less for the others:
with the sideways acceleration v^2/r and the acceleration a along the line, (v^2/r / lateral)^2 + (a / along)^2 <= 1
(the friction ellipse). On a piece of constant curvature that has a closed form: with u = v^2 it is u = 2 a s + c on a
straight, and u = lateral r sin(2 s / r * along / lateral + c) on an arc. Forwards from the start and backwards from
the finish, the lower of the two is the fastest profile that the limits allow. Nothing is pushed while in the air.
"""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Segment
from coursecheck.path.line import Line

__all__ = ["Pace", "Profile", "Stretch", "eased", "profile_of", "run_time_range_s", "speed_profile", "stretches_of"]

STEP_M = 0.1
STANDING_M = 5.0  # so far a dog is still getting under way; common practice, no source
START_RUN_M = 2.0  # a dog is set up this far before it takes off; common practice, no source
CUT_M = 0.1  # how far beside the line a dog may cut or swing out to make a slight bend wider; assumption: a hand


@dataclass(frozen=True, slots=True)
class Pace:
    """What limits the speed of a dog.

    Attributes:
        top_mps: on the flat, straight on.
        lateral_mps2: sideways acceleration that its grip allows.
        accelerate_mps2, brake_mps2: along the line.
        obstacle_mps: mean speed over an obstacle by kind, where the obstacle and not the ground sets it.
        pause_s: how long a dog waits on an obstacle, by kind.
        uncertainty: how far, as a share, the speed of another dog of the class may be off.
    """

    top_mps: float
    lateral_mps2: float
    accelerate_mps2: float
    brake_mps2: float
    obstacle_mps: Mapping[str, float] = field(default_factory=dict)
    pause_s: Mapping[str, float] = field(default_factory=dict)
    uncertainty: float = 0.15


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of the line with what it allows: the most speed there, and whether the dog's feet are on the ground.

    `stop_s` is a pause at its end (a table). `ease` is the share of its curvature that the dog feels: see `eased`.
    """

    piece: Segment
    cap_mps: float = math.inf
    grounded: bool = True
    stop_s: float = 0.0
    ease: float = 1.0

    @property
    def curvature(self) -> float:
        """The curvature that the dog feels, without its sign, in 1/m."""
        return abs(self.piece.curvature) * self.ease


class Row(NamedTuple):
    """Places on one piece: the index of the first one, how far along the piece it lies, and from one to the next."""

    first: int
    piece: Segment
    along_m: float
    step_m: float


@dataclass(frozen=True, slots=True)
class Profile:
    """Speed and time along a line.

    Attributes:
        distance_m, speed_mps, time_s: at the same places, from the start on, in order.
        rows: where they lie: rows of evenly spaced places on the pieces of the line.
    """

    distance_m: tuple[float, ...]
    speed_mps: tuple[float, ...]
    time_s: tuple[float, ...]
    rows: tuple[Row, ...]

    def point(self, index: int) -> Point:
        """Where a place is; indices from 0 on."""
        row = self.rows[bisect.bisect_right(self.rows, index, key=lambda row: row.first) - 1]
        return row.piece.at(row.along_m + (index - row.first) * row.step_m).point

    @property
    def total_s(self) -> float:
        """From the first place to the last."""
        return self.time_s[-1] if self.time_s else 0.0

    def extremes(self) -> tuple[int, int]:
        """The indices of the fastest and, the first metres of the start left out, the slowest place."""
        speeds = self.speed_mps
        running = bisect.bisect_right(self.distance_m, STANDING_M)
        start = running if running < len(speeds) else 0
        return speeds.index(max(speeds)), speeds.index(min(speeds[start:]), start)

    def time_at(self, distance_m: float) -> float:
        """The time when the dog is that far, in seconds; linear between the places."""
        i = min(max(1, bisect.bisect_left(self.distance_m, distance_m)), len(self.distance_m) - 1)
        d0, d1 = self.distance_m[i - 1], self.distance_m[i]
        share = (distance_m - d0) / (d1 - d0) if d1 > d0 else 1.0
        return self.time_s[i - 1] + share * (self.time_s[i] - self.time_s[i - 1])


def stretches_of(line: Line, kinds: Sequence[str], pace: Pace) -> tuple[Stretch, ...]:
    """The whole line cut into stretches; `kinds` names the obstacle of each pass."""
    stretches: list[Stretch] = []
    for i, (run, kind) in enumerate(zip(line.passes, kinds, strict=True)):
        cap, grounded = pace.obstacle_mps.get(kind, math.inf), run.before_m == 0.0
        first, *others = run.segments
        stretches.append(Stretch(first, cap, grounded, pace.pause_s.get(kind, 0.0)))
        stretches += [Stretch(piece, cap, grounded) for piece in others]
        if i < len(line.legs):
            stretches += eased(line.legs[i].segments)
    return tuple(stretches)


def eased(pieces: Sequence[Segment]) -> list[Stretch]:
    """A leg as stretches on the ground whose slight bends are run wider than the line has them.

    Where two straights meet at the angle t, an arc that passes within c of their corner has the radius
    c / (1 / cos(t / 2) - 1). A bend of a few degrees is hardly one for a dog, whatever the turn radius of the line.
    """
    stretches: list[Stretch] = []
    for side, group in itertools.groupby(pieces, key=lambda piece: (piece.curvature > 0.0) - (piece.curvature < 0.0)):
        run = list(group)
        half = abs(math.fsum(piece.turn_rad for piece in run)) / 2
        corner = 1 / math.cos(half) - 1 if half < math.pi / 2 else math.inf
        stretches += [Stretch(piece, ease=_ease(piece, corner) if side else 1.0) for piece in run]
    return stretches


def _ease(piece: Segment, corner: float) -> float:
    """The share of a piece's curvature that is left when it passes within CUT_M of the corner of its bend."""
    return min(1.0, corner / (CUT_M * abs(piece.curvature)))


def speed_profile(
    stretches: Sequence[Stretch], pace: Pace, *, start_mps: float = 0.0, end_mps: float = math.inf
) -> Profile:
    """The fastest profile along some stretches within the limits of a pace.

    Args:
        stretches: in order, each beginning where the last one ends.
        pace: the limits.
        start_mps: speed at the start.
        end_mps: most speed at the end.
    """
    parts = [part for stretch in stretches if (part := _part(stretch, pace)).steps]
    if not parts:
        return Profile((), (), (), ())
    joints = _joints(parts)
    forwards = _sweep(parts, joints, pace, pace.accelerate_mps2, start_mps)
    backwards = _sweep(parts[::-1], joints[::-1], pace, pace.brake_mps2, end_mps)[::-1]
    speeds = np.sqrt(np.minimum(forwards, backwards))
    steps = [part.steps for part in parts]
    lengths = np.repeat([part.step_m for part in parts], steps)
    both = speeds[:-1] + speeds[1:]
    # from rest to rest within one step: the closed form, since the mean of the ends says nothing
    resting = both == 0.0
    seconds = 2 * np.where(resting, np.sqrt(lengths / pace.accelerate_mps2), lengths / np.where(resting, 1.0, both))
    firsts = np.cumsum([0, *steps])
    stops = np.zeros(len(lengths))
    stops[firsts[1:] - 1] = [part.stop_s for part in parts]
    time = np.cumsum(np.stack([seconds, stops], axis=1))[1::2]  # a pause comes at the end of its step
    last = stretches[-1].piece
    rows = (Row(first, part.piece, 0.0, part.step_m) for first, part in zip(firsts.tolist(), parts, strict=False))
    return Profile(
        (0.0, *np.cumsum(lengths).tolist()),
        tuple(speeds.tolist()),
        (0.0, *time.tolist()),
        (*rows, Row(len(lengths), last, last.length_m, 0.0)),
    )


def profile_of(line: Line, kinds: Sequence[str], pace: Pace) -> Profile:
    """The speed profile of a whole line: standing start behind the first obstacle, no pull-up at the finish."""
    start_mps = math.sqrt(2 * pace.accelerate_mps2 * START_RUN_M)
    return speed_profile(stretches_of(line, kinds, pace), pace, start_mps=start_mps)


def run_time_range_s(profile: Profile, pace: Pace) -> tuple[float, float, float]:
    """Running time of a fast, the typical and a slow dog of the class, in seconds.

    A dog that is f times as fast, and pushes f^2 times as hard, runs the same profile in 1/f of the time: speeds on
    a given track scale with f when accelerations scale with f^2.
    """
    typical = profile.total_s
    return typical / (1 + pace.uncertainty), typical, typical / (1 - pace.uncertainty)


class _Part(NamedTuple):
    """A stretch cut into equal steps: how many, how long, the curvature that is felt, and what it allows."""

    piece: Segment
    steps: int
    step_m: float
    curvature: float
    cap: float
    grounded: bool
    stop_s: float


def _part(stretch: Stretch, pace: Pace) -> _Part:
    """`cap` is the highest square of the speed; a pause stays at the end of the last step."""
    piece, curvature = stretch.piece, stretch.curvature
    count = math.ceil(piece.length_m / STEP_M)
    grip = pace.lateral_mps2 / curvature if curvature else math.inf
    cap = min(pace.top_mps**2, stretch.cap_mps**2, grip)
    return _Part(piece, count, piece.length_m / max(1, count), curvature, cap, stretch.grounded, stretch.stop_s)


def _joints(parts: Sequence[_Part]) -> list[float]:
    """The highest square of the speed at the ends of the parts: what both neighbours allow, and 0 at a pause."""
    between = [0.0 if part.stop_s else min(part.cap, after.cap) for part, after in itertools.pairwise(parts)]
    return [parts[0].cap, *between, parts[-1].cap]


def _sweep(
    parts: Sequence[_Part], joints: Sequence[float], pace: Pace, along_mps2: float, first_mps: float
) -> list[float]:
    """Squares of the highest speeds at the ends of all steps, reached by pushing all the way from the first end."""
    squares = [min(first_mps**2, joints[0])]
    for part, joint in zip(parts, joints[1:], strict=True):
        square = squares[-1]
        for left in range(part.steps - 1, 0, -1):
            square = min(_pushed(square, part, pace, along_mps2), part.cap)
            if square == part.cap:  # and so it stays
                squares += [square] * left
                break
            squares.append(square)
        squares.append(min(_pushed(square, part, pace, along_mps2), joint))
    return squares


def _pushed(square: float, part: _Part, pace: Pace, along_mps2: float) -> float:
    """The square of the speed at the end of a step after pushing along it with all the grip that is left."""
    if not part.grounded:
        return square
    if part.curvature == 0.0:
        return square + 2 * along_mps2 * part.step_m
    grip = pace.lateral_mps2 / part.curvature
    pushed = 2 * part.curvature * part.step_m * along_mps2 / pace.lateral_mps2
    return grip * math.sin(min(math.pi / 2, math.asin(min(1.0, square / grip)) + pushed))

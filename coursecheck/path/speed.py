"""How fast a dog runs along its line: a speed profile from its grip, its push and its brakes.

The dog's feet can push it sideways, forwards and backwards, and a push in one direction leaves less for the others:
with the sideways acceleration v^2/r and the acceleration a along the line, (v^2/r / lateral)^2 + (a / along)^2 <= 1
(the friction ellipse). On a piece of constant curvature that has a closed form: with u = v^2 it is u = 2 a s + c on a
straight, and u = lateral r sin(2 s / r * along / lateral + c) on an arc. Forwards from the start and backwards from
the finish, the lower of the two is the fastest profile that the limits allow. Nothing is pushed while in the air.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Literal

import numpy as np

from coursecheck.geometry.segments import Segment
from coursecheck.path.line import Line
from coursecheck.path.memo import Memo
from coursecheck.path.profile import Floats, Part, Profile

__all__ = ["Pace", "Stretch", "eased", "profile_of", "run_time_range_s", "speed_profile"]

STEP_M = 0.1
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


def _stretches(line: Line, index: int, kind: str, pace: Pace) -> list[Stretch]:
    """One pass and the leg after it cut into stretches."""
    run, cap = line.passes[index], pace.obstacle_mps.get(kind, math.inf)
    pause_s = pace.pause_s.get(kind, 0.0)
    grounded = run.before_m == 0.0 or pause_s > 0.0  # where a dog waits, it stops and starts on its feet
    first, *others = run.segments
    stretches = [Stretch(first, cap, grounded, pause_s)]
    stretches += [Stretch(piece, cap, grounded) for piece in others]
    return stretches + (eased(line.legs[index].segments) if index < len(line.legs) else [])


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
    return _profile([_stage(stretches, pace)], pace, Memo(), start_mps, end_mps)


def profile_of(
    line: Line, kinds: Sequence[str], pace: Pace, memo: Memo | None = None, keys: Sequence[Hashable] | None = None
) -> Profile:
    """The speed profile of a whole line: standing start behind the first obstacle, no pull-up at the finish.

    Args:
        line: the line.
        kinds: the obstacle of each pass.
        pace: the limits.
        memo: keeps what the next profile may use again.
        keys: what stands for the pieces of each pass and of the leg after it in keys of the memo.
    """
    memo, keys = memo or Memo(), keys or range(len(kinds))
    limits = (pace.top_mps, pace.lateral_mps2, pace.accelerate_mps2, pace.brake_mps2)
    figures = [
        (key, limits, pace.obstacle_mps.get(kind), pace.pause_s.get(kind))
        for key, kind in zip(keys, kinds, strict=True)
    ]
    stages = memo.many(
        "stage", figures, lambda missing: [_stage(_stretches(line, i, kinds[i], pace), pace) for i in missing]
    )
    return _profile(stages, pace, memo, math.sqrt(2 * pace.accelerate_mps2 * START_RUN_M), math.inf)


def run_time_range_s(profile: Profile, pace: Pace) -> tuple[float, float, float]:
    """Running time of a fast, the typical and a slow dog of the class, in seconds.

    A dog that is f times as fast, and pushes f^2 times as hard, runs the same profile in 1/f of the time: speeds on
    a given track scale with f when accelerations scale with f^2.
    """
    typical = profile.total_s
    return typical / (1 + pace.uncertainty), typical, typical / (1 - pace.uncertainty)


def _part(stretch: Stretch, pace: Pace) -> Part:
    piece, curvature = stretch.piece, stretch.curvature
    count = math.ceil(piece.length_m / STEP_M)
    grip = pace.lateral_mps2 / curvature if curvature else math.inf
    cap = min(pace.top_mps**2, stretch.cap_mps**2, grip)
    return Part(piece, count, piece.length_m / max(1, count), curvature, cap, stretch.grounded, stretch.stop_s)


@dataclass(frozen=True, slots=True, eq=False)
class _Stage:
    """Some stretches that follow each other, cut into steps; itself, with its pace, a key of the memo.

    Attributes:
        parts: the stretches that have a length.
        joints: the highest square of the speed between each part and the next.
        steps: the length of each step in metres and the pause at its end in seconds, shape (2, n).
    """

    parts: tuple[Part, ...]
    joints: tuple[float, ...]
    steps: Floats


def _stage(stretches: Sequence[Stretch], pace: Pace) -> _Stage:
    parts = tuple(part for stretch in stretches if (part := _part(stretch, pace)).steps)
    joints = tuple(_joint(part, after) for part, after in itertools.pairwise(parts))
    lengths_m: list[float] = []
    stops_s: list[float] = []
    for part in parts:
        lengths_m += [part.step_m] * part.steps
        stops_s += [0.0] * (part.steps - 1)
        stops_s.append(part.stop_s)
    return _Stage(parts, joints, np.array([lengths_m, stops_s]))


def _joint(part: Part, after: Part) -> float:
    """The highest square of the speed where a part ends: what both neighbours allow, and 0 at a pause."""
    return 0.0 if part.stop_s else min(part.cap, after.cap)


def _profile(stages: Sequence[_Stage], pace: Pace, memo: Memo, start_mps: float, end_mps: float) -> Profile:
    """The fastest profile along some stages, which were cut for the pace."""
    run = [stage for stage in stages if stage.parts]
    if not run:
        return Profile(np.zeros((3, 0)), ())
    first, last = run[0].parts[0].cap, run[-1].parts[-1].cap
    between = [_joint(one.parts[-1], after.parts[0]) for one, after in itertools.pairwise(run)]
    forwards = _sweep(run, [*between, last], 1, pace, min(start_mps**2, first), memo)
    backwards = _sweep(run[::-1], [*between[::-1], first], -1, pace, min(end_mps**2, last), memo)[::-1]
    speeds = np.sqrt(np.minimum(forwards, backwards))
    lengths, stops = np.concatenate([stage.steps for stage in run], axis=1)
    both = speeds[:-1] + speeds[1:]
    # from rest to rest within one step: the closed form, since the mean of the ends says nothing
    resting = both == 0.0
    both[resting] = np.sqrt(lengths[resting] * pace.accelerate_mps2)
    figures = np.zeros((3, len(speeds)))
    lengths.cumsum(out=figures[0, 1:])
    figures[1] = speeds
    seconds = 2 * lengths / both + stops
    seconds.cumsum(out=figures[2, 1:])
    return Profile(figures, tuple(itertools.chain.from_iterable(stage.parts for stage in run)))


def _sweep(
    stages: Sequence[_Stage],
    joints: Sequence[float],
    way: Literal[1, -1],
    pace: Pace,
    square: float,
    memo: Memo,
) -> Floats:
    """Squares of the highest speeds at the ends of all steps, reached by pushing all the way from the first end.

    Args:
        stages: in the order of the sweep.
        joints: the highest square where each of them ends.
        way: 1: forwards, pushing; -1: backwards, braking.
        pace: the limits.
        square: of the speed at the first end.
        memo: keeps how a stage is run that is entered as fast.
    """
    squares = [np.array([square])]
    for stage, joint in zip(stages, joints, strict=True):
        swept = partial(_swept, stage, joint, way, pace, square)
        squares.append(memo.get("swept", (stage, way, square, joint), swept))
        square = squares[-1].item(-1)
    return np.concatenate(squares)


def _swept(stage: _Stage, joint: float, way: Literal[1, -1], pace: Pace, square: float) -> Floats:
    """The same along one stage, without the square that it begins with."""
    along_mps2 = pace.accelerate_mps2 if way == 1 else pace.brake_mps2
    squares: list[float] = []
    for part, most in zip(stage.parts[::way], (*stage.joints[::way], joint), strict=True):
        squares += _pushed(square, part, pace, along_mps2)
        square = squares[-1] = min(squares[-1], most)
    return np.array(squares)


def _pushed(square: float, part: Part, pace: Pace, along_mps2: float) -> list[float]:
    """The squares of the speed at the ends of the steps of a part, pushing along it with the grip that is left."""
    steps, cap = part.steps, part.cap
    if not part.grounded or square >= cap:
        return [min(square, cap)] * steps
    if part.curvature == 0.0:
        push = 2 * along_mps2 * part.step_m
        rising = _steps_up(cap - square, push, steps)
        squares = [square + push * i for i in range(1, rising + 1)]
    else:
        grip = pace.lateral_mps2 / part.curvature
        angle = math.asin(min(1.0, square / grip))
        push = 2 * part.curvature * part.step_m * along_mps2 / pace.lateral_mps2
        rising = _steps_up(math.asin(min(1.0, cap / grip)) - angle, push, steps)
        squares = [grip * math.sin(min(math.pi / 2, angle + push * i)) for i in range(1, rising + 1)]
    squares[-1] = min(squares[-1], cap)
    return squares + [cap] * (steps - rising)


def _steps_up(height: float, push: float, steps: int) -> int:
    """How many of some steps go up until a height is reached, at least one."""
    return steps if push * steps <= height else max(1, math.ceil(height / push))

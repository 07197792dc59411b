"""The legs of a course as a judge walks them: where the dog comes out, where it must go, how far and how fast."""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.frames import Point, bearing_deg, heading_rad, wrap_deg
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.measures.legs import bearing_between
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.names import side_word

__all__ = ["Leg", "Motion", "carry_on", "first_turn_deg", "legs_of"]

FULLY_TURNED_DEG = 60.0  # who comes to a bar at more than this has to turn before it, not over it
SWAY_DEG = 5.0  # less is a line that settles; assumption


@dataclass(frozen=True, slots=True)
class Motion:
    """How a typical dog of the class moves on a leg; by the assumed pace of its class.

    Attributes:
        leaves_s, arrives_s: when it lands or comes out, and when it takes off or goes in, from the first take-off.
        length_m: along the line in between.
        leaves_mps: how fast it lands or comes out.
        slowest_mps, fastest_mps: on the leg. At a single place the profile is a lower bound: it runs every bend, even
            one of a few degrees, at the one radius of the line.
    """

    leaves_s: float
    arrives_s: float
    length_m: float
    leaves_mps: float
    slowest_mps: float
    fastest_mps: float

    @property
    def time_s(self) -> float:
        """From landing or exit to take-off or entry."""
        return self.arrives_s - self.leaves_s

    @property
    def mean_mps(self) -> float:
        """Its mean speed on the leg; 0 where there is no way between."""
        return self.length_m / self.time_s if self.time_s > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class Leg:
    """From one pass to the next.

    Attributes:
        before, after: the two passes.
        carry: where and which way a dog goes on that is told nothing.
        entry: the portal of the pass after.
        length_m: along the line, from bar or exit to bar or entry.
        left_deg, right_deg: how far the line turns to either side between landing and take-off.
        problem: why there is no line, or None.
        motion: None where the pace is not known or the course has a leg without a line.
    """

    before: Pass
    after: Pass
    carry: Pose
    entry: Portal
    length_m: float
    left_deg: float
    right_deg: float
    problem: str | None
    motion: Motion | None

    @property
    def off_deg(self) -> float:
        """The direction of the next entry's middle against carrying on, degrees to the right, within (-180, 180]."""
        return off_straight_deg(self.carry, self.entry.centre)

    @property
    def distance_m(self) -> float:
        """Straight from where the dog carries on to the next entry's middle."""
        return math.dist(self.carry.point, self.entry.centre)

    @property
    def side(self) -> str:
        """The side to which the line turns on the whole."""
        return side_word(self.right_deg - self.left_deg)


def off_straight_deg(pose: Pose, point: Point) -> float:
    """The direction of a point against a pose, degrees to the right, within (-180, 180]."""
    return wrap_deg(bearing_between(pose.point, point) - bearing_deg(pose.heading))


def carry_on(scene: Scene, run: Pass, figures: Figures) -> Pose:
    """Where a dog that is told nothing lands or comes out, and which way it then goes.

    Out of a tunnel, the weave poles or off a plank that is straight on. Over a bar it keeps the way that it came by,
    straight from the last exit, as far as the figure `slice` lets it; a dog that had to turn to the bar goes
    straight over it.
    """
    way = scene.way(run)
    leave = way.exit
    if way.form != "flight":
        return Pose(*leave.centre, heading_rad(leave.bearing_deg))
    slant = 0.0
    if run.number > 1:
        last = scene.way(scene.passes[run.number - 2]).exit.centre
        came = (
            wrap_deg(bearing_between(last, way.entry.centre) - way.entry.bearing_deg) if last != leave.centre else 0.0
        )
        if abs(came) <= FULLY_TURNED_DEG:
            slant = max(-figures["slice"], min(figures["slice"], came))
    over = Pose(*leave.centre, heading_rad(leave.bearing_deg + slant))
    return over.ahead(scene.line.passes[run.number - 1].after_m)


def legs_of(scene: Scene, figures: Figures) -> tuple[Leg, ...]:
    """All legs of a scene, in order."""
    spans = scene.spans
    found = []
    for before, after in itertools.pairwise(scene.passes):
        i = before.number - 1
        line, runs = scene.line.legs[i], scene.line.passes
        turns = [math.degrees(piece.turn_rad) for piece in line.segments]
        found.append(
            Leg(
                before=before,
                after=after,
                carry=carry_on(scene, before, figures),
                entry=scene.way(after).entry,
                length_m=runs[i].after_m + line.length_m + runs[i + 1].before_m,
                left_deg=math.fsum(turn for turn in turns if turn > 0),
                right_deg=-math.fsum(turn for turn in turns if turn < 0),
                problem=line.problem,
                motion=_motion(scene, spans[i][1], spans[i + 1][0]),
            )
        )
    return tuple(found)


def _motion(scene: Scene, leaves_m: float, arrives_m: float) -> Motion | None:
    profile = scene.profile
    if profile is None:
        return None
    start, stop = bisect.bisect_left(profile.distance_m, leaves_m), bisect.bisect_right(profile.distance_m, arrives_m)
    speeds = profile.speed_mps[max(0, start - 1) : stop + 1]
    return Motion(
        leaves_s=profile.time_at(leaves_m),
        arrives_s=profile.time_at(arrives_m),
        length_m=arrives_m - leaves_m,
        leaves_mps=profile.speed_mps[min(start, len(profile.speed_mps) - 1)],
        slowest_mps=min(speeds),
        fastest_mps=max(speeds),
    )


def first_turn_deg(pieces: Sequence[Segment]) -> float:
    """How far some pieces first turn to one side, degrees to the right; a sway of a few degrees is no turn."""
    turned = 0.0
    for piece in pieces:
        turn = -math.degrees(piece.turn_rad)
        if turned * turn < 0.0:
            if abs(turned) > SWAY_DEG:
                break
            turned = 0.0
        turned += turn
    return turned

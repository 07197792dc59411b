"""The weave poles.

A dog enters with the first pole at its left shoulder, between the first and the second pole. On the plan the line
keeps beside the row, on the side where the dog starts, from the first pole to the last: the way a judge wheels it
(measured alongside contacts and weaves: AKC judges' guidelines, section on measuring).
"""

from __future__ import annotations

from collections.abc import Mapping

from coursecheck.course.kinds import Size
from coursecheck.course.model import Obstacle
from coursecheck.equipment.outlines import disc, rectangle
from coursecheck.equipment.shape import Kind, Portal, Shape, Way
from coursecheck.geometry.frames import Frame, heading_rad
from coursecheck.geometry.segments import Pose, Segment

__all__ = ["SHOULDER_M", "WEAVES"]

POLE_RADIUS_M = 0.0175  # poles of 3 to 4 cm; common practice, no source
BASE_M = 0.2  # ground width of the base bar with its side feet; common practice, no source
SHOULDER_M = 0.25  # from the row to the middle of a dog beside it; assumption: half a dog's width and a hand


def _weaves(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    frame, count = obstacle.frame, round(sizes["poles"])
    length = (count - 1) * sizes["spacing"]
    poles = [frame.place(-length / 2 + i * sizes["spacing"], 0.0) for i in range(count)]
    reach = length / 2 + POLE_RADIUS_M

    def way(direction: Frame) -> Way:
        first, last = direction.place(-length / 2, SHOULDER_M), direction.place(length / 2, SHOULDER_M)
        bearing = direction.bearing_deg
        track = Segment(Pose(*first, heading_rad(bearing)), length)
        return Way("track", Portal(first, 0.0, bearing, 0.0), Portal(last, 0.0, bearing, 0.0), (track,))

    return Shape(
        obstacle=obstacle,
        kind=kind,
        sizes=sizes,
        footprint=rectangle(frame, (-reach, reach), (-BASE_M / 2, BASE_M / 2)),
        solids=tuple(disc(pole, POLE_RADIUS_M, obstacle.bearing_deg) for pole in poles),
        bars=((poles[0], poles[-1]),),
        marks=(("first pole", poles[0]), ("last pole", poles[-1])),
        forwards=way(frame),
        reverse=way(frame.turned()),
        centre=obstacle.at,
    )


WEAVES: tuple[Kind, ...] = (
    Kind(
        "weaves",
        "weave poles",
        "weaves",
        ("weave", "weave-poles", "poles", "slalom"),
        {
            "poles": Size(
                12, "count", "number of poles", "FCI 2007 and later: 12, from memory; up to 2006: 8, 10 or 12"
            ),
            "spacing": Size(0.6, "m", "between neighbouring poles", "FCI 2007 and later: 0.60 m"),
        },
        _weaves,
    ),
)

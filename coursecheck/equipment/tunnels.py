"""The tunnel, straight or bent to one side over its whole length."""

from __future__ import annotations

import math
from collections.abc import Mapping

from coursecheck.course.kinds import Size
from coursecheck.course.model import Obstacle
from coursecheck.equipment.outlines import parallel, ribbon
from coursecheck.equipment.shape import Kind, Portal, Shape, Way
from coursecheck.geometry.frames import bearing_deg, heading_rad
from coursecheck.geometry.segments import Pose, Segment

__all__ = ["TUNNELS"]


def _tunnel(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], tunnel_line: str) -> Shape:
    half, length, bend = sizes["diameter"] / 2, sizes["length"], math.radians(sizes["bend"])
    centre_line = Segment(Pose(*obstacle.at, heading_rad(obstacle.bearing_deg)), length, -bend / length)
    outside = half * math.copysign(1.0, bend) if bend and tunnel_line == "outside" else 0.0
    track = parallel(centre_line, outside)
    body = ribbon(centre_line, half)
    return Shape(
        obstacle=obstacle,
        kind=kind,
        sizes=sizes,
        footprint=body,
        solids=(body,),
        bars=(),
        marks=(("entry mouth", centre_line.start.point), ("exit mouth", centre_line.end.point)),
        forwards=_way(track, half),
        reverse=_way(track.reversed(), half),
        centre=(body.centroid.x, body.centroid.y),
    )


def _way(track: Segment, half_width_m: float) -> Way:
    return Way("track", _mouth(track.start, half_width_m), _mouth(track.end, half_width_m), (track,))


def _mouth(pose: Pose, half_width_m: float) -> Portal:
    return Portal(pose.point, half_width_m, bearing_deg(pose.heading), 0.0)


TUNNELS: tuple[Kind, ...] = (
    Kind(
        "tunnel",
        "tunnel",
        "tunnel",
        ("pipe", "pipe-tunnel", "open-tunnel", "chute", "tube"),
        {
            "length": Size(5.0, "m", "length along the middle", "FCI: 3.00 to 6.00 m; Kennel Club 2019: 3 m or more"),
            "bend": Size(0.0, "deg", "turn to the right over its length", "as drawn by the judge", signed=True),
            "diameter": Size(0.6, "m", "diameter", "FCI: 0.60 m; Kennel Club 2019: 0.60 m or more"),
        },
        _tunnel,
    ),
)

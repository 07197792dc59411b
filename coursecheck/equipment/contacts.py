"""Planks that a dog runs over: A-frame, dog walk, seesaw. Their ground length follows from plank and height."""

from __future__ import annotations

import math
from collections.abc import Mapping

from coursecheck.course.kinds import Size
from coursecheck.course.model import Obstacle
from coursecheck.equipment.outlines import rectangle
from coursecheck.equipment.shape import Kind, Portal, Shape, Way
from coursecheck.geometry.frames import Frame, heading_rad
from coursecheck.geometry.segments import Pose, Segment

__all__ = ["CONTACTS", "CONTACT_ZONE_M", "a_frame_ground_m", "dog_walk_ground_m", "seesaw_ground_m"]

CONTACT_ZONE_M = {"a-frame": 1.06, "dog-walk": 0.90, "seesaw": 0.914}
"""Length of the contact zone along the plank: FCI 2012, FCI up to 2012, Kennel Club 2021."""


def a_frame_ground_m(ramp_m: float, apex_m: float) -> float:
    """Ground length of two equal ramps that meet at the apex: 2 sqrt(ramp^2 - apex^2), by Pythagoras."""
    return 2 * math.sqrt(max(0.0, ramp_m**2 - apex_m**2))


def dog_walk_ground_m(plank_m: float, height_m: float) -> float:
    """Ground length of a level plank with a ramp of the same length at each end, by Pythagoras."""
    return plank_m + 2 * math.sqrt(max(0.0, plank_m**2 - height_m**2))


def seesaw_ground_m(plank_m: float, pivot_m: float) -> float:
    """Ground length between the two places where the ends touch down, pivot in the middle, by Pythagoras."""
    return 2 * math.sqrt(max(0.0, (plank_m / 2) ** 2 - pivot_m**2))


def _plank(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], ground_m: float) -> Shape:
    frame, half = obstacle.frame, sizes["width"] / 2
    body = rectangle(frame, (-ground_m / 2, ground_m / 2), (-half, half))

    def way(direction: Frame) -> Way:
        foot, end = direction.place(-ground_m / 2, 0.0), direction.place(ground_m / 2, 0.0)
        bearing = direction.bearing_deg
        track = Segment(Pose(*foot, heading_rad(bearing)), ground_m)
        return Way("track", Portal(foot, half, bearing, 0.0), Portal(end, half, bearing, 0.0), (track,))

    return Shape(
        obstacle=obstacle,
        kind=kind,
        sizes=sizes,
        footprint=body,
        solids=(body,),
        bars=(),
        marks=(("entry end", frame.place(-ground_m / 2, 0.0)), ("exit end", frame.place(ground_m / 2, 0.0))),
        forwards=way(frame),
        reverse=way(frame.turned()),
        centre=obstacle.at,
    )


def _a_frame(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    return _plank(kind, obstacle, sizes, a_frame_ground_m(sizes["ramp"], sizes["apex"]))


def _dog_walk(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    return _plank(kind, obstacle, sizes, dog_walk_ground_m(sizes["plank"], sizes["height"]))


def _seesaw(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    return _plank(kind, obstacle, sizes, seesaw_ground_m(sizes["plank"], sizes["height"]))


CONTACTS: tuple[Kind, ...] = (
    Kind(
        "a-frame",
        "A-frame",
        "contact",
        ("aframe", "a-ramp", "frame", "ramp"),
        {
            "ramp": Size(2.7, "m", "length of each ramp", "FCI 2012: 2.65 to 2.75 m"),
            "apex": Size(1.7, "m", "height of the apex", "FCI 2007 and later: 1.70 m"),
            "width": Size(1.15, "m", "width at the foot", "FCI 2012: 1.15 m at the foot, 0.90 m or more above"),
        },
        _a_frame,
        ("ramp", "apex", 1),
    ),
    Kind(
        "dog-walk",
        "dog walk",
        "contact",
        ("dogwalk", "walk", "catwalk"),
        {
            "plank": Size(3.6, "m", "length of each plank", "FCI up to 2012: 3.60 to 4.20 m"),
            "height": Size(
                1.2, "m", "height of the level plank", "FCI up to 2012: 1.20 to 1.35 m; Kennel Club 2019: 1.2 m"
            ),
            "width": Size(0.3, "m", "width of the planks", "FCI up to 2012: 0.30 m"),
        },
        _dog_walk,
        ("plank", "height", 1),
    ),
    Kind(
        "seesaw",
        "seesaw",
        "contact",
        ("see-saw", "teeter", "teeter-totter"),
        {
            "plank": Size(3.66, "m", "length of the plank", "Kennel Club 2021: 3.66 m; FCI 2018: 3.60 to 3.80 m"),
            "height": Size(0.6, "m", "height at the pivot", "FCI 2018: 0.60 m; Kennel Club 2021: 0.61 m"),
            "width": Size(0.3, "m", "width of the plank", "FCI 2018: 0.30 m; Kennel Club 2021: 0.295 to 0.305 m"),
        },
        _seesaw,
        ("plank", "height", 2),
    ),
)

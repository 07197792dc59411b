"""Ground outlines that several kinds share."""

from __future__ import annotations

import math

from shapely.geometry import Polygon

from coursecheck.course.model import Blocked
from coursecheck.geometry.frames import Frame, Point
from coursecheck.geometry.segments import Pose, Segment, outline

__all__ = ["blocked_ground", "disc", "parallel", "rectangle", "ribbon"]


def rectangle(frame: Frame, along: Point, right: Point) -> Polygon:
    """The rectangle of two local ranges, in metres."""
    return Polygon(frame.rectangle(along, right))


def disc(centre: Point, radius_m: float, bearing_deg: float = 0.0, corners: int = 16) -> Polygon:
    """A small disc (a pole, a post) as the regular polygon around it, turned with its obstacle: it holds the disc."""
    reach = radius_m / math.cos(math.pi / corners)
    angles = [2 * math.pi * (i + 0.5) / corners for i in range(corners)]
    outline = [(reach * math.cos(a), -reach * math.sin(a)) for a in angles]
    return Polygon(Frame(centre, bearing_deg).places(outline))


def blocked_ground(place: Blocked) -> Polygon:
    """The ground of a blocked place; of a disc the polygon around it, no corner more than 0.1 mm off."""
    if place.outline:
        return Polygon(place.outline)
    corners = max(8, math.ceil(math.pi / math.acos(place.radius_m / (place.radius_m + 1e-4))))
    return disc(place.centre, place.radius_m, corners=corners)


def ribbon(track: Segment, half_width_m: float) -> Polygon:
    """The band of constant width along one straight or arc, with square ends."""
    left = outline([parallel(track, half_width_m)])
    right = outline([parallel(track, -half_width_m)])
    return Polygon([*right, *reversed(left)])


def _offsets(pose: Pose, distance_m: float) -> tuple[Point, Point]:
    """The points to the left and to the right of a pose."""
    dx, dy = -math.sin(pose.heading) * distance_m, math.cos(pose.heading) * distance_m
    return (pose.x + dx, pose.y + dy), (pose.x - dx, pose.y - dy)


def parallel(track: Segment, left_m: float) -> Segment:
    """The straight or arc at a constant distance to the left of another (to the right where negative)."""
    start = _offsets(track.start, left_m)[0]
    scale = 1 - track.curvature * left_m
    return Segment(Pose(*start, track.start.heading), track.length_m * scale, track.curvature / scale)

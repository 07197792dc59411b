"""The table: a dog jumps on from any side, waits, and leaves by any side."""

from __future__ import annotations

from collections.abc import Mapping

from coursecheck.course.kinds import Size
from coursecheck.course.model import Obstacle
from coursecheck.equipment.outlines import rectangle
from coursecheck.equipment.shape import Kind, Portal, Shape, Way

__all__ = ["TABLES"]


def _table(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    frame, half = obstacle.frame, sizes["side"] / 2
    body = rectangle(frame, (-half, half), (-half, half))
    forwards = Portal(obstacle.at, 0.0, frame.bearing_deg, 180.0)
    backwards = Portal(obstacle.at, 0.0, frame.turned().bearing_deg, 180.0)
    return Shape(
        obstacle=obstacle,
        kind=kind,
        sizes=sizes,
        footprint=body,
        solids=(body,),
        bars=(),
        marks=(("near left corner", frame.place(-half, -half)), ("near right corner", frame.place(-half, half))),
        forwards=Way("stop", forwards, forwards),
        reverse=Way("stop", backwards, backwards),
        centre=obstacle.at,
    )


TABLES: tuple[Kind, ...] = (
    Kind(
        "table",
        "table",
        "table",
        ("pause-table", "pause-box", "box"),
        {"side": Size(0.9, "m", "side of the square top", "FCI up to 2017: 0.90 to 1.20 m")},
        _table,
    ),
)

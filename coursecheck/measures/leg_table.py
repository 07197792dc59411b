"""The legs of a plan in figures, one row each."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coursecheck.measures.legs import portal_to_portal_m
from coursecheck.measures.registry import legs
from coursecheck.measures.scene import Scene
from coursecheck.measures.straights import run_up_m

__all__ = ["LegRow", "leg_table"]


@dataclass(frozen=True, slots=True)
class LegRow:
    """One leg in figures, for the leg table.

    Attributes:
        from_pass, to_pass: pass numbers. from_id, to_id: obstacle ids. from_kind, to_kind: their kinds.
        line_m: along the line from portal to portal, or None where no line was found.
        centres_m: straight between the centres.
        turn_deg: total turning along the leg, or None where no line was found.
        straight_m: straight run-up before the next take-off, or None.
    """

    from_pass: int
    to_pass: int
    from_id: str
    to_id: str
    from_kind: str
    to_kind: str
    line_m: float | None
    centres_m: float
    turn_deg: float | None
    straight_m: float | None


def leg_table(scene: Scene) -> tuple[LegRow, ...]:
    """A row for each leg, in order."""
    rows = []
    for before, after in legs(scene):
        leg = scene.line.legs[before.number - 1]
        missing = leg.problem is not None
        rows.append(
            LegRow(
                from_pass=before.number,
                to_pass=after.number,
                from_id=before.obstacle,
                to_id=after.obstacle,
                from_kind=scene.shape(before).kind.name,
                to_kind=scene.shape(after).kind.name,
                line_m=None if missing else portal_to_portal_m(scene, before),
                centres_m=math.dist(scene.shape(before).centre, scene.shape(after).centre),
                turn_deg=None if missing else math.degrees(sum(abs(piece.turn_rad) for piece in leg.segments)),
                straight_m=None if missing else run_up_m(scene, before),
            )
        )
    return tuple(rows)

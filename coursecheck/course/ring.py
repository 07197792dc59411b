"""The ring: from its table in the file to the model, with what can be wrong about its shape."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Any

from msgspec import UNSET, UnsetType
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot

from coursecheck.course.document import SIDES, BlockedTable, RingTable
from coursecheck.course.model import Blocked, Neighbour, Ring
from coursecheck.documents import Problems, Taken
from coursecheck.geometry.frames import Point
from coursecheck.language import either, say

__all__ = ["build_ring", "check_ring"]

_SAME = 0.001  # closer than that, two points are one; in units of the file
_NO_AREA = 1e-6
_BESIDE_EDGE = 0.1  # how far the end of an entrance may lie from the edge, in units of the file: rounding by hand


def check_ring(taken: Taken[Any], problems: Problems) -> None:
    """Notes what is wrong with the shape of the ring, as far as its keys could be taken."""
    table = problems.document.raw.get("ring")
    if not isinstance(table, dict):
        return
    if "size" in table and "outline" in table:
        problems.add("ring.outline", say("the ring has both a size and an outline"), say("keep one of them"))
    elif "size" not in table and "outline" not in table:
        wrong = say("the ring has neither a size nor an outline")
        problems.add("ring", wrong, say("add {what}", what=either(["size = [x, y]", "outline = [...]"])))
    else:
        _check_edge(taken, problems)
    for place in _numbered("ring.blocked", table.get("blocked")):
        _check_blocked(taken, problems, place)


def build_ring(table: RingTable, metres: float) -> Ring:
    """The ring in metres.

    Args:
        table: a ring without mistakes.
        metres: how many metres the file's unit has.
    """
    if isinstance(table.size, UnsetType):
        corners = [] if isinstance(table.outline, UnsetType) else _scaled(table.outline, metres)
        solid = {side for side in table.solid if isinstance(side, int)}
        if _signed_area(corners) < 0:
            # The same ring the other way round; side i lies between the corners n - 2 - i and n - 1 - i then.
            corners.reverse()
            solid = {(len(corners) - 2 - side) % len(corners) for side in solid}
    else:
        corners = _rectangle(_scaled([table.size], metres)[0])
        solid = {SIDES.index(side) for side in table.solid if isinstance(side, str)}
    return Ring(
        outline=tuple(corners),
        solid=frozenset(solid),
        entrance=_opening(table.entrance, metres),
        exit=_opening(table.exit, metres),
        blocked=tuple(_blocked(item, metres) for item in table.blocked),
        beside=tuple(Neighbour(item.name, item.gap * metres, item.fence) for item in table.beside),
        indoor=table.indoor,
    )


def _check_edge(taken: Taken[Any], problems: Problems) -> None:
    """The outline itself, and what is told by its sides."""
    size, outline = taken.at("ring.size", tuple), taken.at("ring.outline", list)
    if outline is not None and not _check_outline(outline, "ring.outline", problems):
        return
    corners = _rectangle(size) if size is not None else outline
    if corners is None:
        return
    for place in taken.places("ring.solid"):
        mistake = _side_mistake(taken.parts[place], len(corners), by_size=size is not None)
        if mistake:
            problems.add(place, *mistake)
    edge = Polygon(corners).exterior
    for name in ("entrance", "exit"):
        ends = taken.at(f"ring.{name}", tuple) or ()
        for i, end in enumerate(ends):
            if edge.distance(Spot(end)) > _BESIDE_EDGE:
                wrong = say("is not on the edge of the ring")
                problems.add(f"ring.{name}[{i}]", wrong, say("give a point of one of its sides"))
        if ends and math.dist(*ends) <= _SAME:
            wrong = say("both ends are the same point")
            problems.add(f"ring.{name}", wrong, say("give the two ends of the opening"))


def _side_mistake(side: str | int, count: int, *, by_size: bool) -> tuple[str, str] | None:
    if by_size and isinstance(side, int):
        right = say("a ring with a size has the sides {sides}", sides=", ".join(SIDES))
        return say("found {what}", what=side), right
    if not by_size and isinstance(side, str):
        right = say("write the index of a side of the outline, 0 to {last}", last=count - 1)
        return say("found {what}", what=f'"{side}"'), right
    if isinstance(side, int) and side >= count:
        right = say("the outline has the sides 0 to {last}", last=count - 1)
        return say("there is no side {side}", side=side), right
    return None


def _check_blocked(taken: Taken[Any], problems: Problems, place: str) -> None:
    blocked = taken.at(place, BlockedTable)
    if blocked is None:
        return
    if isinstance(blocked.outline, UnsetType):
        for key, value in (("centre", blocked.centre), ("radius", blocked.radius)):
            if value is UNSET:
                problems.add(f"{place}.{key}", say("missing"), say("give centre and radius, or an outline"))
    elif blocked.centre is not UNSET or blocked.radius is not UNSET:
        problems.add(place, say("has both an outline and a centre or radius"), say("keep one of them"))
    else:
        _check_outline(blocked.outline, f"{place}.outline", problems)


def _check_outline(corners: Sequence[Point], path: str, problems: Problems) -> bool:
    """Whether corners in order make an area that does not cross itself; notes where they do not."""
    count = len(corners)
    for i, (corner, following) in enumerate(_sides(corners)):
        if math.dist(corner, following) <= _SAME:
            wrong = say("corners {i} and {j} are the same point", i=i, j=(i + 1) % count)
            problems.add(path, wrong, say("give each corner once; the outline closes by itself"))
            return False
    if abs(_signed_area(corners)) <= _NO_AREA and _crossing(corners) is None:
        problems.add(path, say("encloses no area"), say("give corners that go round it"))
        return False
    if not Polygon(corners).is_valid:
        wrong = say("crosses or touches itself")
        if (crossing := _crossing(corners)) is not None:
            wrong = say("crosses or touches itself: side {i} meets side {j}", i=crossing[0], j=crossing[1])
        problems.add(path, wrong, say("give the corners in the order in which one walks round"))
        return False
    return True


def _crossing(corners: Sequence[Point]) -> tuple[int, int] | None:
    """Which two sides that are not neighbours meet, if any do."""
    sides = [LineString(side) for side in _sides(corners)]
    for i, j in itertools.combinations(range(len(sides)), 2):
        if 1 < j - i < len(sides) - 1 and sides[i].intersects(sides[j]):
            return i, j
    return None


def _sides(corners: Sequence[Point]) -> list[tuple[Point, Point]]:
    return list(zip(corners, [*corners[1:], corners[0]], strict=True))


def _signed_area(corners: Sequence[Point]) -> float:
    """Positive counter-clockwise; the shoelace formula."""
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in _sides(corners)) / 2 if corners else 0.0


def _rectangle(size: Point) -> list[Point]:
    x, y = size
    return [(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)]


def _scaled(points: Sequence[Point], metres: float) -> list[Point]:
    return [(x * metres, y * metres) for x, y in points]


def _opening(ends: tuple[Point, Point] | UnsetType, metres: float) -> tuple[Point, Point] | None:
    if isinstance(ends, UnsetType):
        return None
    first, second = _scaled(ends, metres)
    return first, second


def _blocked(table: BlockedTable, metres: float) -> Blocked:
    if isinstance(table.centre, UnsetType) or isinstance(table.radius, UnsetType):
        corners = () if isinstance(table.outline, UnsetType) else tuple(_scaled(table.outline, metres))
        return Blocked(table.name, outline=corners)
    return Blocked(table.name, centre=_scaled([table.centre], metres)[0], radius_m=table.radius * metres)


def _numbered(path: str, raw: object) -> list[str]:
    return [f"{path}[{i}]" for i in range(len(raw))] if isinstance(raw, list) else []

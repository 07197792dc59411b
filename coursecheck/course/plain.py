"""The model as the plain tables of a course file, in the file's units, and how their values are spelled."""

from __future__ import annotations

from collections.abc import Mapping
from json import dumps
from typing import Any

from coursecheck.course.document import SIDES
from coursecheck.course.kinds import KindWords
from coursecheck.course.model import Blocked, Course, Obstacle, Ring
from coursecheck.course.reading import METRES
from coursecheck.course.sequence import spell
from coursecheck.geometry.frames import Point

__all__ = ["RING_LISTS", "course_text", "plain_course", "spell_value", "table_text"]

RING_LISTS = ("blocked", "beside")
"""The keys of the ring that are lists of tables."""

_EXACT_PLACES, _PLACES, _DUST_M = 6, 3, 1e-9
_WIDEST = 100


def plain_course(course: Course, kinds: Mapping[str, KindWords], *, by_outline: bool = False) -> dict[str, Any]:
    """The tables of the file, without the keys that stand at their defaults.

    Args:
        course: the model.
        kinds: the kinds of obstacles by name.
        by_outline: give the ring by its outline even where it is a rectangle at the origin.
    """
    metres = METRES.get(course.units, 1.0)
    tables: dict[str, Any] = {
        "format": 1,
        "course": _course_table(course),
        "ring": _ring_table(course.ring, metres, by_outline=by_outline),
        "obstacle": [_obstacle_table(obstacle, kinds.get(obstacle.kind), metres) for obstacle in course.obstacles],
        "sequence": {"run": [spell(run) for run in course.passes]},
    }
    lines = {"start_line": _figure(course.start_line_m, metres), "finish_line": _figure(course.finish_line_m, metres)}
    tables["sequence"] |= {name: distance for name, distance in lines.items() if distance}
    if course.store is not None:
        tables["store"] = {
            name: {"count": stock.count, "lengths": [_figure(length, metres) for length in stock.lengths]}
            if stock.lengths
            else stock.count
            for name, stock in course.store.items()
        }
    return tables


def course_text(tables: Mapping[str, Any]) -> str:
    """A new file from its tables."""
    ring = {key: value for key, value in tables["ring"].items() if key not in RING_LISTS}
    parts = [f"format = {tables['format']}\n", table_text("[course]", tables["course"]), table_text("[ring]", ring)]
    parts += [table_text(f"[[ring.{key}]]", item) for key in RING_LISTS for item in tables["ring"].get(key, [])]
    parts += [table_text("[[obstacle]]", obstacle) for obstacle in tables["obstacle"]]
    parts += [table_text(f"[{name}]", tables[name]) for name in ("sequence", "store") if name in tables]
    return "\n".join(parts)


def table_text(header: str, table: Mapping[str, Any]) -> str:
    """A table under its header, one key a line."""
    return "".join([f"{header}\n", *(f"{key} = {spell_value(value)}\n" for key, value in table.items())])


def spell_value(value: Any) -> str:
    """A value in TOML, on one line; a long list of words on several."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return dumps(value, ensure_ascii=False)
    if isinstance(value, Mapping):
        return f"{{ {', '.join(f'{key} = {spell_value(item)}' for key, item in value.items())} }}"
    if not isinstance(value, list):
        return repr(value)
    items = [spell_value(item) for item in value]
    line = f"[{', '.join(items)}]"
    if len(line) <= _WIDEST or not all(isinstance(item, str) for item in value):
        return line
    rows = [", ".join(items[i : i + 5]) for i in range(0, len(items), 5)]
    return "[\n" + "".join(f"  {row},\n" for row in rows) + "]"


def _course_table(course: Course) -> dict[str, Any]:
    table: dict[str, Any] = {
        "title": course.title,
        "rulebook": course.rulebook,
        "discipline": course.discipline,
        "grade": course.grade,
    }
    if course.heights:
        table["heights"] = list(course.heights)
    if course.speed_mps is not None:
        table["speed_mps"] = _figure(course.speed_mps, 1.0)
    if course.units != "m":
        table["units"] = course.units
    return table


def _ring_table(ring: Ring, metres: float, *, by_outline: bool) -> dict[str, Any]:
    corners = [_place(corner, metres) for corner in ring.outline]
    table: dict[str, Any] = {}
    sides = sorted(ring.solid)
    if not by_outline and len(corners) == 4 and corners == _rectangle(corners[2]):
        table["size"] = corners[2]
        solid: list[Any] = [SIDES[side] for side in sides]
    else:
        table["outline"], solid = corners, list(sides)
    if solid:
        table["solid"] = solid
    for name, opening in (("entrance", ring.entrance), ("exit", ring.exit)):
        if opening is not None:
            table[name] = [_place(end, metres) for end in opening]
    if ring.indoor:
        table["indoor"] = True
    if ring.blocked:
        table["blocked"] = [_blocked_table(blocked, metres) for blocked in ring.blocked]
    if ring.beside:
        table["beside"] = [
            {"name": other.name, "gap": _figure(other.gap_m, metres)} | ({"fence": True} if other.fence else {})
            for other in ring.beside
        ]
    return table


def _rectangle(far_corner: list[float]) -> list[list[float]]:
    x, y = far_corner
    return [[0.0, 0.0], [x, 0.0], [x, y], [0.0, y]]


def _blocked_table(blocked: Blocked, metres: float) -> dict[str, Any]:
    if blocked.outline:
        return {"name": blocked.name, "outline": [_place(corner, metres) for corner in blocked.outline]}
    return {
        "name": blocked.name,
        "centre": _place(blocked.centre, metres),
        "radius": _figure(blocked.radius_m, metres),
    }


def _obstacle_table(obstacle: Obstacle, kind: KindWords | None, metres: float) -> dict[str, Any]:
    table: dict[str, Any] = {
        "id": obstacle.id,
        "kind": obstacle.kind,
        "at": _place(obstacle.at, metres),
        "bearing": _angle(_figure(obstacle.bearing_deg, 1.0) % 360.0),
    }
    for name, value in obstacle.sizes.items():
        size = kind.sizes.get(name) if kind is not None else None
        is_length = size is None or size.unit == "m"
        table[name] = _figure(value, metres) if is_length else _angle(_figure(value, 1.0))
    return table


def _place(point: Point, metres: float) -> list[float]:
    return [_figure(point[0], metres), _figure(point[1], metres)]


def _angle(degrees: float) -> float | int:
    return int(degrees) if degrees.is_integer() else degrees


def _figure(value: float, metres: float) -> float:
    """A number in the file's unit: as short as it reads back to the same value.

    Six decimals are more than anybody writes, and 1e-9 m is the dust of a computation. What would take more, such as
    metres turned into feet, is rounded to the third decimal.
    """
    raw = value / metres
    for places in range(_EXACT_PLACES + 1):
        figure = round(raw, places)
        if abs(figure * metres - value) <= _DUST_M:
            return figure + 0.0
    return round(raw, _PLACES) + 0.0

"""Each obstacle as it stands on the ground, in plan and at its real size, in ink lines.

Drawn from the ground plan of the equipment: what is solid is filled, what a dog crosses is a line.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from shapely.geometry import Polygon

from coursecheck.equipment.contacts import CONTACT_ZONE_M
from coursecheck.equipment.shape import Shape
from coursecheck.geometry.frames import Frame, Point
from coursecheck.language import say
from coursecheck.reports.svg import Sheet, circle, element, escaped, line, path, polygon

__all__ = ["obstacle_words", "symbol", "symbol_parts"]

SLAT_M = 0.3  # between the lines that stand for the units of a long jump and the hoops of a tunnel; only a drawing
POLE_MM = 0.42  # poles and posts as they are would be too fine to print
AXLE_M = 0.25  # how far the axle of a seesaw is drawn beyond the plank; only a drawing


def obstacle_words(shape: Shape, numbers: tuple[int, ...]) -> str:
    """An obstacle in words: its name, its kind and the numbers of its passes."""
    taken = say("number {numbers}", numbers=", ".join(map(str, numbers))) if numbers else say("not in the sequence")
    return say("{name}: {kind}, {taken}", name=shape.obstacle.id, kind=say(shape.kind.title), taken=taken)


def symbol(shape: Shape, sheet: Sheet, numbers: tuple[int, ...]) -> str:
    """The group of one obstacle: named by its id, with words for screen readers and for pointing at it.

    Args:
        shape: the obstacle on the ground.
        sheet: the sheet it is drawn on.
        numbers: the passes over it.
    """
    title = element("title", escaped(obstacle_words(shape, numbers)))
    return element(
        "g",
        title,
        *symbol_parts(shape, sheet),
        id=f"obstacle-{shape.obstacle.id}",
        class_=f"obstacle {shape.kind.name}",
    )


def symbol_parts(shape: Shape, sheet: Sheet) -> list[str]:
    """The lines and areas of one obstacle alone."""
    return _DRAWN.get(shape.kind.name, _plain)(shape, sheet)


def _outline(ground: Polygon, sheet: Sheet, class_: str) -> str:
    return polygon(sheet.all_at((x, y) for x, y in ground.exterior.coords[:-1]), class_)


def _solids(shape: Shape, sheet: Sheet, class_: str = "solid") -> list[str]:
    return [_outline(solid, sheet, class_) for solid in shape.solids]


def _bars(shape: Shape, sheet: Sheet) -> list[str]:
    return [line(sheet.at(a), sheet.at(b), "bar") for a, b in shape.bars]


def _across(frame: Frame, along: float, half_m: float) -> tuple[Point, Point]:
    return frame.place(along, -half_m), frame.place(along, half_m)


def _plain(shape: Shape, sheet: Sheet) -> list[str]:
    """A kind without a drawing of its own: footprint, solid parts, bars."""
    return [_outline(shape.footprint, sheet, "ground"), *_solids(shape, sheet), *_bars(shape, sheet)]


def _winged(shape: Shape, sheet: Sheet) -> list[str]:
    """Bars between solid wings, each wing on its foot."""
    frame, half = shape.obstacle.frame, shape.sizes["bar"] / 2
    reach = (shape.sizes["foot"] + shape.sizes.get("depth", 0.0)) / 2
    middle = half + shape.sizes["wing"] / 2
    feet = [sheet.all_at((frame.place(-reach, side), frame.place(reach, side))) for side in (-middle, middle)]
    return [path(*feet, class_="thin"), *_solids(shape, sheet), *_bars(shape, sheet)]


def _wall(shape: Shape, sheet: Sheet) -> list[str]:
    """The body between two pillars, ruled along its middle like the ridge of its top."""
    frame, half, thick = shape.obstacle.frame, shape.sizes["bar"] / 2, shape.sizes["depth"] / 2
    body = sheet.all_at(frame.rectangle((-thick, thick), (-half, half)))
    ridge = sheet.all_at(_across(frame, 0.0, half))
    return [polygon(body, "ground"), path(ridge, class_="thin"), *_solids(shape, sheet)]


def _long_jump(shape: Shape, sheet: Sheet) -> list[str]:
    """Low units one behind the other between four posts."""
    frame, half, depth = shape.obstacle.frame, shape.sizes["bar"] / 2, shape.sizes["depth"]
    count = max(2, round(depth / SLAT_M) + 1)
    units = [_across(frame, depth * (i / (count - 1) - 0.5), half) for i in range(count)]
    posts = [circle(sheet.at(point), POLE_MM, "solid") for _, point in shape.marks]
    return [path(*(sheet.all_at(unit) for unit in units), class_="bar"), *posts]


def _tyre(shape: Shape, sheet: Sheet) -> list[str]:
    """The aperture, a heavy stroke, in the middle of its frame and base."""
    frame, half, reach = shape.obstacle.frame, shape.sizes["aperture"] / 2, shape.sizes["frame"] / 2
    foot = shape.sizes["foot"] / 2
    feet = [sheet.all_at((frame.place(-foot, side), frame.place(foot, side))) for side in (-reach, reach)]
    opening = sheet.all_at(_across(frame, 0.0, half))
    ends = [circle(point, 2 * POLE_MM, "collar") for point in opening]
    return [path(*feet, class_="thin"), *_solids(shape, sheet, "ground"), path(opening, class_="heavy"), *ends]


def _tunnel(shape: Shape, sheet: Sheet) -> list[str]:
    """A band with its hoops, and a heavy rim at each mouth."""
    # Seen from the middle line: the sizes say where it runs, whichever line the dog keeps.
    half, length = shape.sizes["diameter"] / 2, shape.sizes["length"]
    bend = math.radians(shape.sizes["bend"])
    count = max(2, round(length / SLAT_M))
    hoops = [_hoop(shape.obstacle.frame, length * i / count, bend / length, half) for i in range(count + 1)]
    drawn = [sheet.all_at(hoop) for hoop in hoops]
    return [
        _outline(shape.footprint, sheet, "ground"),
        path(*drawn[1:-1], class_="hoop"),
        path(drawn[0], drawn[-1], class_="heavy"),
    ]


def _hoop(frame: Frame, along: float, right_turn_per_m: float, half: float) -> tuple[Point, Point]:
    """The two ends of the hoop that stands `along` metres into a tunnel."""
    turned = right_turn_per_m * along
    if right_turn_per_m:
        radius = 1 / right_turn_per_m
        place = frame.place(radius * math.sin(turned), radius * (1 - math.cos(turned)))
    else:
        place = frame.place(along, 0.0)
    return _across(Frame(place, frame.bearing_deg + math.degrees(turned)), 0.0, half)


def _weaves(shape: Shape, sheet: Sheet) -> list[str]:
    """The poles on their base."""
    poles = [(solid.centroid.x, solid.centroid.y) for solid in shape.solids]
    return [
        path(sheet.all_at((poles[0], poles[-1])), class_="thin"),
        *(circle(sheet.at(pole), POLE_MM, "solid") for pole in poles),
    ]


def _plank(shape: Shape, sheet: Sheet) -> list[str]:
    """The outline, contact zones hatched, and a line wherever two planks meet or a plank turns."""
    frame, half = shape.obstacle.frame, shape.sizes["width"] / 2
    reach = math.dist(*(point for _, point in shape.marks)) / 2
    joints, slope = _joints(shape, reach)
    zone = CONTACT_ZONE_M[shape.kind.name] * slope
    zones = [
        polygon(sheet.all_at(frame.rectangle(ends, (-half, half))), "contact")
        for ends in ((-reach, zone - reach), (reach - zone, reach))
    ]
    lines = [sheet.all_at(_across(frame, along, half)) for along in joints]
    parts = [_outline(shape.footprint, sheet, "ground"), *zones, path(*lines, class_="bar")]
    if shape.kind.name == "seesaw":
        parts.append(path(sheet.all_at(_across(frame, 0.0, half + AXLE_M)), class_="heavy"))
    return parts


def _joints(shape: Shape, reach: float) -> tuple[list[float], float]:
    """Where along the obstacle its planks meet, and the ground length of a metre of sloping plank."""
    sizes = shape.sizes
    if shape.kind.name == "dog-walk":
        level = sizes["plank"] / 2
        return [-level, level], (reach - level) / sizes["plank"]
    sloping = sizes["ramp"] if shape.kind.name == "a-frame" else sizes["plank"] / 2
    return [0.0], reach / sloping


def _table(shape: Shape, sheet: Sheet) -> list[str]:
    """The square top with its diagonals."""
    corners = sheet.all_at((x, y) for x, y in shape.footprint.exterior.coords[:4])
    return [polygon(corners, "ground"), path(corners[0::2], corners[1::2], class_="thin")]


_DRAWN: Mapping[str, Callable[[Shape, Sheet], list[str]]] = {
    "jump": _winged,
    "spread": _winged,
    "wall": _wall,
    "long-jump": _long_jump,
    "tyre": _tyre,
    "tunnel": _tunnel,
    "weaves": _weaves,
    "a-frame": _plank,
    "dog-walk": _plank,
    "seesaw": _plank,
    "table": _table,
}

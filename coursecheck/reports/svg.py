"""A small SVG writer and the sheet that a plan is drawn on.

The unit of a drawing is a millimetre of the printed sheet; the ground is brought to it by a round scale, so that a
ruler on the paper measures the plan. Every function returns text, escaped, the same for the same input.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import Segment
from coursecheck.reports.wording import printable

__all__ = ["SCALES", "Sheet", "circle", "element", "escaped", "figure", "line", "path", "polygon", "text", "track"]

SCALES = (50, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 1500, 2000, 2500, 5000, 10000)
"""The scales a drawing may have, 1 to n."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Where the ground lies on the sheet.

    Attributes:
        scale: 1 to `scale`.
        left_m, top_m: the ground's coordinates at the sheet's origin, its top left corner.
    """

    scale: int
    left_m: float
    top_m: float

    @property
    def mm_per_m(self) -> float:
        """Millimetres on the sheet for a metre on the ground."""
        return 1000.0 / self.scale

    def at(self, point: Point) -> Point:
        """A point of the ground (metres, y up) on the sheet (millimetres, y down)."""
        return ((point[0] - self.left_m) * self.mm_per_m, (self.top_m - point[1]) * self.mm_per_m)

    def all_at(self, points: Iterable[Point]) -> list[Point]:
        """Several points of the ground on the sheet."""
        return [self.at(point) for point in points]


def figure(value: float) -> str:
    """A coordinate to a thousandth of a millimetre, as short as it goes, never minus zero."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(name: str, *children: str, **attributes: str | float | None) -> str:
    """An element; an attribute `class_` is written `class`, `_` stands for `-`, and None leaves it out."""
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{written}>{''.join(children)}</{name}>" if children else f"<{name}{written}/>"


def _value(value: str | float) -> str:
    return escape(printable(value), quote=True) if isinstance(value, str) else figure(value)


def escaped(words: str) -> str:
    """Words as the content of an element."""
    return escape(printable(words))


def text(words: str, at: Point, class_: str, turned_deg: float = 0.0) -> str:
    """Words around a point, centred on it; `turned_deg` clockwise."""
    x, y = at
    turn = f"rotate({figure(turned_deg)} {figure(x)} {figure(y)})" if turned_deg else None
    return element("text", escaped(words), x=x, y=y, class_=class_, transform=turn)


def line(a: Point, b: Point, class_: str) -> str:
    """A straight line."""
    return element("line", x1=a[0], y1=a[1], x2=b[0], y2=b[1], class_=class_)


def circle(centre: Point, radius_mm: float, class_: str) -> str:
    """A circle."""
    return element("circle", cx=centre[0], cy=centre[1], r=radius_mm, class_=class_)


def polygon(points: Sequence[Point], class_: str) -> str:
    """A closed outline."""
    return element("polygon", points=" ".join(f"{figure(x)},{figure(y)}" for x, y in points), class_=class_)


def path(*runs: Sequence[Point], class_: str) -> str:
    """One or more open runs of straight lines as one element."""
    d = "".join("M" + "L".join(f"{figure(x)} {figure(y)}" for x, y in run) for run in runs)
    return element("path", d=d, class_=class_)


def track(segments: Sequence[Segment], sheet: Sheet, class_: str) -> str:
    """Straight lines and exact arcs, joined in order."""
    parts = [f"M{_pair(sheet.at(segments[0].start.point))}"]
    for segment in segments:
        # An arc command is unique below a half turn.
        steps = max(1, math.ceil(abs(segment.turn_rad) / 3.0))
        for i in range(1, steps + 1):
            end = _pair(sheet.at(segment.at(segment.length_m * i / steps).point))
            if segment.curvature:
                radius = figure(sheet.mm_per_m / abs(segment.curvature))
                parts.append(f"A{radius} {radius} 0 0 {int(segment.curvature < 0)} {end}")
            else:
                parts.append(f"L{end}")
    return element("path", d="".join(parts), class_=class_)


def _pair(point: Point) -> str:
    return f"{figure(point[0])} {figure(point[1])}"

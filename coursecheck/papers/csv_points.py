"""Every point that an obstacle is set out by, as CSV in metres, for a spreadsheet or a surveying instrument."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from coursecheck.geometry.frames import Point
from coursecheck.measures.scene import Scene
from coursecheck.papers import PaperOptions
from coursecheck.reports.csv_table import safe_cell
from coursecheck.verdict.model import Verdict

__all__ = ["render"]

HEAD = ("what", "name", "numbers", "point", "x_m", "y_m", "bearing_deg")


def render(verdict: Verdict, options: PaperOptions) -> str:
    """One line a point: the corners and gates of the ring, then each obstacle's middle and its named points.

    Coordinates are metres from the ring's bottom left, x to the right, y up the plan. Sizes are those of the height
    class that the options name.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")  # RFC 4180
    writer.writerow(HEAD)
    scene = verdict.scenes[options.height_of(verdict)]
    for row in (*_ring_rows(scene), *_obstacle_rows(scene)):
        writer.writerow(row)
    return out.getvalue()


def _ring_rows(scene: Scene) -> Iterator[tuple[str, ...]]:
    ring = scene.course.ring
    for i, corner in enumerate(ring.outline, 1):
        yield ("ring", "corner", "", str(i), *_coordinates(corner), "")
    for name, gate in (("entrance", ring.entrance), ("exit", ring.exit)):
        for i, end in enumerate(gate or (), 1):
            yield ("ring", name, "", str(i), *_coordinates(end), "")


def _obstacle_rows(scene: Scene) -> Iterator[tuple[str, ...]]:
    for name, shape in scene.shapes.items():
        numbers = " ".join(map(str, scene.numbers(name)))
        written = str(safe_cell(name))
        bearing = f"{shape.obstacle.bearing_deg:g}"
        yield (shape.kind.name, written, numbers, "middle", *_coordinates(shape.centre), bearing)
        for mark, point in shape.marks:
            yield (shape.kind.name, written, numbers, mark, *_coordinates(point), bearing)


def _coordinates(point: Point) -> tuple[str, str]:
    """To the millimetre, never minus zero."""
    x, y = (f"{round(value, 3) + 0.0:.3f}" for value in point)
    return x, y

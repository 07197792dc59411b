"""What the words of a plan keep off: the ground that obstacles cover, and every line that is drawn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from coursecheck.equipment.outlines import blocked_ground
from coursecheck.geometry.frames import Point
from coursecheck.geometry.segments import outline
from coursecheck.measures.scene import Scene
from coursecheck.reports.labels import settle
from coursecheck.reports.lettering import Lettering, start_and_finish
from coursecheck.reports.svg import Sheet

__all__ = ["places_of"]


def places_of(
    lettered: Sequence[Lettering],
    scene: Scene,
    sheet: Sheet,
    *,
    line: bool,
    others: Iterable[BaseGeometry] = (),
    taken: Sequence[BaseGeometry] = (),
    paper: BaseGeometry,
) -> list[Point]:
    """A place on the sheet for every word, beside what is drawn.

    Args:
        lettered: the words, the most important first.
        scene: the plan that is drawn.
        sheet: where it lies.
        line: whether the dog's line is drawn.
        others: more lines that are drawn, in metres.
        taken: boxes of words that have their place already, in millimetres of the sheet.
        paper: where words may stand, in millimetres of the sheet.
    """
    return settle(
        [letter.label for letter in lettered],
        ground=_on_sheet(shapely.union_all(list(_ground(scene))), sheet),
        lines=_on_sheet(shapely.union_all([*_lines(scene, line=line), *others]), sheet),
        taken=taken,
        paper=paper,
    )


def _on_sheet(geometry: BaseGeometry, sheet: Sheet) -> BaseGeometry:
    """The same geometry in millimetres of the sheet."""
    mm, (dx, dy) = sheet.mm_per_m, sheet.at((0.0, 0.0))
    return affine_transform(geometry, [mm, 0.0, 0.0, -mm, dx, dy])


def _ground(scene: Scene) -> Iterator[BaseGeometry]:
    yield from (shape.footprint for shape in scene.shapes.values())
    yield from (blocked_ground(place) for place in scene.course.ring.blocked)


def _lines(scene: Scene, *, line: bool) -> Iterator[BaseGeometry]:
    """The ring's edge, the start and the finish line, and the dog's line where it is drawn."""
    yield scene.ring.exterior
    yield from (shapely.LineString(ends) for _, ends in start_and_finish(scene))
    if line:
        pieces = [run.segments for run in scene.line.passes]
        pieces += [leg.segments for leg in scene.line.legs if leg.segments]
        yield from (shapely.LineString(outline(segments, 1e-2)) for segments in pieces)

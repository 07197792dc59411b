"""What has sides and what is solid: the edge of the ring, walls, obstacles, blocked places."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from shapely import MultiLineString, Polygon, bounds, get_coordinates, linestrings, multilinestrings

from coursecheck.geometry.frames import Point
from coursecheck.measures.tracks import Geometries, geometries

__all__ = ["Rim", "Solid", "boxes_round"]


@dataclass(frozen=True, eq=False)
class Rim:
    """Sides of the ring or of something solid, which may be none.

    Attributes:
        sides: their ends.
    """

    sides: tuple[tuple[Point, Point], ...]

    @cached_property
    def each(self) -> Geometries:
        """Each side as a geometry."""
        return np.asarray(linestrings(np.array(self.sides).reshape(-1, 2, 2)))

    @cached_property
    def lines(self) -> MultiLineString:
        """All of them as one."""
        whole: MultiLineString = np.asarray(multilinestrings(self.each)).item()
        return whole

    @cached_property
    def disc(self) -> tuple[float, float, float]:
        """A disc that holds all sides: x and y of its centre and its radius."""
        xs, ys = zip(*itertools.chain.from_iterable(self.sides), strict=True)
        low, high = (min(xs), min(ys)), (max(xs), max(ys))
        return (low[0] + high[0]) / 2, (low[1] + high[1]) / 2, math.dist(low, high) / 2


@dataclass(frozen=True, eq=False)
class Solid:
    """Something that a dog cannot run through; itself, since it is kept, a key of the memo.

    Attributes:
        name: the obstacle's id, or the name of a blocked place.
        parts: the ground of its solid parts.
        obstacle: whether it is an obstacle; else a blocked place.
    """

    name: str
    parts: tuple[Polygon, ...]
    obstacle: bool

    @cached_property
    def rims(self) -> tuple[Rim, ...]:
        """The sides of each part."""
        outlines = [get_coordinates(part).tolist() for part in self.parts]
        return tuple(Rim(tuple(itertools.pairwise((x, y) for x, y in outline))) for outline in outlines)


def boxes_round(groups: Sequence[Sequence[Polygon]]) -> list[list[float]]:
    """The box round each group of parts, none of them empty: left, bottom, right, top."""
    boxes = bounds(geometries(part for parts in groups for part in parts))
    starts = np.cumsum([0, *(len(parts) for parts in groups[:-1])])
    low, high = np.minimum.reduceat(boxes[:, :2], starts), np.maximum.reduceat(boxes[:, 2:], starts)
    listed: list[list[float]] = np.concatenate([low, high], axis=1).tolist()
    return listed

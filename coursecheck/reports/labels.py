"""Where the words of a drawing go: beside what they belong to, and not on top of anything else."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from coursecheck.geometry.frames import Point

__all__ = ["Label", "around", "settle", "width_mm"]

# What a square millimetre or a millimetre of overlap costs, against a millimetre of distance.
ON_LABEL, ON_GROUND, ON_LINE, OFF_PAPER, AWAY = 40.0, 12.0, 4.0, 60.0, 0.6
GAP_MM = 0.35
ROUNDS = 3


@dataclass(frozen=True, slots=True)
class Label:
    """Words that want a place.

    Attributes:
        anchor: what they belong to, in millimetres.
        size: width and height in millimetres.
        places: the centres that they may have, the best loved first among equals.
    """

    anchor: Point
    size: tuple[float, float]
    places: tuple[Point, ...]


def width_mm(words: str, height_mm: float) -> float:
    """A safe width of upright sans-serif words whose letters are `height_mm` high from line to line."""
    return 0.62 * height_mm * len(words)


def around(anchor: Point, distances_mm: Sequence[float], directions: int = 16) -> tuple[Point, ...]:
    """Places all around a point."""
    angles = [2 * math.pi * i / directions for i in range(directions)]
    return tuple(
        (anchor[0] + reach * math.cos(angle), anchor[1] + reach * math.sin(angle))
        for reach in distances_mm
        for angle in angles
    )


def settle(
    labels: Sequence[Label],
    *,
    ground: BaseGeometry,
    lines: BaseGeometry,
    taken: Sequence[BaseGeometry],
    paper: BaseGeometry,
) -> list[Point]:
    """Chooses a place for each label: greedily in the order given, then each again among all the others.

    Args:
        labels: the most important first.
        ground: what is drawn as an area: obstacles, blocked places.
        lines: what is drawn as a line: the dog's line, the ring.
        taken: boxes of words that have their place already.
        paper: where words may stand.

    Returns:
        The centre of each label, in millimetres.
    """
    boxes = [_boxes(label) for label in labels]
    shapely.prepare(paper)
    own = [_own_cost(*each, ground, lines, [*taken], paper) for each in zip(labels, boxes, strict=True)]
    chosen: list[int | None] = [None] * len(labels)
    for _ in range(ROUNDS):
        for i, box in enumerate(boxes):
            others = [boxes[j][k] for j, k in enumerate(chosen) if k is not None and j != i]
            cost = own[i] + ON_LABEL * _shared(box, np.array(others).reshape(-1, 4))
            chosen[i] = int(np.argmin(np.round(cost, 6)))
    return [label.places[k] for label, k in zip(labels, chosen, strict=True) if k is not None]


def _boxes(label: Label) -> np.ndarray:
    """The box of the label at each of its places, with a little room around: left, top, right, bottom."""
    half = np.array(label.size) / 2 + GAP_MM
    places = np.array(label.places)
    return np.hstack([places - half, places + half])


def _shared(boxes: np.ndarray, others: np.ndarray) -> np.ndarray:
    """How much of each box the others cover, those that cover the same counted each."""
    left, top, right, bottom = (side[:, None] for side in boxes.T)
    wide = np.minimum(right, others[:, 2]) - np.maximum(left, others[:, 0])
    high = np.minimum(bottom, others[:, 3]) - np.maximum(top, others[:, 1])
    return np.asarray(np.sum(np.maximum(wide, 0.0) * np.maximum(high, 0.0), axis=1))


def _own_cost(
    label: Label,
    places: np.ndarray,
    ground: BaseGeometry,
    lines: BaseGeometry,
    taken: list[BaseGeometry],
    paper: BaseGeometry,
) -> np.ndarray:
    """What each place costs, the other labels left aside."""
    boxes = shapely.box(*places.T)
    near = shapely.box(*places[:, :2].min(axis=0), *places[:, 2:].max(axis=0))
    ground, lines = (shapely.intersection(drawn, near) for drawn in (ground, lines))
    distance = np.hypot(*(np.array(label.places) - np.array(label.anchor)).T)
    covered = _common(boxes, ground, shapely.area)
    crossed = _common(boxes, lines, shapely.length)
    beyond = ~shapely.covers(paper, boxes)
    outside = np.zeros(len(boxes))
    outside[beyond] = shapely.area(shapely.difference(boxes[beyond], paper))
    words = np.sum([_common(boxes, other, shapely.area) for other in taken if other.intersects(near)], axis=0)
    return np.asarray(
        AWAY * distance + ON_GROUND * covered + ON_LINE * crossed + ON_LABEL * words + OFF_PAPER * outside
    )


def _common(boxes: np.ndarray, drawn: BaseGeometry, measure: Callable[[np.ndarray], np.ndarray]) -> np.ndarray:
    """The area or the length that each box has in common with something drawn."""
    shapely.prepare(drawn)
    meets = shapely.intersects(drawn, boxes)
    common = np.zeros(len(boxes))
    common[meets] = measure(shapely.intersection(boxes[meets], drawn))
    return common

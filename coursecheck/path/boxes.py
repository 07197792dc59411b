"""Boxes along the axes, in metres."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.words import Floats

__all__ = ["Bounds", "around", "meeting"]

Bounds = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y."""


def around(boxes: Iterable[Bounds]) -> Bounds:
    """The box that holds some boxes."""
    low_x, low_y, high_x, high_y = zip(*boxes, strict=True)
    return min(low_x), min(low_y), max(high_x), max(high_y)


def meeting(boxes: Floats, others: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Which boxes (n, 4) meet which others, given in columns (4, m): the indices of both, in order."""
    low_x, low_y, high_x, high_y = boxes.T[..., None]
    from_x, from_y, to_x, to_y = others
    meets = from_x <= high_x
    meets &= to_x >= low_x
    meets &= from_y <= high_y
    meets &= to_y >= low_y
    at, other = np.divmod(meets.ravel().nonzero()[0], max(len(from_x), 1))
    return at, other

"""Where curves first come too near to what stands in the way: looked for by boxes, measured exactly.

Few curves are looked at together, and few edges come near them: what is done for each is done with single numbers.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate, chain, pairwise

import numpy as np
import shapely

from coursecheck.path.boxes import Bounds, around, meeting
from coursecheck.path.clearance import Piece, box_of, distance, piece_from
from coursecheck.path.curves import Pieces, Place
from coursecheck.path.parts import Part, Standing
from coursecheck.path.words import Floats

__all__ = ["Edges"]

END_M = 1e-7  # a leg begins on the edge of the tunnel that it leaves
START_M = 1e-6  # more than that, round a start
CROSSING_M = 1e-9


class Edges:
    """The edges of all parts.

    Args:
        standing: what stands in the way.
        parts: all of its parts in turn.
        boxes: the boxes of the parts, shape (4, n).
    """

    def __init__(self, standing: Sequence[Standing], parts: Sequence[Part], boxes: Floats) -> None:
        self._parts, self._part_boxes = parts, boxes
        nothing = np.zeros((4, 0))
        self._edges = np.concatenate([nothing, *(one.edges for one in standing)], axis=1)
        self._boxes = np.concatenate([nothing, *(one.edge_boxes for one in standing)], axis=1)
        self._firsts = list(accumulate((part.edges for part in parts), initial=0))

    def first_contacts(
        self, starts: Sequence[Place], curves: Sequence[Pieces], clearance_m: float, zone_m: float
    ) -> tuple[dict[int, tuple[int, int]], list[Bounds]]:
        """The first contact of every curve that has one, by its index: the indices of its piece and of the part.

        A curve that begins within a part meets that part. Also of every curve the box outside which nothing can come
        too near to it.

        Args:
            starts: where the curves begin.
            curves: their pieces.
            clearance_m: kept from solid parts along the middle of a curve; elsewhere nothing may be crossed.
            zone_m: how far along the curve its two ends reach.
        """
        laid = [_laid(start, pieces) for start, pieces in zip(starts, curves, strict=True)]
        margin_m = max(clearance_m, START_M)
        boxes = [[box_of(piece, margin_m) for piece in row] for row in laid]
        places = [(k, number) for k, row in enumerate(laid) for number in range(len(row))]
        near: dict[int, dict[int, list[int]]] = {}
        at, edges = meeting(np.array(list(chain.from_iterable(boxes))), self._boxes)
        for place, edge in zip(at.tolist(), edges.tolist(), strict=True):
            k, number = places[place]
            near.setdefault(k, {}).setdefault(number, []).append(edge)
        found = {k: (0, part) for k, part in self._begun_within(starts)}
        for k in near.keys() - found.keys():
            contact = self._first_of(laid[k], near[k], clearance_m, zone_m)
            if contact is not None:
                found[k] = contact
        return found, [around(row) for row in boxes]

    def _begun_within(self, starts: Sequence[Place]) -> Iterator[tuple[int, int]]:
        """The curves that begin within a part, as seen a little ahead, each with the first such part."""
        round_starts = [(x - START_M, y - START_M, x + START_M, y + START_M) for x, y, _ in starts]
        at, near = meeting(np.array(round_starts), self._part_boxes)
        # Backwards, so that of several parts the first one is what is left.
        for k, part in sorted(zip(at.tolist(), near.tolist(), strict=True), reverse=True):
            x, y, heading = starts[k]
            ahead = x + END_M * math.cos(heading), y + END_M * math.sin(heading)
            if self._parts[part].filled and shapely.intersects_xy(self._parts[part].shape, *ahead):
                yield k, part

    def _first_of(
        self, pieces: Sequence[Piece], near: Mapping[int, Sequence[int]], clearance_m: float, zone_m: float
    ) -> tuple[int, int] | None:
        """The first of some pieces in a row that comes too near to the edges near it, and the part it meets there.

        They are cut where the end zones end; a curve that is shorter than both zones together has no middle.
        """
        total_m = sum(piece.length_m for piece in pieces)
        cut_m = total_m - END_M if total_m <= 2 * zone_m else zone_m
        marks = END_M, cut_m, max(total_m - zone_m, cut_m), total_m - END_M
        begin_m = 0.0
        for number, (start, length_m, curvature, _) in enumerate(pieces):
            for (mark, next_mark), middle in zip(pairwise(marks), (False, True, False), strict=True):
                low, high = max(mark - begin_m, 0.0), min(next_mark - begin_m, length_m)
                if number in near and low < high:
                    stretch = piece_from(piece_from(start, low, curvature).end, high - low, curvature)
                    part = self._met(stretch, near[number], clearance_m if middle else CROSSING_M)
                    if part is not None:
                        return number, part
            begin_m += length_m
        return None

    def _met(self, stretch: Piece, edges: Sequence[int], clearance_m: float) -> int | None:
        """The part of that edge which a stretch comes too near to most; None where it does not."""
        low_x, low_y, high_x, high_y = box_of(stretch, clearance_m)
        nearest: tuple[float, int] | None = None
        for edge in edges:
            from_x, from_y, to_x, to_y = self._edges[:, edge].tolist()
            if not (
                min(from_x, to_x) <= high_x
                and max(from_x, to_x) >= low_x
                and min(from_y, to_y) <= high_y
                and max(from_y, to_y) >= low_y
            ):
                continue
            part = bisect_right(self._firsts, edge) - 1
            kept_m = clearance_m if self._parts[part].solid else CROSSING_M
            room_m = distance(stretch, (from_x, from_y), (to_x, to_y)) - kept_m
            if room_m < 0.0 and (nearest is None or room_m < nearest[0]):
                nearest = room_m, part
        return nearest[1] if nearest else None


def _laid(start: Place, pieces: Pieces) -> list[Piece]:
    """Pieces in a row from a start."""
    laid: list[Piece] = []
    for length_m, curvature in pieces:
        laid.append(piece_from(start, length_m, curvature))
        start = laid[-1].end
    return laid

"""The nodes of a chain as flights: which of their states keep clear of what stands near them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from coursecheck.language import both, say
from coursecheck.path.boxes import Bounds
from coursecheck.path.curves import Curve
from coursecheck.path.nodes import Nodes
from coursecheck.path.obstruction import Obstruction
from coursecheck.path.parts import EDGE
from coursecheck.path.states import Node
from coursecheck.path.stretches import Stretch
from coursecheck.path.words import Floats

__all__ = ["BLOCKED_M", "SHARES", "Flights"]

BLOCKED_M = 1e6  # the cost of what is not feasible: more than any course, so that as little as can be remains
SHARES = (0.75, 0.5, 0.25)  # of the flight's full length, where there is no room for it


class Flights:
    """The nodes of a chain and what is asked of their flights.

    Attributes:
        nodes: the nodes, some of them with shorter flights than they came with.
        table: the nodes as arrays.
        cramped: those that cannot help hitting something.
        boxes: of each flight that was looked at, a box that holds all of its states, with their clearance.
    """

    def __init__(self, nodes: Sequence[Node], owners: Sequence[str], obstruction: Obstruction) -> None:
        self.nodes = list(nodes)
        self.table = Nodes(nodes)
        self.cramped: set[int] = set()
        self.boxes: dict[int, Bounds] = {}
        self._owners = owners
        self._obstruction = obstruction
        self._near: dict[int, list[int]] = {}
        self._need = [0] * len(nodes)  # what is asked of a flight: 2 clearance, 1 no crossing, 0 nothing

    def replace(self, changed: Mapping[int, Node]) -> None:
        """Puts other nodes in the place of some."""
        for k, node in changed.items():
            if node is not self.nodes[k]:
                self.nodes[k] = node
                self.table.replace(k, node)

    def is_flight(self, k: int) -> bool:
        """Whether a node is one that is flown over."""
        return self.nodes[k].half_opening_m > 0.0

    def begin(self, numbers: Iterable[int]) -> None:
        """Looks at what stands near the flights of some nodes, and shortens those at the ends of the course.

        There the flight is no longer than there is room for: nothing is measured there.
        """
        flights = [k for k in numbers if self.is_flight(k)]
        boxes = [_flight_box(self.nodes[k], self._obstruction.clearance_m) for k in flights]
        near = self._obstruction.near_flights([self._owners[k] for k in flights], boxes)
        self.boxes |= zip(flights, boxes, strict=True)
        self._near |= zip(flights, near, strict=True)
        for k, end in ((0, "before_m"), (len(self.nodes) - 1, "after_m")):
            if k in flights:
                self._fit_end(k, end)

    def _fit_end(self, k: int, end: str) -> None:
        whole = self.nodes[k]
        self._need[k] = 2
        for share in (1.0, *SHARES, 0.0, 1.0):
            self.replace({k: replace(whole, **{end: share * getattr(whole, end)}) if share < 1.0 else whole})
            clear = self.clear({k: self.table.poses(k, _straight(whole))})
            if all(states.all() for states in clear.values()):
                break

    def ask(self, grids: Mapping[int, Floats]) -> None:
        """Finds out how much can be asked of each flight: the clearance, or not to cross anything, or nothing."""
        self.cramped -= grids.keys()
        flights = [k for k in grids if self.is_flight(k)]
        found = self._looked({k: self.table.poses(k, grids[k]) for k in flights if self._near.get(k)})
        for k in flights:
            keeps, passes = found.get(k, ([True], [True]))
            self._need[k] = 2 if any(keeps) else 1 if any(passes) else 0
            if not self._need[k]:
                self.cramped.add(k)

    def clear(self, poses: Mapping[int, tuple[Floats, Floats]]) -> dict[int, NDArray[np.bool_]]:
        """Which states of nodes, by their entries and exits, fly clear of all else, as far as that can be asked.

        Nodes of which nothing is asked, or near which nothing stands, are left out.
        """
        found = self._looked({k: ends for k, ends in poses.items() if self._need[k]})
        return {k: keeps if self._need[k] == 2 else passes for k, (keeps, passes) in found.items()}

    def _looked(
        self, poses: Mapping[int, tuple[Floats, Floats]]
    ) -> dict[int, tuple[NDArray[np.bool_], NDArray[np.bool_]]]:
        """Which states of those nodes near which something stands keep the clearance, and which cross nothing."""
        numbers = [k for k in poses if self._near.get(k)]
        if not numbers:
            return {}
        near, entries, exits = [self._near[k] for k in numbers], *zip(*(poses[k] for k in numbers), strict=True)
        return dict(zip(numbers, self._obstruction.clear_flights(near, entries, exits), strict=True))

    def total_m(self, stretch: Stretch, states: Floats, curves: Sequence[Curve | None]) -> float:
        """What is to be made as small as can be: what the states of a stretch cost, and its legs."""
        own = self.table.own_costs(slice(stretch.first, stretch.last + 1), states)
        return float(own.sum()) + sum(curve.length_m for curve in curves if curve is not None)

    def no_room(self, k: int) -> str:
        """Says why there is no room for a flight."""
        near = sorted({self._obstruction.parts[i].owner for i in self._near[k]}) or [EDGE]
        listed = both([say(owner) if owner == EDGE else owner for owner in near])
        return say("no room to fly over {name} clear of {what}", name=self._owners[k], what=listed)


def _flight_box(node: Node, clearance_m: float) -> Bounds:
    through_m = node.depth_m / max(math.cos(node.cone_rad), 1e-9)
    reach = node.half_width_m + max(node.before_m, node.after_m) + through_m + clearance_m
    (x0, y0), (x1, y1) = node.entry.point, node.exit.point
    return min(x0, x1) - reach, min(y0, y1) - reach, max(x0, x1) + reach, max(y0, y1) + reach


def _straight(node: Node) -> Floats:
    """The state nearest to the middle and straight ahead."""
    offsets: Iterable[float] = (min(max(0.0, low), high) for low, high in node.bands)
    return np.array([[min(offsets, key=abs), 0.0]])

"""The nodes of a chain as flights: which of their states keep clear of what stands near them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from coursecheck.language import both, say
from coursecheck.path.nodes import Nodes
from coursecheck.path.obstruction import Bounds, Obstruction
from coursecheck.path.parts import EDGE, Part
from coursecheck.path.states import Node
from coursecheck.path.words import Floats

__all__ = ["BLOCKED_M", "SHARES", "Flights"]

BLOCKED_M = 1e6  # the cost of what is not feasible: more than any course, so that as little as can be remains
SHARES = (0.75, 0.5, 0.25)  # of the flight's full length, where there is no room for it


class Flights:
    """The nodes of a chain and what is asked of their flights.

    Attributes:
        nodes: the nodes, some of them with shorter flights than they came with.
        cramped: those that cannot help hitting something.
    """

    def __init__(self, nodes: Sequence[Node], owners: Sequence[str], obstruction: Obstruction) -> None:
        self.nodes = list(nodes)
        self.cramped: set[int] = set()
        self._owners = owners
        self._obstruction = obstruction
        self._boxes = [_flight_box(node, obstruction.clearance_m) for node in nodes]
        self._near: dict[int, list[Part]] = {}
        self._need = [0] * len(nodes)  # what is asked of a flight: 2 clearance, 1 no crossing, 0 nothing
        self._table: Nodes | None = None

    @property
    def table(self) -> Nodes:
        """The nodes as arrays."""
        if self._table is None:
            self._table = Nodes(self.nodes)
        return self._table

    def replace(self, changed: Mapping[int, Node]) -> None:
        """Puts other nodes in the place of some."""
        for k, node in changed.items():
            self.nodes[k] = node
        self._table = None

    def is_flight(self, k: int) -> bool:
        """Whether a node is one that is flown over."""
        return self.nodes[k].half_opening_m > 0.0

    def box(self, k: int) -> Bounds:
        """A box that holds all flights over a node, with their clearance."""
        return self._boxes[k]

    def fit_ends(self) -> None:
        """At both ends of the course the flight is no longer than there is room for: nothing is measured there."""
        for k, end in ((0, "before_m"), (len(self.nodes) - 1, "after_m")):
            if not self.is_flight(k):
                continue
            whole = self.nodes[k]
            self._need[k] = 2
            for share in (1.0, *SHARES, 0.0, 1.0):
                self.replace({k: replace(whole, **{end: share * getattr(whole, end)})})
                if self.clear(k, _straight(whole))[0]:
                    break

    def ask(self, grids: Mapping[int, Floats]) -> None:
        """Finds out how much can be asked of each flight: the clearance, or not to cross anything, or nothing."""
        self.cramped -= grids.keys()
        for k, grid in grids.items():
            if self.is_flight(k):
                self._need[k] = 2
                while self._need[k] and not self.clear(k, grid).any():
                    self._need[k] -= 1
                if not self._need[k]:
                    self.cramped.add(k)

    def clear(self, k: int, states: Floats) -> NDArray[np.bool_]:
        """Which states of a node fly clear of everything else, as far as that can be asked."""
        if not self._need[k] or not self._parts_near(k):
            return np.ones(len(states), dtype=bool)
        entries, exits = self.table.poses(np.full(len(states), k), states)
        keeps, passes = self._obstruction.clear_flights(self._parts_near(k), entries, exits)
        return keeps if self._need[k] == 2 else passes

    def barred(self, k: int, states: Floats, costs: Floats) -> Floats:
        """What states cost, those that do not fly clear of everything else set out of reach."""
        if not self._need[k] or not self._parts_near(k):
            return costs
        return np.where(self.clear(k, states), costs, BLOCKED_M)

    def no_room(self, k: int) -> str:
        """Says why there is no room for a flight."""
        near = sorted({part.owner for part in self._parts_near(k)}) or [EDGE]
        listed = both([say(owner) if owner == EDGE else owner for owner in near])
        return say("no room to fly over {name} clear of {what}", name=self._owners[k], what=listed)

    def _parts_near(self, k: int) -> list[Part]:
        """What stands near the flights of a node."""
        if not self.is_flight(k):
            return []
        if k not in self._near:
            self._near[k] = self._obstruction.near_flights(self._owners[k], self._boxes[k])
        return self._near[k]


def _flight_box(node: Node, clearance_m: float) -> Bounds:
    through_m = node.depth_m / max(math.cos(node.cone_rad), 1e-9)
    reach = node.half_width_m + node.before_m + node.after_m + through_m + clearance_m
    (x0, y0), (x1, y1) = node.entry.point, node.exit.point
    return min(x0, x1) - reach, min(y0, y1) - reach, max(x0, x1) + reach, max(y0, y1) + reach


def _straight(node: Node) -> Floats:
    """The state nearest to the middle and straight ahead."""
    offsets: Iterable[float] = (min(max(0.0, low), high) for low, high in node.bands)
    return np.array([[min(offsets, key=abs), 0.0]])

"""Newton's method on the states of a chain whose curves keep their form.

The gradient is exact. When the first circle of a curve moves by d, its length changes by -u.d, u being the direction
of its first straight; turning the start pose moves that circle and shortens the arc on it. The centres of wraps are
at their best already, so to first order they do not count. Second derivatives are differences of exact gradients.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.banded import BAND, downhill
from coursecheck.path.curves import Curve
from coursecheck.path.detour import ENDS, Route
from coursecheck.path.legs import Leg
from coursecheck.path.nodes import Index, Nodes
from coursecheck.path.states import Node
from coursecheck.path.words import SIDES, Floats, solve

__all__ = ["newton"]

ITERATIONS = 15
STEP = 1e-6  # of the differences, metres or radians
SHORTER_STEPS = 4
JUMP_M = 0.1
STILL = 1e-11


class Chosen(Protocol):
    """A chain that has been chosen."""

    @property
    def states(self) -> Floats: ...
    @property
    def curves(self) -> tuple[Curve | None, ...]: ...


def newton(
    nodes: Sequence[Node], table: Nodes, legs: Sequence[Leg | None], chosen: Chosen, held: set[int]
) -> tuple[Floats, set[int]]:
    """States for which the chain is shortest while each leg keeps its route, or runs directly where it has none.

    The length of a leg jumps where two circles come so close that no straight fits between them any more. The method
    does not step across: it holds the nodes of such a leg where they are.

    Args:
        nodes: the nodes of the chain.
        table: the same as arrays.
        legs: the legs between them.
        chosen: where to begin.
        held: nodes to be left where they are.

    Returns:
        The states, and the nodes that were held in the end.
    """
    model = _Model(nodes, table, legs, [None if c is None else c.route for c in chosen.curves])
    states, held = model.scaled(chosen.states), set(held)
    lengths, value, gradient, hessian = model.derivatives(states)
    for _iteration in range(ITERATIONS):
        free = model.movable(states, gradient)
        free[sorted(held)] = False
        if not free.any() or np.abs(gradient[free]).max() < STILL:
            break
        step = downhill(gradient.ravel(), hessian, free.ravel()).reshape(states.shape)
        moved = model.clip(states + step)
        longer = model.lengths(moved)
        jumps = model.jumps(lengths, longer, states, moved)
        if jumps:
            held |= {k + side for k in jumps for side in (0, 1)}
            continue
        for _shorter in range(SHORTER_STEPS):
            if model.value(moved, longer) < value + 1e-13 * max(1.0, value):
                break
            step = step / 8
            moved = model.clip(states + step)
            longer = model.lengths(moved)
        else:
            break
        still = np.abs(moved - states).max() < STILL
        states = moved
        if still:
            break
        lengths, value, gradient, hessian = model.derivatives(states)
    return model.unscaled(states), held


class _Model:
    """The length of the chain as a function of its states.

    At a node whose solid sides limit the direction, and the more so the further out it is crossed, the direction is
    counted in shares of what is allowed at the offset, -1 to 1: so every variable has fixed bounds.
    """

    def __init__(
        self, nodes: Sequence[Node], table: Nodes, legs: Sequence[Leg | None], routes: Sequence[Route | None]
    ) -> None:
        self._nodes, self._table = nodes, table
        reach = [np.inf if n.free else 1.0 if n.narrow else n.cone_rad for n in nodes]
        self._low = np.array([[n.bands[0][0], -most] for n, most in zip(nodes, reach, strict=True)])
        self._high = np.array([[n.bands[-1][1], most] for n, most in zip(nodes, reach, strict=True)])
        ways = [(k, leg, route) for k, (leg, route) in enumerate(zip(legs, routes, strict=True)) if leg is not None]
        self._runs = np.array([k for k, _, _ in ways], dtype=int)
        self._ways, self._routes = [leg for _, leg, _ in ways], [route for _, _, route in ways]
        self._banded = [k for k, n in enumerate(nodes) if len(n.bands) > 1]
        self._all = np.arange(len(nodes))
        self._radius = self._ways[0].radius_m if ways else 1.0

    def clip(self, states: Floats) -> Floats:
        """States brought back into what the nodes allow."""
        states = np.clip(states, self._low, self._high)
        for k in self._banded:
            states[k, 0] = np.clip(states[k, 0], *self._nodes[k].band_of(float(states[k, 0])))
        return states

    def scaled(self, states: Floats) -> Floats:
        """States with the directions of narrow nodes as shares."""
        middle, half = self._table.limits(self._all, states[:, 0])
        shares = (states[:, 1] - middle) / np.maximum(half, 1e-12)
        narrow = self._table.narrow
        return np.column_stack((states[:, 0], np.where(narrow, np.clip(shares, -1.0, 1.0), states[:, 1])))

    def unscaled(self, states: Floats) -> Floats:
        """The reverse of `scaled`."""
        return self._unscaled_at(self._all, states)

    def _unscaled_at(self, index: Index, states: Floats) -> Floats:
        """The same for variants (..., m, 2) of the nodes `index` (m)."""
        middle, half = self._table.limits(index, states[..., 0])
        states = states.copy()
        states[..., 1] = middle + half * states[..., 1]
        return states

    def _slants(self, index: Index, states: Floats) -> tuple[Floats, Floats]:
        """How the directions of nodes go with their offsets and with their shares, at variants (..., m, 2)."""
        (m1, h1), (m0, h0) = (self._table.limits(index, states[..., 0] + side * STEP) for side in (1, -1))
        return ((m1 - m0) + (h1 - h0) * states[..., 1]) / (2 * STEP), (h1 + h0) / 2

    def movable(self, states: Floats, gradient: Floats) -> NDArray[np.bool_]:
        """Which variables are not held at a bound by the gradient."""
        low, high = self._low.copy(), self._high.copy()
        for k in self._banded:
            low[k, 0], high[k, 0] = self._nodes[k].band_of(float(states[k, 0]))
        held = ((states <= low) & (gradient > 0.0)) | ((states >= high) & (gradient < 0.0)) | (low == high)
        return np.asarray(~held)

    def value(self, states: Floats, lengths: Floats) -> float:
        """The length of the chain in metres, from those of its legs."""
        return float(lengths.sum() + self._table.own(self.unscaled(states))[0].sum())

    def jumps(self, before: Floats, after: Floats, states: Floats, moved: Floats) -> list[int]:
        """The legs that get longer by far more than their ends move."""
        way = np.abs(moved - states).sum(axis=1) * (1.0 + self._radius)
        return [int(k) for k in self._runs[after - before > JUMP_M + 4 * (way[self._runs] + way[self._runs + 1])]]

    def lengths(self, states: Floats) -> Floats:
        """The lengths of all legs."""
        plain = self.unscaled(states)
        _, leave = self._table.poses(self._runs, plain[self._runs])
        come, _ = self._table.poses(self._runs + 1, plain[self._runs + 1])
        return np.asarray(self._curves(leave[None], come[None])[0][0])

    def derivatives(self, states: Floats) -> tuple[Floats, float, Floats, Floats]:
        """Lengths of the legs, length of the chain, gradient (n, 2) and second derivatives as `downhill` has them."""
        runs, shifts = self._runs, np.vstack((np.zeros(4), STEP * np.eye(4)))[:, None]
        lengths, slopes = self._legs_at(states[runs] + shifts[..., :2], states[runs + 1] + shifts[..., 2:])
        gradient, band = np.zeros(states.shape), np.zeros((BAND + 1, states.size))
        gradient[runs + 1] += slopes[0, :, 2:]
        gradient[runs] += slopes[0, :, :2]
        blocks = (slopes[1:] - slopes[0]) / STEP
        for row in (2, 3, 0, 1):
            for column in range(row + 1):
                both = blocks[row, :, column] + blocks[column, :, row]
                band[row - column, 2 * runs + row] += both / 2
        cost, own, seconds = self._table.own(self.unscaled(states))
        by_offset, by_share = self._slants(self._all, states)
        gradient[:, 0] += own[:, 0] + own[:, 1] * by_offset
        gradient[:, 1] += own[:, 1] * by_share
        band[0, ::2] += seconds[:, 0] + seconds[:, 1] * by_offset**2
        band[0, 1::2] += seconds[:, 1] * by_share**2
        band[1, 1::2] += seconds[:, 1] * by_offset * by_share
        return lengths[0], float(lengths[0].sum() + cost.sum()), gradient, band

    def _legs_at(self, left: Floats, right: Floats) -> tuple[Floats, Floats]:
        """Lengths (v, legs) and their slopes (v, legs, 4) by the two states of each leg, shapes (v, legs, 2)."""
        plain_left, plain_right = self._unscaled_at(self._runs, left), self._unscaled_at(self._runs + 1, right)
        _, leave = self._table.poses(self._runs, plain_left)
        come, _ = self._table.poses(self._runs + 1, plain_right)
        lengths, start_pull, end_pull, start_side, end_side = self._curves(leave, come)
        by_leave = _by_pose(leave[..., 2], start_pull, start_side * self._radius, -1.0)
        by_come = _by_pose(come[..., 2], end_pull, end_side * self._radius, 1.0)
        slopes = np.concatenate(
            (
                self._table.slopes(self._runs, plain_left, by_leave, leaving=True),
                self._table.slopes(self._runs + 1, plain_right, by_come, leaving=False),
            ),
            axis=-1,
        )
        for index, states, first in ((self._runs, left, 0), (self._runs + 1, right, 2)):
            by_offset, by_share = self._slants(index, states)
            slopes[..., first] += slopes[..., first + 1] * by_offset
            slopes[..., first + 1] *= by_share
        return lengths, slopes

    def _curves(self, leave: Floats, come: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Length, the pulls at both ends and the sides of the first and last arc, of each leg's shortest curve."""
        words = solve(leave, come, self._radius)
        lengths = words.lengths_m
        for at, leg in enumerate(self._ways):
            if leg.turn is not None:
                lengths[..., at] = leg.allowed(lengths[..., at], words.turns_rad[..., at])
        row = lengths.argmin(axis=0)[None]
        pull = np.stack([np.take_along_axis(part, row, axis=0)[0] for part in words.pull()], axis=-1)
        chosen = np.take_along_axis(lengths, row, axis=0)[0]
        sides = SIDES[row[0]]
        start_pull, end_pull = pull, pull.copy()
        start_side, end_side = sides[..., 0].copy(), sides[..., 2].copy()
        for at, (leg, route) in enumerate(zip(self._ways, self._routes, strict=True)):
            if route is None:
                continue
            curves = leg.solve_route(route, leave[:, at], come[:, at])
            allowed = leg.allowed(curves.lengths_m, curves.turns_rad)
            best = allowed.argmin(axis=0)
            pick = np.arange(len(best))
            chosen[:, at] = allowed[best, pick]
            first, last = curves.headings[0, best, pick], curves.headings[-1, best, pick]
            start_pull[:, at] = np.column_stack((np.cos(first), np.sin(first)))
            end_pull[:, at] = np.column_stack((np.cos(last), np.sin(last)))
            start_side[:, at], end_side[:, at] = np.array(ENDS)[best].T
        return chosen, start_pull, end_pull, start_side, end_side


def _by_pose(heading: Floats, pull: Floats, arc: Floats, sign: float) -> Floats:
    """The slope of a length by x, y and heading of the pose at its start (sign -1) or end (sign 1).

    Args:
        heading: of the pose.
        pull: direction of the straight next to it, shape (..., 2).
        arc: radius of the arc at the pose, positive to the left.
        sign: which end.
    """
    along = pull[..., 0] * np.cos(heading) + pull[..., 1] * np.sin(heading)
    return sign * np.concatenate((pull, (arc * (1.0 - along))[..., None]), axis=-1)

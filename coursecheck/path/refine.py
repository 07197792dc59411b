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

from coursecheck.path.curves import Curve
from coursecheck.path.detour import ENDS, Route
from coursecheck.path.legs import Leg
from coursecheck.path.states import Node, Nodes
from coursecheck.path.words import SIDES, Floats, solve

__all__ = ["newton"]

ITERATIONS = 15
STEP = 1e-6  # of the differences, metres or radians
DAMPING = 1e-9
BAND = 3  # two numbers for each node, and legs join neighbours only
SINGULAR = 1e-30
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
        step = _step(gradient.ravel(), hessian, free.ravel()).reshape(states.shape)
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


def _step(gradient: Floats, hessian: Floats, free: NDArray[np.bool_]) -> Floats:
    """The Newton step of the variables that may move, damped until it goes downhill."""
    step = np.zeros_like(gradient)
    inside = hessian[np.ix_(free, free)]
    slope = gradient[free]
    damping = DAMPING
    for _attempt in range(12):
        trial = _solve_banded(inside, damping, -slope)
        if trial @ slope < 0.0 and np.abs(trial).max() < 2.0:
            break
        damping = max(damping * 10.0, 1e-3)
    step[free] = trial
    return step


def _solve_banded(matrix: Floats, damping: float, right: Floats) -> Floats:
    """Solves (matrix + damping I) x = right for a symmetric matrix whose rows reach no further than BAND columns.

    Every state takes part in two legs only, so the cost is in proportion to the number of nodes.
    """
    size = len(right)
    rows = [np.diagonal(matrix, -k).tolist() for k in range(BAND + 1)]
    pivots, solved = [0.0] * size, right.tolist()
    factors = [[0.0] * (BAND + 1) for _ in range(size)]  # factors[i][k]: how row i takes from row i - k
    for i in range(size):
        here = factors[i]
        for k in range(min(BAND, i), 0, -1):
            j = i - k
            value = rows[k][j]
            for m in range(k + 1, min(BAND, i) + 1):
                value -= here[m] * factors[j][m - k] * pivots[i - m]
            here[k] = value / pivots[j]
        pivot = rows[0][i] + damping - sum(here[k] ** 2 * pivots[i - k] for k in range(1, min(BAND, i) + 1))
        pivots[i] = pivot if abs(pivot) > SINGULAR else SINGULAR
        solved[i] -= sum(here[k] * solved[i - k] for k in range(1, min(BAND, i) + 1))
    answer = [value / pivot for value, pivot in zip(solved, pivots, strict=True)]
    for i in range(size - 1, -1, -1):
        answer[i] -= sum(factors[i + k][k] * answer[i + k] for k in range(1, min(BAND, size - 1 - i) + 1))
    return np.array(answer)


class _Model:
    """The length of the chain as a function of its states.

    At a node whose solid sides limit the direction, and the more so the further out it is crossed, the direction is
    counted in shares of what is allowed at the offset, -1 to 1: so every variable has fixed bounds.
    """

    def __init__(
        self, nodes: Sequence[Node], table: Nodes, legs: Sequence[Leg | None], routes: Sequence[Route | None]
    ) -> None:
        self._nodes, self._table, self._legs, self._routes = nodes, table, legs, routes
        reach = [np.inf if n.free else 1.0 if n.narrow else n.cone_rad for n in nodes]
        self._low = np.array([[n.bands[0][0], -most] for n, most in zip(nodes, reach, strict=True)])
        self._high = np.array([[n.bands[-1][1], most] for n, most in zip(nodes, reach, strict=True)])
        self._runs = np.array([k for k, leg in enumerate(legs) if leg is not None], dtype=int)
        self._banded = [k for k, n in enumerate(nodes) if len(n.bands) > 1]
        self._narrow = [k for k, n in enumerate(nodes) if n.narrow]
        self._radius = next((leg.radius_m for leg in legs if leg is not None), 1.0)

    def clip(self, states: Floats) -> Floats:
        """States brought back into what the nodes allow."""
        states = np.clip(states, self._low, self._high)
        for k in self._banded:
            states[k, 0] = np.clip(states[k, 0], *self._nodes[k].band_of(float(states[k, 0])))
        return states

    def _limits(self, k: int, offsets: Floats) -> tuple[Floats, Floats]:
        """The middle and half the range of the directions at some offsets of a node."""
        low, high = self._nodes[k].limit_rad(offsets)
        return (low + high) / 2, (high - low) / 2

    def scaled(self, states: Floats) -> Floats:
        """States with the directions of narrow nodes as shares."""
        states = states.copy()
        for k in self._narrow:
            middle, half = self._limits(k, states[k : k + 1, 0])
            states[k, 1] = min(1.0, max(-1.0, float((states[k, 1] - middle[0]) / max(half[0], 1e-12))))
        return states

    def unscaled(self, states: Floats) -> Floats:
        """The reverse of `scaled`."""
        return np.asarray(self._unscaled_at(np.arange(len(self._nodes)), states[None])[0])

    def _unscaled_at(self, index: NDArray[np.intp], states: Floats) -> Floats:
        """The same for variants (v, m, 2) of the nodes `index` (m)."""
        states = states.copy()
        for at in np.nonzero(np.isin(index, self._narrow))[0]:
            middle, half = self._limits(int(index[at]), states[:, at, 0])
            states[:, at, 1] = middle + half * states[:, at, 1]
        return states

    def _slant(self, k: int, states: Floats) -> tuple[Floats, Floats]:
        """How the direction of a narrow node goes with its offset and with its share, at variants (v, 2)."""
        (m1, h1), (m0, h0) = (self._limits(k, states[:, 0] + side * STEP) for side in (1, -1))
        return ((m1 - m0) + (h1 - h0) * states[:, 1]) / (2 * STEP), (h1 + h0) / 2

    def movable(self, states: Floats, gradient: Floats) -> NDArray[np.bool_]:
        """Which variables are not held at a bound by the gradient."""
        low, high = self._low.copy(), self._high.copy()
        for k in self._banded:
            low[k, 0], high[k, 0] = self._nodes[k].band_of(float(states[k, 0]))
        held = ((states <= low) & (gradient > 0.0)) | ((states >= high) & (gradient < 0.0)) | (low == high)
        return np.asarray(~held)

    def value(self, states: Floats, lengths: Floats) -> float:
        """The length of the chain in metres, from those of its legs."""
        plain = self.unscaled(states).tolist()
        own = (node.own_derivatives(state)[0] for node, state in zip(self._nodes, plain, strict=True))
        return float(lengths.sum()) + sum(own)

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
        """Lengths of the legs, length of the chain, gradient (n, 2) and second derivatives (2n, 2n)."""
        count = len(self._nodes)
        shifts = np.vstack((np.zeros(4), STEP * np.eye(4)))
        lengths, slopes = self._legs_at(
            states[self._runs][None] + shifts[:, None, :2], states[self._runs + 1][None] + shifts[:, None, 2:]
        )
        gradient, hessian = np.zeros(2 * count), np.zeros((2 * count, 2 * count))
        blocks = (slopes[1:] - slopes[0]) / STEP
        for at, k in enumerate(self._runs):
            here = slice(2 * k, 2 * k + 4)
            gradient[here] += slopes[0, at]
            hessian[here, here] += (blocks[:, at] + blocks[:, at].T) / 2
        own, plain = 0.0, self.unscaled(states).tolist()
        for k, node in enumerate(self._nodes):
            cost, slope, curve = node.own_derivatives(plain[k])
            own += cost
            turn = np.eye(2)
            if k in self._narrow:
                turn[1] = [float(part[0]) for part in self._slant(k, states[k : k + 1])]
            here = slice(2 * k, 2 * k + 2)
            gradient[here] += np.array(slope) @ turn
            hessian[here, here] += turn.T @ np.diag(curve) @ turn
        return lengths[0], float(lengths[0].sum()) + own, gradient.reshape(count, 2), hessian

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
            for at in np.nonzero(np.isin(index, self._narrow))[0]:
                by_offset, by_share = self._slant(int(index[at]), states[:, at])
                slopes[:, at, first] += slopes[:, at, first + 1] * by_offset
                slopes[:, at, first + 1] *= by_share
        return lengths, slopes

    def _curves(self, leave: Floats, come: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Length, the pulls at both ends and the sides of the first and last arc, of each leg's shortest curve."""
        words = solve(leave, come, self._radius)
        lengths = words.lengths_m.copy()
        turns = words.turns_rad
        for at, k in enumerate(self._runs):
            leg = self._legs[k]
            if leg is not None and leg.turn is not None:
                lengths[..., at] = leg.allowed(lengths[..., at], turns[..., at])
        row = lengths.argmin(axis=0)[None]
        pull = np.stack([np.take_along_axis(part, row, axis=0)[0] for part in words.pull()], axis=-1)
        chosen = np.take_along_axis(lengths, row, axis=0)[0]
        sides = SIDES[row[0]]
        start_pull, end_pull = pull, pull.copy()
        start_side, end_side = sides[..., 0].copy(), sides[..., 2].copy()
        for at, k in enumerate(self._runs):
            leg, route = self._legs[k], self._routes[k]
            if leg is None or route is None:
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

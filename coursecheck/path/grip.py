"""A node for Newton's method: what its states cost and allow, and where they put its poses, with derivatives."""

from __future__ import annotations

import math
from typing import NamedTuple

from coursecheck.path.curves import Place
from coursecheck.path.states import EVEN_M, Node

__all__ = ["End", "Freedom", "Grip", "Own", "State", "Wheel"]

State = tuple[float, float]
"""Offset in metres and direction in radians."""

AT_LIMIT_RAD = 1e-12


class Wheel(NamedTuple):
    """How the centre of the circle at a pose goes with the state of its node.

    Attributes:
        across_x, across_y: slopes of its place by the offset.
        turn_x, turn_y: by the direction.
        bend_x, bend_y: second derivatives by the direction.
    """

    across_x: float
    across_y: float
    turn_x: float
    turn_y: float
    bend_x: float
    bend_y: float


class End(NamedTuple):
    """A pose of a node at one state: its place, cosine and sine of its heading, and how the place goes."""

    place: Place
    cos: float
    sin: float
    moves: Wheel

    def wheel(self, radius_m: float) -> Wheel:
        """How the centre of the circle to its left goes; of a negative radius, to its right."""
        across_x, across_y, turn_x, turn_y, bend_x, bend_y = self.moves
        ahead_x, ahead_y = radius_m * self.cos, radius_m * self.sin
        return Wheel(across_x, across_y, turn_x - ahead_x, turn_y - ahead_y, bend_x + ahead_y, bend_y - ahead_x)


class Own(NamedTuple):
    """`Node.own_cost` of one state, its slopes by offset and direction and its second derivatives."""

    cost_m: float
    by_offset: float
    by_direction: float
    by_offset_twice: float
    by_direction_twice: float


class Freedom(NamedTuple):
    """Where a node may move from one state, downhill.

    Attributes:
        across: whether the offset may change.
        turn: whether the direction may; else it stays, or follows its limit.
        low, high: how far the offset may go.
        tied: 1 or -1 where the direction follows its greatest or least value, 0 elsewhere.
        slope, bend: how it follows: first and second derivative by the offset.
    """

    across: bool
    turn: bool
    low: float
    high: float
    tied: int = 0
    slope: float = 0.0
    bend: float = 0.0


FIXED = Freedom(False, False, 0.0, 0.0)


class _Limit(NamedTuple):
    """The greatest direction at an offset: value, slope and bend, and the offsets between which that is smooth."""

    value: float
    slope: float
    bend: float
    low: float
    high: float


class Grip:
    """A node and its derivatives."""

    def __init__(self, node: Node) -> None:
        self.node = node
        self._entry, self._exit = (
            (pose.x, pose.y, pose.heading, math.cos(pose.heading), math.sin(pose.heading))
            for pose in (node.entry, node.exit)
        )
        self._across = EVEN_M / node.half_width_m**2 if node.half_width_m > 0.0 else 0.0
        self._turned = 0.0 if node.free else EVEN_M
        self._most = math.inf if node.free else node.cone_rad
        self._cone = {side: _Limit(side * self._most, 0.0, 0.0, -math.inf, math.inf) for side in (1, -1)}
        self._pieces = _pieces(node) if node.narrow else []
        self._fixed = node.cone_rad == 0.0 == node.half_width_m

    def clipped(self, offset: float, direction: float) -> State:
        """A state brought back into what the node allows."""
        low, high = self.node.band_of(offset)
        offset = min(max(offset, low), high)
        return offset, min(max(direction, self._limit(offset, -1, 1).value), self._limit(offset, 1, 1).value)

    def stepped(self, state: State, freedom: Freedom, across: float, turn: float) -> State:
        """The state after a step, kept within its freedom."""
        offset = min(max(state[0] + across, freedom.low), freedom.high)
        if freedom.tied:
            return offset, self._limit(offset, freedom.tied, 1).value
        return self.clipped(offset, state[1] + turn)

    def freedom(self, state: State, by_offset: float, by_direction: float) -> Freedom:
        """Where the node may move from a state, given the slopes there."""
        if self._fixed:
            return FIXED
        offset, direction = state
        low, high = self.node.band_of(offset)
        tied = 0
        for side in (1, -1):
            at_limit = side * (self._limit(offset, side, 1).value - direction) <= AT_LIMIT_RAD
            if at_limit and side * by_direction < 0.0:
                tied = side
        if not tied:
            return Freedom(_loose(offset, by_offset, low, high), self._most > 0.0, low, high)
        for way in (1, -1):
            limit = self._limit(offset, tied, way)
            if way * (by_offset + by_direction * limit.slope) < 0.0 and (offset < high if way > 0 else offset > low):
                return Freedom(True, False, max(low, limit.low), min(high, limit.high), tied, limit.slope, limit.bend)
        return Freedom(False, False, offset, offset, tied)

    def _limit(self, offset: float, side: int, way: int) -> _Limit:
        """The greatest direction (side 1) or the least (-1) at an offset, seen from greater (way 1) or lesser."""
        if side < 0 and self._pieces:
            limit = self._limit(-offset, 1, -way)
            return _Limit(-limit.value, limit.slope, -limit.bend, -limit.high, -limit.low)
        low = -math.inf
        for high, share, growth in self._pieces:
            if offset < high or (offset == high and way < 0):
                share += growth * offset
                slope = growth / (1 + share * share)
                return _Limit(math.atan(share), slope, -2 * share * slope * slope, low, high)
            low = high
        return self._cone[side]

    def entry(self, state: State) -> End:
        """Where the node is entered."""
        x, y, mean, mean_cos, mean_sin = self._entry
        offset, direction = state
        heading = mean + direction
        cos, sin = math.cos(heading), math.sin(heading)
        before_x, before_y = self.node.before_m * cos, self.node.before_m * sin
        place = (x + offset * mean_sin - before_x, y - offset * mean_cos - before_y, heading)
        return End(place, cos, sin, Wheel(mean_sin, -mean_cos, before_y, -before_x, before_x, before_y))

    def exit(self, state: State) -> End:
        """Where it is left."""
        x, y, mean, mean_cos, mean_sin = self._exit
        offset, direction = state
        heading = mean + direction
        cos, sin = math.cos(heading), math.sin(heading)
        through, longer, faster = self._depth(direction)
        along = self.node.after_m + through
        place = (x + offset * mean_sin + along * cos, y - offset * mean_cos + along * sin, heading)
        moves = Wheel(
            mean_sin,
            -mean_cos,
            longer * cos - along * sin,
            longer * sin + along * cos,
            (faster - along) * cos - 2 * longer * sin,
            (faster - along) * sin + 2 * longer * cos,
        )
        return End(place, cos, sin, moves)

    def own(self, state: State) -> Own:
        """The way through the depth, and what makes one choice of equals."""
        offset, direction = state
        through, longer, faster = self._depth(direction)
        return Own(
            through + self._across * offset * offset + self._turned * direction * direction,
            2 * self._across * offset,
            longer + 2 * self._turned * direction,
            2 * self._across,
            faster + 2 * self._turned,
        )

    def _depth(self, direction: float) -> tuple[float, float, float]:
        """The way through the depth, with its first and second derivative by the direction."""
        if self.node.depth_m == 0.0:
            return 0.0, 0.0, 0.0
        through, tangent = self.node.depth_m / math.cos(direction), math.tan(direction)
        return through, through * tangent, through * (1 + 2 * tangent * tangent)


def _loose(value: float, slope: float, low: float, high: float) -> bool:
    """Whether a value is not held at a bound by the slope."""
    return low < high and not (value <= low and slope > 0.0) and not (value >= high and slope < 0.0)


def _pieces(node: Node) -> list[tuple[float, float, float]]:
    """The smooth pieces of `Node.limits_rad`: up to which offset, and the tangent of the greatest direction.

    The tangent is given at offset 0 and by how much it grows per metre. Further left the far side of the opening
    limits it, further right the near one, between them perhaps the cone.
    """
    half, cone = node.half_opening_m, math.tan(node.cone_rad)
    reach, ahead = node.depth_m + node.throat_m, max(node.throat_m, 1e-9)
    left, right = reach * cone - half, half - ahead * cone
    if left < right:
        middle = [(left, half / reach, 1 / reach), (right, cone, 0.0)]
    else:
        middle = [(half * (reach - ahead) / (reach + ahead), half / reach, 1 / reach)]
    return [*middle, (math.inf, half / ahead, -1 / ahead)]

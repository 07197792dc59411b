"""The search for the shortest way round what stands between two poses."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count, islice
from operator import attrgetter

from coursecheck.geometry.frames import Point
from coursecheck.path.boxes import Bounds, around
from coursecheck.path.curves import Curve, Place, words_between
from coursecheck.path.detour import NOISE_M, Route, Wrap
from coursecheck.path.obstruction import Hit, Kept, Obstruction
from coursecheck.path.parts import EDGE, Corner
from coursecheck.path.winding import ROUGH, windings
from coursecheck.path.words import turns_as

__all__ = ["Found", "search"]


NEEDLESS_RAD = 1.5 * math.pi  # a wrap that turns further would be touched from the wrong side


@dataclass(frozen=True, slots=True)
class Found:
    """What a search brings home.

    Attributes:
        routes: the shortest way round, and what may be shorter between other poses, which was not looked at: the same
            with two wraps joined, and the likeliest way on the other side of what was met first. Empty where a word
            itself is clear or where nothing was found.
        owners: everything that stood in the way, in the order in which it was met.
        box: all that was looked at lies in it.
    """

    routes: tuple[Route, ...]
    owners: tuple[str, ...]
    box: Bounds


def search(start: Place, end: Place, radius_m: float, obstruction: Obstruction, turn: str | None, most: int) -> Found:
    """The shortest way round between two poses, and another that may be shorter between others.

    Best first: the shortest curve that is known is looked at exactly; where it comes too near to something, the ways
    round that on either side join the queue. A way round is never shorter than the curve it comes from, so the first
    clear curve is the shortest of all that can be reached. Where the dog comes or leaves a little differently, the
    other side may be shorter by a whole circle: so that is offered, too.

    Args:
        start: where the leg begins.
        end: where it ends.
        radius_m: the tightest turn.
        obstruction: what stands in the way; a result is kept in its memo for as long as nothing changes where
            curves were looked at.
        turn: the way the dog must turn, or None.
        most: curves that it looks at before it gives up.
    """
    key = (start, end, radius_m, obstruction.clearance_m, turn, most)
    kept: list[Kept[Found]] = obstruction.memo.get("search", key, list)
    [found] = obstruction.recall([kept])
    if found is None:
        found = _search(start, end, radius_m, obstruction, turn, most)
        obstruction.remember(kept, [found.box], found)
    return found


def _search(
    start: Place, end: Place, radius_m: float, obstruction: Obstruction, turn: str | None, most: int
) -> Found:
    """The ways round."""
    queue = _Queue(start, end, radius_m, obstruction, turn)
    routes: tuple[Route, ...] = ()
    owners: list[str] = []
    boxes: list[Bounds] = [(*start[:2], *start[:2])]
    slack_m = max(0.0, radius_m - obstruction.clearance_m)
    for _pop in range(most):
        curve = queue.pop()
        if curve is None:
            break
        [(hit, box)] = obstruction.look([start], [curve.pieces])
        boxes.append(box)
        if hit is None:
            if curve.route is not None:
                routes = curve.route, *_joined(curve.route, slack_m), *queue.across(curve.route, owners[0])
            break
        owners += [hit.owner] if hit.owner not in owners else []
        for route in _ways_round(curve, hit, obstruction.corners(hit.owner), start, end, slack_m):
            queue.push(route)
    return Found(routes, tuple(owners), around(boxes))


class _Queue:
    """Curves in the order of their lengths."""

    def __init__(self, start: Place, end: Place, radius_m: float, obstruction: Obstruction, turn: str | None) -> None:
        self._start, self._end, self._radius_m = start, end, radius_m
        self._obstruction, self._turn = obstruction, turn
        self._serial = count()
        self._seen: set[Route] = set()
        self._heap: list[tuple[int, int, Curve]] = []
        for word in words_between(start, end, radius_m):
            if turns_as(word.turn_rad, turn):
                self._add(word.curve())

    def _add(self, curve: Curve) -> None:
        # Of equals the first one comes first, wherever the plan lies.
        heapq.heappush(self._heap, (round(curve.length_m / NOISE_M), next(self._serial), curve))

    def pop(self) -> Curve | None:
        """The shortest curve that was not looked at yet; None where there is none."""
        return heapq.heappop(self._heap)[2] if self._heap else None

    def across(self, route: Route, owner: str) -> Iterator[Route]:
        """The route of the shortest curve not looked at yet that passes something on the other side than a route."""
        waiting = [curve.route for _, _, curve in sorted(self._heap) if curve.route is not None]
        for side in sorted({1.0, -1.0} - {_side(route, owner)}):
            yield from islice((other for other in waiting if _side(other, owner) == side), 1)

    def push(self, route: Route) -> None:
        """Adds the curves of a route, and of the route without a wrap that it turns out not to need."""
        if not route or route in self._seen:
            return
        self._seen.add(route)
        made = windings(self._start, self._end, route, self._radius_m, self._obstruction.clearance_m, ROUGH)
        allowed = [winding for winding in made if winding is not None and turns_as(winding.turn_rad, self._turn)]
        for winding in allowed:
            self._add(winding.curve())
        if allowed:
            best = min(allowed, key=attrgetter("length_m"))
            for k, turn in enumerate(best.turns[1:-1]):
                if turn > NEEDLESS_RAD:
                    self.push((*route[:k], *route[k + 1 :]))


def _side(route: Route, owner: str) -> float | None:
    """The way in which a route turns round something; None where it does not."""
    return next((wrap.side for wrap in route if wrap.owner == owner), None)


def _ways_round(
    curve: Curve, hit: Hit, corners: Sequence[Corner], start: Place, end: Place, slack_m: float
) -> Iterator[Route]:
    """The routes that go round what was hit, on either side, as a wrap of its own or joined to its neighbour."""
    if not corners:
        return
    route = curve.route or ()
    # Arcs and straights alternate: how many wraps come before the piece; a wrap's own arc has a place on either side.
    places = {(hit.piece + 1) // 2, hit.piece // 2} if route else {0}
    for place in sorted({min(place, len(route)) for place in places}):
        before = route[place - 1].middle if place else start[:2]
        after = route[place].middle if place < len(route) else end[:2]
        known = None if hit.owner == EDGE else _side(route, hit.owner)
        for side in (1.0, -1.0) if known is None else (known,):
            corner = _outermost(corners, before, after, side, route)
            if corner is not None:
                yield from _with_wrap(route, place, Wrap(hit.owner, side, (corner,)), slack_m)


def _outermost(corners: Sequence[Corner], before: Point, after: Point, side: float, route: Route) -> Corner | None:
    """The corner furthest out on the side on which the line passes, none that the route already has.

    Of several as far out it is the first on the way, wherever the plan lies.
    """
    way_x, way_y = after[0] - before[0], after[1] - before[1]
    used = {corner for wrap in route for corner in wrap.corners}

    def place(corner: Corner) -> tuple[float, float]:
        """How far out and how far along, each times the length of the way: that orders them, without a root."""
        x, y = corner[0] - before[0], corner[1] - before[1]
        return round(side * (way_x * y - way_y * x) / NOISE_M), way_x * x + way_y * y

    return min((corner for corner in corners if corner not in used), key=place, default=None)


def _with_wrap(route: Route, place: int, wrap: Wrap, slack_m: float) -> Iterator[Route]:
    """The route with a wrap more, and with that joined to a neighbour."""
    longer = (*route[:place], wrap, *route[place:])
    yield longer
    for k in (place - 1, place):
        yield from _join(longer, k, slack_m)


def _joined(route: Route, slack_m: float) -> Iterator[Route]:
    """The route with two wraps that follow each other joined."""
    for k in range(len(route) - 1):
        yield from _join(route, k, slack_m)


def _join(route: Route, k: int, slack_m: float) -> Iterator[Route]:
    """The route with wraps k and k + 1 joined, where both turn the same way and one arc can hold all their corners.

    It can where no two of them are further apart than twice the slack: turn radius less clearance.
    """
    if not 0 <= k < len(route) - 1 or route[k].side != route[k + 1].side:
        return
    first, second = route[k], route[k + 1]
    if any(math.dist(a[:2], b[:2]) > 2 * slack_m for a in first.corners for b in second.corners):
        return
    joined = Wrap(min(first.owner, second.owner), first.side, tuple(sorted((*first.corners, *second.corners))))
    yield (*route[:k], joined, *route[k + 2 :])

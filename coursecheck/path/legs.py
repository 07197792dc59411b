"""One leg: the curves that it may take between any two states of its ends."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from coursecheck.language import both, say
from coursecheck.path.boxes import Bounds
from coursecheck.path.curves import Curve, Pieces, Place, Word, place_of, shortest_word, words_between
from coursecheck.path.detour import ENDS, Curves, Route, solve_route
from coursecheck.path.obstruction import Hit, Obstruction
from coursecheck.path.parts import EDGE
from coursecheck.path.search import search
from coursecheck.path.winding import Winding, winding, windings
from coursecheck.path.words import SIDES, Floats, solve, turning, turns_as

__all__ = ["WORDS", "Leg", "Looked", "Option", "look_at"]

Option = Word | Winding
"""A curve that may be taken."""

WORDS = len(SIDES)
POPS = (
    20  # curves that a search looks at: of searches that succeed within DEEP_POPS, 96 % of the corpus do so in these
)
DEEP_POPS = 40  # where no way is known at all


@dataclass(slots=True)
class Looked:
    """Which curves of a leg between the poses at its ends were looked at.

    Attributes:
        quick: by row and pair, whether by chords, for what has been found in the way so far.
        exact: the same, whether exactly, for everything.
        thorough: whether both ends of the curves are looked at quickly, too.
    """

    quick: NDArray[np.bool_]
    exact: NDArray[np.bool_]
    thorough: bool = False
    _owners: int = 0

    def keep_up(self, rows: int, owners: int, *, thorough: bool) -> None:
        """Makes room for more rows, and forgets quick looks where there is more to look for."""
        if rows > len(self.exact):
            more = np.zeros((rows - len(self.exact), self.exact.shape[1]), dtype=bool)
            self.exact, self.quick = np.concatenate([self.exact, more]), np.concatenate([self.quick, more])
        if (owners, thorough) != (self._owners, self.thorough):
            self.quick[:] = False
        self._owners, self.thorough = owners, thorough


@dataclass(slots=True)
class Leg:
    """The way from one node to the next.

    Attributes:
        radius_m: the tightest turn.
        obstruction: what stands in the way.
        turn: the way the dog must turn, or None.
        routes: ways round that have proved themselves, in the order in which they were found.
        owners: what has been found in the way.
        problem: why no feasible line was found, or None.
        looked_at: what curves, by start and pieces, come too near to first; None where they are clear.
        seen: boxes that hold all that was looked at.
        hopeless: whether even a deep search brought no way round.
    """

    radius_m: float
    obstruction: Obstruction
    turn: str | None = None
    routes: list[Route] = field(default_factory=list)
    owners: list[str] = field(default_factory=list)
    problem: str | None = None
    looked_at: dict[tuple[Place, Pieces], Hit | None] = field(default_factory=dict)
    seen: list[Bounds] = field(default_factory=list)
    hopeless: bool = False

    def route_lengths(self, route: Route, starts: Floats, ends: Floats) -> Floats:
        """Lengths of the four curves of a route for n pairs of poses, not quite settled."""
        curves = self._rough(route, starts, ends)
        return turning(curves.lengths_m, curves.turns_rad, self.turn)

    def _rough(self, route: Route, starts: Floats, ends: Floats, kinds: NDArray[np.intp] | None = None) -> Curves:
        return solve_route(starts, ends, route, self.radius_m, self.obstruction.clearance_m, kinds)

    def curve(self, start: Place, end: Place, row: int) -> Curve | None:
        """One curve between two poses: rows count the words first, then four curves for each route."""
        if row < WORDS:
            option: Option | None = next(iter(words_between(start, end, self.radius_m, row)), None)
        else:
            number, kind = divmod(row - WORDS, 4)
            clearance_m = self.obstruction.clearance_m
            option = winding(start, end, self.routes[number], ENDS[kind], self.radius_m, clearance_m)
        return option.curve() if option is not None else None

    def shortest(self, start: Place, end: Place) -> Curve | None:
        """The first of `by_length`."""
        if not self.routes and self.turn is None:
            return shortest_word(start, end, self.radius_m).curve()
        return next(self.by_length(start, end), None)

    def by_length(self, start: Place, end: Place) -> Iterator[Curve]:
        """All curves between two poses, the shortest first, whatever stands in their way."""
        options: list[Option] = [*words_between(start, end, self.radius_m)]
        for route in self.routes:
            options += [winding for winding in self._windings(route, start, end) if winding is not None]
        for option in sorted(options, key=attrgetter("length_m")):
            if turns_as(option.turn_rad, self.turn):
                yield option.curve()

    def shortest_option(self, start: Place, end: Place, route: Route | None = None) -> Option:
        """The shortest curve of a route, or the shortest word, whatever stands in its way.

        Where none turns as it should, the shortest of all; where a route has none, one without end.
        """
        if route is None and self.turn is None:
            return shortest_word(start, end, self.radius_m)
        options: list[Option] = (
            [*words_between(start, end, self.radius_m)]
            if route is None
            else [winding for winding in self._windings(route, start, end) if winding is not None]
        )
        allowed = [option for option in options if turns_as(option.turn_rad, self.turn)] if self.turn else options
        endless: Option = Word(math.inf, 0, 0.0, 0.0, 0.0, 0.0, self.radius_m)
        return min(allowed or options, key=attrgetter("length_m"), default=endless)

    def _windings(self, route: Route, start: Place, end: Place) -> list[Winding | None]:
        return list(windings(start, end, route, self.radius_m, self.obstruction.clearance_m))

    def best(self, start: Place, end: Place, shortest: Curve | None = None) -> Curve | None:
        """The shortest feasible curve between two poses; None where none is found.

        `shortest` spares the search for the shortest curve of all, where that is known.
        """
        if self.problem is not None:
            return self.shortest_option(start, end).curve()
        if shortest is not None and self.hit(shortest, start) is None:
            return shortest
        curve = self._first_clear(start, end)
        if curve is None and self.find_ways_round(start, end, deep=True):
            curve = self._first_clear(start, end)
        return curve

    def _first_clear(self, start: Place, end: Place) -> Curve | None:
        return next((curve for curve in self.by_length(start, end) if self.hit(curve, start) is None), None)

    def hit(self, curve: Curve, start: Place) -> Hit | None:
        """What the curve comes too near to first, kept in mind; None where it is clear."""
        [hit] = look_at([(self, curve, start)])
        if hit is not None:
            self.met(hit.owner)
        return hit

    def met(self, owner: str) -> None:
        """Keeps in mind what has been found in the way."""
        if owner not in self.owners:
            self.owners.append(owner)

    def give_up(self) -> None:
        """Says why there is no feasible line."""
        listed = both([say(owner) if owner == EDGE else owner for owner in self.owners[:3] or [EDGE]])
        if self.turn == "left":
            self.problem = say("no line that turns left keeps clear of {what}", what=listed)
        elif self.turn == "right":
            self.problem = say("no line that turns right keeps clear of {what}", what=listed)
        else:
            self.problem = say("no line keeps clear of {what}", what=listed)

    def find_ways_round(self, start: Place, end: Place, *, deep: bool = False) -> list[Route]:
        """Looks for the shortest ways round between two poses, if need be deeper; returns those that are new."""
        found = search(start, end, self.radius_m, self.obstruction, self.turn, DEEP_POPS if deep else POPS)
        self.seen.append(found.box)
        for owner in found.owners:
            self.met(owner)
        new = [route for route in found.routes if route not in self.routes]
        self.routes += new
        return new

    def refute(
        self,
        lengths: Floats,
        looked: Looked,
        rows: NDArray[np.intp],
        pairs: NDArray[np.intp],
        starts: Floats,
        ends: Floats,
        most: int,
    ) -> None:
        """Makes curves infinite that hit something: all that surely do, and of the rest the first few looked at.

        Args:
            lengths: of all curves, changed in place.
            looked: which of them were looked at; added to.
            rows: of the curves in question, those that matter most first.
            pairs: their columns.
            starts: the poses where they begin.
            ends: where they end.
            most: how many are looked at exactly.
        """
        new = ~looked.quick[rows, pairs]
        hit = np.zeros(len(rows), dtype=bool)
        hit[new] = self._surely_hit(rows[new], starts[new], ends[new], thorough=looked.thorough)
        looked.quick[rows, pairs] = True
        close = np.nonzero(~hit & ~looked.exact[rows, pairs])[0][:most]
        looked.exact[rows[close], pairs[close]] = True
        hit[close] = self._hits(rows[close], starts[close], ends[close])
        lengths[rows[hit], pairs[hit]] = np.inf

    def _hits(self, rows: NDArray[np.intp], starts: Floats, ends: Floats) -> list[bool]:
        """Which of some curves come too near to something, or do not exist after all, see `LegTable.unknown`."""
        places = zip(*(map(place_of, poses.tolist()) for poses in (starts, ends)), rows.tolist(), strict=True)
        made = [(start, self.curve(start, end, row)) for start, end, row in places]
        looks = iter(look_at([(self, curve, start) for start, curve in made if curve is not None]))
        return [curve is None or next(looks) is not None for _, curve in made]

    def _surely_hit(
        self, rows: NDArray[np.intp], starts: Floats, ends: Floats, *, thorough: bool
    ) -> NDArray[np.bool_]:
        """Which of many curves certainly hit what has been found in the way."""
        hit = np.zeros(len(rows), dtype=bool)
        routes = np.where(rows < WORDS, -1, (rows - WORDS) // 4)
        for number in np.unique(routes).tolist():
            some = np.nonzero(routes == number)[0]
            if number < 0:
                pieces = solve(starts[some], ends[some], self.radius_m).pieces[:, rows[some], np.arange(len(some))]
                lengths_m, curvatures = pieces.T * self.radius_m, SIDES[rows[some]] / self.radius_m
            else:
                kinds = (rows[some] - WORDS) % 4
                lengths_m, curvatures = self._rough(self.routes[number], starts[some], ends[some], kinds).pieces
            hit[some] = self.obstruction.surely_hit(self.owners, starts[some], lengths_m, curvatures, ends=thorough)
        return hit


def look_at(curves: Sequence[tuple[Leg, Curve, Place]]) -> list[Hit | None]:
    """What curves of legs come too near to first; None where they are clear.

    Args:
        curves: with the poses where they start; all those not known yet are looked at together.
    """
    keys = [(start, curve.pieces) for _, curve, start in curves]
    new = [(leg, key) for (leg, _, _), key in zip(curves, keys, strict=True) if key not in leg.looked_at]
    if new:
        looks = new[0][0].obstruction.look(*zip(*(key for _, key in new), strict=True))
        for (leg, key), (hit, box) in zip(new, looks, strict=True):
            leg.looked_at[key] = hit
            leg.seen.append(box)
    return [leg.looked_at[key] for (leg, _, _), key in zip(curves, keys, strict=True)]

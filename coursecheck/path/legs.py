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
from coursecheck.path.curves import Curve, Pieces, Place, Word, shortest_word, words_between
from coursecheck.path.detour import Curves, Route, solve_route
from coursecheck.path.obstruction import Hit, Obstruction
from coursecheck.path.parts import EDGE
from coursecheck.path.search import search
from coursecheck.path.winding import Winding, windings
from coursecheck.path.words import SIDES, Floats, solve, turning, turns_as

__all__ = ["WORDS", "Leg", "Looked", "Option", "look_at"]

Option = Word | Winding
"""A curve that may be taken."""

WORDS = len(SIDES)
CLOSE = 24  # curves that are looked at exactly where a quick look leaves open whether they hit


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
    """

    radius_m: float
    obstruction: Obstruction
    turn: str | None = None
    routes: list[Route] = field(default_factory=list)
    owners: list[str] = field(default_factory=list)
    problem: str | None = None
    looked_at: dict[tuple[Place, Pieces], Hit | None] = field(default_factory=dict)
    seen: list[Bounds] = field(default_factory=list)

    def route_lengths(self, route: Route, starts: Floats, ends: Floats) -> Floats:
        """Lengths of the four curves of a route for n pairs of poses, not quite settled."""
        curves = self._rough(route, starts, ends)
        return turning(curves.lengths_m, curves.turns_rad, self.turn)

    def _rough(self, route: Route, starts: Floats, ends: Floats) -> Curves:
        return solve_route(starts, ends, route, self.radius_m, self.obstruction.clearance_m)

    def curve(self, start: Place, end: Place, row: int) -> Curve | None:
        """One curve between two poses: rows count the words first, then four curves for each route."""
        if row < WORDS:
            option: Option | None = next(iter(words_between(start, end, self.radius_m, row)), None)
        else:
            option = self._windings(self.routes[(row - WORDS) // 4], start, end)[(row - WORDS) % 4]
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
        if curve is None and self.find_ways_round(start, end):
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

    def find_ways_round(self, start: Place, end: Place) -> list[Route]:
        """Looks for the shortest ways round between two poses; returns those that are new."""
        found = search(start, end, self.radius_m, self.obstruction, self.turn)
        self.seen.append(found.box)
        for owner in found.owners:
            self.met(owner)
        new = [route for route in found.routes if route not in self.routes]
        self.routes += new
        return new

    def try_again(self) -> None:
        """Forgets that there was no feasible line, because the states at its ends are others now."""
        self.problem = None

    def refute(self, lengths: Floats, looked: Looked, starts: Floats, ends: Floats, pairs: NDArray[np.intp]) -> None:
        """Makes the shortest word infinite where it hits what has been found in the way.

        Args:
            lengths: of all curves, changed in place.
            looked: which of them were looked at; added to.
            starts: the poses where the curves of these pairs begin.
            ends: where they end.
            pairs: the columns of the pairs to look at, those that matter most first.
        """
        row = lengths[:WORDS, pairs].argmin(axis=0)
        known = np.isfinite(lengths[row, pairs])
        row, pairs, starts = row[known], pairs[known], starts[known]
        pieces = solve(starts, ends[known], self.radius_m).pieces[:, row, np.arange(len(row))]
        lengths_m, curvatures = pieces.T * self.radius_m, SIDES[row] / self.radius_m
        new = ~looked.quick[row, pairs]
        hit = np.zeros(len(pairs), dtype=bool)
        curves = starts[new], lengths_m[new], curvatures[new]
        hit[new] = self.obstruction.surely_hit(self.owners, *curves, ends=looked.thorough)
        looked.quick[row, pairs] = True
        close = np.nonzero(~hit & ~looked.exact[row, pairs])[0][:CLOSE]
        hit[close] = self._hits(
            [(x, y, heading) for x, y, heading in starts[close].tolist()],
            [
                tuple(zip(amounts, bends, strict=True))
                for amounts, bends in zip(lengths_m[close].tolist(), curvatures[close].tolist(), strict=True)
            ],
        )
        looked.exact[row[close], pairs[close]] = True
        lengths[row[hit], pairs[hit]] = np.inf

    def refute_route(
        self, lengths: Floats, looked: Looked, row: int, starts: Floats, ends: Floats, pairs: NDArray[np.intp]
    ) -> None:
        """The same for one curve of a route, given by its row."""
        known = np.isfinite(lengths[row, pairs])
        pairs, starts, ends = pairs[known], starts[known], ends[known]
        new = ~looked.quick[row, pairs]
        hit = np.zeros(len(pairs), dtype=bool)
        if new.any():
            hit[new] = self._route_surely_hit(row, starts[new], ends[new], looked.thorough)
        looked.quick[row, pairs] = True
        close = np.nonzero(~hit & ~looked.exact[row, pairs])[0][:CLOSE]
        places = [[(x, y, heading) for x, y, heading in poses[close].tolist()] for poses in (starts, ends)]
        curves = [self.curve(start, end, row) for start, end in zip(*places, strict=True)]
        made = [i for i, curve in enumerate(curves) if curve is not None]
        hit[close] = True  # those that do not exist after all, see `LegTable.unknown`, too
        hit[close[made]] = self._hits([places[0][i] for i in made], [c.pieces for c in curves if c is not None])
        looked.exact[row, pairs[close]] = True
        lengths[row, pairs[hit]] = np.inf

    def _hits(self, starts: Sequence[Place], curves: Sequence[Pieces]) -> list[bool]:
        """Which of some curves come too near to something."""
        looks = self.obstruction.look(starts, curves)
        self.seen += [look.box for look in looks]
        return [look.hit is not None for look in looks]

    def _route_surely_hit(self, row: int, starts: Floats, ends: Floats, thorough: bool) -> NDArray[np.bool_]:
        """Which of many curves of a route, given by the row, certainly hit what has been found in the way."""
        curves = self._rough(self.routes[(row - WORDS) // 4], starts, ends)
        k = (row - WORDS) % 4
        amounts = np.zeros((len(starts), 2 * len(curves.radii_m) - 1))
        amounts[:, ::2], amounts[:, 1::2] = (curves.turns[:, k].T * curves.radii_m), curves.straights_m[:, k].T
        bends = np.zeros_like(amounts)
        bends[:, ::2] = curves.sides[:, k] / curves.radii_m
        return self.obstruction.surely_hit(self.owners, starts, amounts, bends, ends=thorough)


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

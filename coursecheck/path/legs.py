"""One leg: the curves that it may take between any two states of its ends."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from coursecheck.language import both, say
from coursecheck.path.curves import Curve, Pieces, word_curve, wrapped_curve
from coursecheck.path.detour import ROUGH, ROUNDS, Curves, Route, solve_route
from coursecheck.path.obstruction import Hit, Obstruction
from coursecheck.path.parts import EDGE
from coursecheck.path.search import search
from coursecheck.path.words import SIDES, Floats, Words, solve, turning

__all__ = ["WORDS", "Leg", "look_at"]

WORDS = len(SIDES)
FAILURES = 3  # searches without any way round after which there is none


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
        failures: searches that found no way round at all.
        looked_at: what curves, by start and pieces, come too near to first; None where they are clear.
    """

    radius_m: float
    obstruction: Obstruction
    turn: str | None = None
    routes: list[Route] = field(default_factory=list)
    owners: list[str] = field(default_factory=list)
    problem: str | None = None
    failures: int = 0
    looked_at: dict[tuple[bytes, Pieces], Hit | None] = field(default_factory=dict)

    def word_lengths(self, words: Words) -> Floats:
        """Lengths of the words, infinite where one turns the wrong way."""
        return words.lengths_m if self.turn is None else self.allowed(words.lengths_m, words.turns_rad)

    def route_lengths(self, route: Route, starts: Floats, ends: Floats) -> Floats:
        """Lengths of the four curves of a route for n pairs of poses, those of many pairs not quite settled."""
        curves = self.solve_route(route, starts, ends, ROUGH if len(starts) > 1 else ROUNDS)
        return self.allowed(curves.lengths_m, curves.turns_rad)

    def solve_route(self, route: Route, starts: Floats, ends: Floats, rounds: int = ROUNDS) -> Curves:
        """The four curves of a route."""
        return solve_route(starts, ends, route, self.radius_m, self.obstruction.clearance_m, rounds)

    def allowed(self, lengths_m: Floats, turns_rad: Floats) -> Floats:
        """The lengths, infinite where the curve turns the wrong way."""
        return turning(lengths_m, turns_rad, self.turn)

    def curve(self, start: Floats, end: Floats, row: int) -> Curve:
        """One curve between two poses (3,): rows count the words first, then four curves for each route."""
        if row < WORDS:
            return word_curve(solve(start[None], end[None], self.radius_m), row, 0, self.radius_m)
        route = self.routes[(row - WORDS) // 4]
        return wrapped_curve(self.solve_route(route, start[None], end[None]), (row - WORDS) % 4, route)

    def by_length(self, words: Words, starts: Floats, ends: Floats) -> Iterator[Curve]:
        """All curves between one pair of poses, the shortest first, whatever stands in their way."""
        around = [self.solve_route(route, starts, ends) for route in self.routes]
        rows = [self.word_lengths(words), *(self.allowed(curves.lengths_m, curves.turns_rad) for curves in around)]
        lengths = np.concatenate(rows)[:, 0]
        for row in np.argsort(lengths, kind="stable")[: int(np.isfinite(lengths).sum())].tolist():
            if row < WORDS:
                yield word_curve(words, row, 0, self.radius_m)
            else:
                route, k = divmod(row - WORDS, 4)
                yield wrapped_curve(around[route], k, self.routes[route])

    def shortest(self, words: Words, pair: int) -> Curve:
        """The shortest word for one pair of poses, whatever stands in its way."""
        lengths = self.allowed(words.lengths_m, words.turns_rad)[:, pair]
        row = int((lengths if np.isfinite(lengths).any() else words.lengths_m[:, pair]).argmin())
        return word_curve(words, row, pair, self.radius_m)

    def best(self, words: Words, starts: Floats, ends: Floats, shortest: Curve | None = None) -> Curve | None:
        """The shortest feasible curve between one pair of poses; None where none is found.

        `shortest` spares the search for the shortest curve of all, where that is known.
        """
        if self.problem is not None:
            return self.shortest(words, 0)
        if shortest is not None and self.hit(shortest, starts[0]) is None:
            return shortest
        curve = self._first_clear(words, starts, ends)
        if curve is None and self.find_ways_round(starts[0], ends[0]):
            curve = self._first_clear(words, starts, ends)
        return curve

    def _first_clear(self, words: Words, starts: Floats, ends: Floats) -> Curve | None:
        return next((c for c in self.by_length(words, starts, ends) if self.hit(c, starts[0]) is None), None)

    def hit(self, curve: Curve, start: Floats) -> Hit | None:
        """What the curve comes too near to first, kept in mind; None where it is clear."""
        look_at([(self, curve, start)])
        hit = self.looked_at[start.tobytes(), curve.pieces]
        if hit is not None and hit.owner not in self.owners:
            self.owners.append(hit.owner)
        return hit

    def give_up(self) -> None:
        """Says why there is no feasible line."""
        listed = both([say(owner) if owner == EDGE else owner for owner in self.owners[:3] or [EDGE]])
        if self.turn == "left":
            self.problem = say("no line that turns left keeps clear of {what}", what=listed)
        elif self.turn == "right":
            self.problem = say("no line that turns right keeps clear of {what}", what=listed)
        else:
            self.problem = say("no line keeps clear of {what}", what=listed)

    def find_ways_round(self, start: Floats, end: Floats) -> list[Route]:
        """Looks for the shortest ways round between two poses; returns those that are new."""
        found = search(start, end, self.radius_m, self.obstruction, self.turn)
        self.owners += [owner for owner in found.owners if owner not in self.owners]
        new = [route for route in found.routes if route not in self.routes]
        self.routes += new
        if not found.clear and not self.routes:
            self.failures += 1
            if self.failures == FAILURES:
                self.give_up()
        return new

    def try_again(self) -> None:
        """Forgets that there was no feasible line, because the states at its ends are others now."""
        self.problem, self.failures = None, 0

    def refute(self, lengths: Floats, starts: Floats, ends: Floats, pairs: NDArray[np.intp]) -> None:
        """Makes the shortest word infinite where it certainly hits what has been found in the way.

        Args:
            lengths: of all curves, changed in place.
            starts: the poses where the curves of these pairs begin.
            ends: where they end.
            pairs: the columns of the pairs to look at.
        """
        row = lengths[:WORDS, pairs].argmin(axis=0)
        known = np.isfinite(lengths[row, pairs])
        row, pairs, starts = row[known], pairs[known], starts[known]
        pieces = solve(starts, ends[known], self.radius_m).pieces[:, row, np.arange(len(row))]
        hit = self._surely_hit(starts, pieces.T * self.radius_m, SIDES[row] / self.radius_m)
        lengths[row[hit], pairs[hit]] = np.inf

    def refute_route(self, lengths: Floats, row: int, starts: Floats, ends: Floats, pairs: NDArray[np.intp]) -> None:
        """The same for one curve of a route, given by its row."""
        known = np.isfinite(lengths[row, pairs])
        pairs, starts = pairs[known], starts[known]
        curves = self.solve_route(self.routes[(row - WORDS) // 4], starts, ends[known], ROUGH)
        k = (row - WORDS) % 4
        amounts = np.zeros((len(pairs), 2 * len(curves.radii_m) - 1))
        amounts[:, ::2], amounts[:, 1::2] = (curves.turns[:, k].T * curves.radii_m), curves.straights_m[:, k].T
        bends = np.zeros_like(amounts)
        bends[:, ::2] = curves.sides[:, k] / curves.radii_m
        hit = self._surely_hit(starts, amounts, bends)
        lengths[row, pairs[hit]] = np.inf

    def _surely_hit(self, starts: Floats, lengths_m: Floats, curvatures: Floats) -> NDArray[np.bool_]:
        hit = np.zeros(len(starts), dtype=bool)
        for owner in self.owners:
            rest = np.nonzero(~hit)[0]
            hit[rest] = self.obstruction.surely_hit(owner, starts[rest], lengths_m[rest], curvatures[rest])
        return hit


def look_at(curves: Iterable[tuple[Leg, Curve, Floats]]) -> None:
    """Looks exactly at curves of legs, given with the poses where they start, all those not known yet together."""
    new = [
        (leg, curve, start) for leg, curve, start in curves if (start.tobytes(), curve.pieces) not in leg.looked_at
    ]
    if new:
        starts = np.array([start for _, _, start in new])
        hits = new[0][0].obstruction.hits_by(starts, [curve.pieces for _, curve, _ in new])
        for (leg, curve, start), hit in zip(new, hits, strict=True):
            leg.looked_at[start.tobytes(), curve.pieces] = hit

"""One leg: the curves that it may take between any two states of its ends."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from coursecheck.path.curves import Curve, word_curve, wrapped_curve
from coursecheck.path.detour import Curves, Route, solve_route
from coursecheck.path.obstruction import Hit, Obstruction
from coursecheck.path.search import search
from coursecheck.path.words import SIDES, Floats, Words, solve

__all__ = ["WORDS", "Leg"]

WORDS = len(SIDES)
NO_TURN_RAD = 1e-9


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
    """

    radius_m: float
    obstruction: Obstruction
    turn: str | None = None
    routes: list[Route] = field(default_factory=list)
    owners: list[str] = field(default_factory=list)
    problem: str | None = None

    def lengths(self, words: Words, starts: Floats, ends: Floats) -> Floats:
        """Lengths of all curves for n pairs of poses, shape (6 + 4 for each route, n), words first."""
        rows = [self.allowed(words.lengths_m, words.turns_rad) if self.turn else words.lengths_m]
        rows += [self.route_lengths(route, starts, ends) for route in self.routes]
        return np.concatenate(rows)

    def route_lengths(self, route: Route, starts: Floats, ends: Floats) -> Floats:
        """Lengths of the four curves of a route for n pairs of poses."""
        curves = self.solve_route(route, starts, ends)
        return self.allowed(curves.lengths_m, curves.turns_rad)

    def solve_route(self, route: Route, starts: Floats, ends: Floats) -> Curves:
        """The four curves of a route."""
        return solve_route(starts, ends, route, self.radius_m, self.obstruction.clearance_m)

    def allowed(self, lengths_m: Floats, turns_rad: Floats) -> Floats:
        """The lengths, infinite where the curve turns the wrong way altogether."""
        if self.turn is None:
            return lengths_m
        side = 1.0 if self.turn == "left" else -1.0
        return np.where(side * turns_rad > NO_TURN_RAD, lengths_m, np.inf)

    def curve(self, start: Floats, end: Floats, row: int) -> Curve:
        """The curve of one row of `lengths`."""
        if row < WORDS:
            return word_curve(solve(start, end, self.radius_m), row, self.radius_m)
        route = self.routes[(row - WORDS) // 4]
        return wrapped_curve(self.solve_route(route, start[None], end[None]), (row - WORDS) % 4, route)

    def shortest(self, start: Floats, end: Floats) -> Curve:
        """The shortest curve, whatever stands in its way."""
        words = solve(start, end, self.radius_m)
        lengths = self.allowed(words.lengths_m, words.turns_rad)
        return word_curve(
            words, int((lengths if np.isfinite(lengths).any() else words.lengths_m).argmin()), self.radius_m
        )

    def best(self, start: Floats, end: Floats) -> Curve | None:
        """The shortest feasible curve between two poses; None where none is found."""
        if self.problem is not None:
            return self.shortest(start, end)
        curve = self._first_clear(start, end)
        if curve is None and self.find_ways_round(start, end):
            curve = self._first_clear(start, end)
        return curve

    def _first_clear(self, start: Floats, end: Floats) -> Curve | None:
        words = solve(start[None], end[None], self.radius_m)
        lengths = self.lengths(words, start[None], end[None])[:, 0]
        for row in np.argsort(lengths, kind="stable")[: int(np.isfinite(lengths).sum())]:
            curve = self.curve(start, end, int(row))
            if self.hit(curve, start) is None:
                return curve
        return None

    def hit(self, curve: Curve, start: Floats) -> Hit | None:
        """What the curve comes too near to first, kept in mind; None where it is clear."""
        hit = self.obstruction.hit_by(start, curve.pieces)
        if hit is not None and hit.owner not in self.owners:
            self.owners.append(hit.owner)
        return hit

    def find_ways_round(self, start: Floats, end: Floats) -> list[Route]:
        """Looks for the shortest ways round between two poses; returns those that are new."""
        found = search(start, end, self.radius_m, self.obstruction, self.allowed)
        new = [route for route in found.routes if route not in self.routes]
        self.routes += new
        self.owners += [owner for owner in found.owners if owner not in self.owners]
        return new

    def refute(self, lengths: Floats, words: Words, starts: Floats) -> None:
        """Makes the shortest word of each pair infinite where it certainly hits what has been found in the way."""
        row = lengths[:WORDS].argmin(axis=0)
        pairs = np.nonzero(np.isfinite(lengths[row, np.arange(lengths.shape[1])]))[0]
        for owner in self.owners:
            chosen = row[pairs]
            amounts = words.pieces[:, chosen, pairs].T * self.radius_m
            hit = self.obstruction.surely_hit(owner, starts[pairs], amounts, SIDES[chosen] / self.radius_m)
            lengths[chosen[hit], pairs[hit]] = np.inf
            pairs = pairs[~hit]

"""The curves of a leg between the states of its two ends: their lengths, and which of them hit something.

Lengths are known at once, as if the ring were empty. Curves are looked at only when they matter; those that hit
something are struck out with their like, and ways round are added.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.curves import Curve, Place, place_of
from coursecheck.path.detour import Route
from coursecheck.path.leg_words import least_of, words_of_legs
from coursecheck.path.legs import WORDS, Leg, Looked
from coursecheck.path.memo import Memo
from coursecheck.path.words import Floats

__all__ = ["TIE_M", "LegTable", "first_of_least", "leg_tables"]

BARREN = 4  # searches of a leg for ways round that bring nothing new, after which it is not searched any more
HOPELESS = 2  # the same, once even a deep search has brought nothing; with 1 a plan of the corpus loses a way
MOST = 100  # curves of a leg that are refuted together, the first time; then twice as many as were in question
GROWTH = 1.5  # of how many at least, from each time to the next: of 1.2 to 2 the quickest over crowded samples
QUICK = 32 * MOST  # as many are refuted quickly; of more, the ends are looked at, too
CLOSE = 25  # of so many one is looked at exactly, where a quick look leaves open whether it hits
TIE_M = 1e-9  # what is no shorter than this is as short: the first of equals is chosen, wherever the plan lies
FAR_RAD = 0.5  # at the turn radius: a way round that is longer by that than it might be goes far
ALIKE_RAD = math.radians(
    15.5
)  # between headings as close a search brings the same; no whole number of a grid's steps


def first_of_least(values: Floats) -> int:
    """The index of the least of all values; of equals that of the first one."""
    return int((values <= values.min() + TIE_M).argmax())


@dataclass(slots=True)
class LegTable:
    """All curves of one leg between the states of its two ends; at a stop, where there is no leg, nothing.

    Attributes:
        leg: the leg, or None.
        exits, entries: the poses of the states at its two ends, shapes (n, 3) and (m, 3).
        lengths_m: of all curves, shape (curves, n * m), ends running fastest; infinite where a curve was struck out.
        least_m: of each pair, while the lengths are the memo's, too, and must be copied before they are changed.
        made: the curves that were taken out, by row and pair.
        clear: those of them that were looked at and are clear.
    """

    leg: Leg | None
    exits: Floats
    entries: Floats
    lengths_m: Floats
    least_m: Floats | None = None
    made: dict[tuple[int, int], Curve] = field(default_factory=dict)
    clear: set[tuple[int, int]] = field(default_factory=set)
    _barren: int = 0
    _most: int = MOST
    _least: float = 1.0
    _looked: Looked | None = None
    _hope_m: Floats | None = None  # the shortest word of each pair, struck out or not: no way round is shorter
    _vain: NDArray[np.bool_] = field(init=False)  # pairs like those between which a search brought nothing
    _despaired: bool = False  # whether even a deep search was tried

    def poses(self, pairs: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """Where the curves of some pairs start and end."""
        return self.exits[pairs // len(self.entries)], self.entries[pairs % len(self.entries)]

    def costs(self) -> Floats:
        """The length of the best curve for each pair, shape (n, m)."""
        least = self.least_m if self.least_m is not None else least_of(self.lengths_m)
        return least.reshape(len(self.exits), len(self.entries))

    def pair(self, here: int, there: int) -> int:
        """The index of a pair of states."""
        return here * len(self.entries) + there

    def row(self, pair: int) -> int:
        """The row of the best curve of a pair."""
        return first_of_least(self.lengths_m[:, pair])

    def unknown(self, pair: int) -> tuple[int, Leg, Curve | None, Place] | None:
        """The best curve of a pair, to be looked at, with its row, leg and start; None where that is not needed.

        The curve itself is None where it does not exist after all: lengths of routes are not quite settled.
        """
        if self.leg is None or self.leg.problem is not None:
            return None
        row = self.row(pair)
        if (row, pair) in self.clear or not math.isfinite(self.lengths_m[row, pair]):
            return None
        start, end = self.ends(pair)
        if (row, pair) not in self.made:
            curve = self.leg.curve(start, end, row)
            if curve is None:
                return row, self.leg, None, start
            self.made[row, pair] = curve
        return row, self.leg, self.made[row, pair], start

    def ends(self, pair: int) -> tuple[Place, Place]:
        """Where the curves of one pair start and end."""
        here, there = divmod(pair, len(self.entries))
        return place_of(self.exits[here].tolist()), place_of(self.entries[there].tolist())

    def strike_out(self, row: int, pair: int) -> None:
        """Puts one curve out of the question."""
        if self._hope_m is None:
            self._hope_m = self.lengths_m[:WORDS].min(axis=0)
            self._vain = np.zeros(len(self._hope_m), dtype=bool)
        if self.least_m is not None:
            self.lengths_m, self.least_m = self.lengths_m.copy(), None
        self.lengths_m[row, pair] = np.inf

    def go_round(self, row: int, pair: int, around: Floats) -> None:
        """After a curve was struck out: finds ways round, and strikes out its like at other pairs that matter.

        Args:
            row: the curve that was struck out.
            pair: its pair of states.
            around: the least cost of the chain without this leg, by pair.
        """
        if self.leg is None:
            return
        if self._is_promising and not self._vain[pair] and (row >= WORDS or not self.leg.routes):
            self._search(self.leg, pair)
        self._refute(self.leg, around)

    def _refute(self, leg: Leg, around: Floats) -> None:
        """Strikes out curves that hit something at pairs that matter, for the arguments see `go_round`.

        Nothing dearer than what is known to be clear is in question yet. But ever more is refuted beyond it: two legs
        that share a node would else make each other's curves dearer in turn, hardly at all, any number of times.
        """
        self._least = min(GROWTH * self._least, self.lengths_m.size)
        least, most = int(self._least), max(self._most, int(self._least))
        if self._looked is None:
            self._looked = Looked(*np.zeros((2, *self.lengths_m.shape), dtype=bool))
        self._looked.keep_up(len(self.lengths_m), len(leg.owners), thorough=most > QUICK)
        through = around + self.lengths_m
        known = through[self._looked.exact].min(initial=np.inf)
        through[self._looked.exact] = np.inf
        rows, pairs = np.divmod(_least(through.ravel(), least, most, known), through.shape[1])
        asked = int(np.count_nonzero(through[rows, pairs] <= known + TIE_M))
        closely = max(len(rows) // CLOSE, min(asked, most // CLOSE))
        leg.refute(self.lengths_m, self._looked, rows, pairs, *self.poses(pairs), closely)
        self._most = max(self._most, 2 * asked)

    def _search(self, leg: Leg, pair: int, *, deep: bool = False) -> bool:
        """Looks for ways round between the states of one pair; whether any is new."""
        new = leg.find_ways_round(*self.ends(pair), deep=deep)
        if not new:
            here, there = divmod(pair, len(self.entries))
            self._barren += 1
            self._vain |= (_alike(self.exits, here)[:, None] & _alike(self.entries, there)[None, :]).ravel()
            return False
        self.add(leg, new)
        return True

    def add(self, leg: Leg, routes: Sequence[Route]) -> None:
        """Adds the curves of routes of the leg."""
        starts, ends = self.poses(np.arange(self.lengths_m.shape[1]))
        more = [leg.route_lengths(route, starts, ends) for route in routes]
        self.lengths_m, self.least_m = np.concatenate([self.lengths_m, *more]), None

    @property
    def unexplored(self) -> bool:
        """Whether something stands in the way, and other ways round may be found."""
        open_yet = self._is_promising or not self._despaired
        return self.leg is not None and self.leg.problem is None and self._hope_m is not None and open_yet

    @property
    def _is_promising(self) -> bool:
        """Whether a search is worth its time."""
        hopeless = self.leg is not None and self.leg.hopeless and not self.leg.routes
        return self._barren < (HOPELESS if hopeless else BARREN)

    def look_further(self, pair: int, around: Floats) -> bool:
        """Looks for ways round between other states where all that are known go far; whether any is new.

        Args:
            pair: the best one so far.
            around: as for `go_round`.
        """
        if self.leg is None or self._hope_m is None:
            return False
        least_m, far_m = self.lengths_m.min(axis=0), FAR_RAD * self.leg.radius_m
        hope_m = around + self._hope_m
        hope_m[(least_m < self._hope_m + far_m) | (hope_m >= around[pair] + least_m[pair] - far_m)] = np.inf
        while self._is_promising:
            open_m = np.where(self._vain, np.inf, hope_m)
            best = first_of_least(open_m)
            if open_m[best] == np.inf:
                break
            if self._search(self.leg, best):
                return True
        if self._despaired or np.isfinite(least_m).any():
            return False
        self._despaired = True
        if self.leg.hopeless:
            return False
        self.leg.hopeless = not self._search(self.leg, first_of_least(hope_m), deep=True)
        return not self.leg.hopeless

    def chosen(self, pair: int) -> Curve | None:
        """The best curve of a pair; where there is none, the shortest one, and the leg has a problem."""
        if self.leg is None:
            return None
        row = self.row(pair)
        if self.leg.problem is None and not np.isfinite(self.lengths_m[row, pair]):
            self.leg.give_up()
        if self.leg.problem is not None:
            return self.leg.shortest_option(*self.ends(pair)).curve()
        return self.made[row, pair]


def _least(values: Floats, few: int, many: int, bound: float) -> NDArray[np.intp]:
    """The indices of the least values: all up to a bound, but at least about so few and at most about so many.

    None is infinite; of equals the first ones come first.
    """
    counts = [count for count in (few, many) if count < len(values)]
    if counts:
        ordered = np.partition(values, counts)
        low, high = (ordered[count] if count < len(values) else np.inf for count in (few, many))
        bound = min(max(bound, low), high)
    least = np.nonzero(values <= min(bound + TIE_M, sys.float_info.max))[0]
    return least[np.argsort(np.round(values[least] / TIE_M), kind="stable")]


def _alike(poses: Floats, one: int) -> NDArray[np.bool_]:
    """Which poses look nearly the same way as one of them."""
    off_rad = np.abs(np.remainder(poses[:, 2] - poses[one, 2] + np.pi, 2 * np.pi) - np.pi)
    return np.asarray(off_rad <= ALIKE_RAD)


def leg_tables(
    legs: Sequence[Leg | None], ends: Sequence[tuple[Floats, Floats]], keys: Sequence[Hashable], memo: Memo
) -> list[LegTable]:
    """The tables of legs.

    Args:
        legs: the legs; None at a stop.
        ends: the poses of all states at the start and at the end of each.
        keys: of each leg, what its poses follow from, or None where that is not worth keeping.
        memo: keeps the words of legs that have a key.
    """
    words = words_of_legs(legs, ends, keys, memo)
    tables = []
    for leg, (exits, entries), (lengths, least) in zip(legs, ends, words, strict=True):
        table = LegTable(leg, exits, entries, lengths, least)
        if leg is not None and leg.routes:
            table.add(leg, leg.routes)
        tables.append(table)
    return tables

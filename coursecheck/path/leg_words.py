"""The lengths of the words of legs between all states of their ends, as if the ring were empty."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from functools import lru_cache, partial
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from coursecheck.path.flights import BLOCKED_M
from coursecheck.path.legs import WORDS, Leg
from coursecheck.path.memo import Memo
from coursecheck.path.words import Floats, word_lengths

__all__ = ["least_of", "words_of_legs"]

SMALL = 400  # pairs of poses of a leg that is solved together with others,
TOGETHER = 20  # as many legs; more would leave the processor's cache


def _pairs(ends: Sequence[tuple[Floats, Floats]]) -> tuple[Floats, Floats]:
    """Every start of each leg with every end of it, ends running fastest, one leg after the other."""
    here, there = _combined(tuple((len(exits), len(entries)) for exits, entries in ends))
    starts, ways = (np.concatenate(poses) for poses in zip(*ends, strict=True))
    return starts.take(here, axis=0), ways.take(there, axis=0)


@lru_cache(maxsize=256)
def _combined(counts: Sequence[tuple[int, int]]) -> NDArray[np.intp]:
    """The indices, shape (2, pairs), of the starts and ends of `_pairs`, by how many each leg has."""
    firsts = np.cumsum([(0, 0), *counts[:-1]], axis=0)
    pairs = [np.indices(count).reshape(2, -1) + first[:, None] for count, first in zip(counts, firsts, strict=True)]
    return np.concatenate(pairs, axis=1)


def words_of_legs(
    legs: Sequence[Leg | None], ends: Sequence[tuple[Floats, Floats]], keys: Sequence[Hashable], memo: Memo
) -> list[tuple[Floats, Floats | None]]:
    """The lengths of the words of all legs, big ones each by itself, small ones together; of some with the least.

    Args:
        legs: the legs; None at a stop, whose only curve has no length.
        ends: the poses of all states at the start and at the end of each.
        keys: of each leg, what its poses follow from, or None where that is not worth keeping.
        memo: keeps the words of legs that have a key.

    Returns:
        For each leg the lengths, shape (words, pairs), and the least of each pair or None.
    """
    found: list[tuple[Floats, Floats | None]] = [
        (np.zeros((1, len(exits) * len(entries))), None) for exits, entries in ends
    ]
    small: dict[str | None, list[int]] = {}
    for k, (leg, (exits, entries), key) in enumerate(zip(legs, ends, keys, strict=True)):
        if leg is None:
            continue
        if key is not None:
            made = partial(_kept_words, leg, exits, entries)
            found[k] = memo.get("words", (key, leg.radius_m, leg.turn), made)
        elif len(exits) * len(entries) > SMALL:
            found[k] = _grid_words(leg, exits, entries), None
        else:
            small.setdefault(leg.turn, []).append(k)
            radius_m = leg.radius_m
    for turn, alike in small.items():
        for some in (alike[at : at + TOGETHER] for at in range(0, len(alike), TOGETHER)):
            lengths = word_lengths(*_pairs([ends[k] for k in some]), radius_m, turn)
            counts = (len(exits) * len(entries) for exits, entries in (ends[k] for k in some))
            for k, cut in zip(some, pairwise(accumulate(counts, initial=0)), strict=True):
                found[k] = lengths[:, slice(*cut)], None
    return found


def _kept_words(leg: Leg, exits: Floats, entries: Floats) -> tuple[Floats, Floats]:
    lengths = _grid_words(leg, exits, entries)
    return lengths, least_of(lengths)


def _grid_words(leg: Leg, exits: Floats, entries: Floats) -> Floats:
    return word_lengths(exits[:, None], entries[None], leg.radius_m, leg.turn).reshape(WORDS, -1)


def least_of(lengths_m: Floats) -> Floats:
    """The length of the best curve of each pair."""
    return np.asarray(np.minimum(lengths_m.min(axis=0), BLOCKED_M))

"""What one computation of a line may keep for the next one.

Every entry is found by the exact input of the step that made it, so a line that is computed with a memo is the same
to the last bit as one that is computed without. When one obstacle moves, only what lies near it is computed anew.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from itertools import repeat
from typing import TypeVar

__all__ = ["Memo"]

T = TypeVar("T")
_UNKNOWN = object()


class Memo:
    """Results by the exact input that they follow from."""

    CAPACITY = 4000
    """Entries of one kind; when there are more, that kind begins afresh."""

    TURN_AFTER = 1000
    """New entries of all kinds after which those that are not used any more are looked for."""

    def __init__(self) -> None:
        self._kept: dict[str, dict[Hashable, object]] = defaultdict(dict)
        self._before: dict[str, dict[Hashable, object]] = {}
        self._new = 0

    def turn(self) -> None:
        """Begins the next computation: now and then, what was not used for long is forgotten.

        For those who compute plan after plan, each a little different: what they keep does not grow.
        """
        if self._new >= self.TURN_AFTER:
            self._before, self._kept, self._new = self._kept, defaultdict(dict), 0

    def get(self, kind: str, key: Hashable, make: Callable[[], T]) -> T:
        """The result that belongs to a key, made now if it is not known."""
        found = self._kept[kind].get(key, _UNKNOWN)
        if found is _UNKNOWN:
            [found] = self.many(kind, (key,), lambda _: (make(),))
        return found  # type: ignore[return-value]  # a kind and its key always hold the same type

    def many(self, kind: str, keys: Sequence[Hashable], make: Callable[[list[int]], Iterable[T]]) -> list[T]:
        """The results that belong to some keys; those that are not known are made together, from their indices."""
        kept, before = self._kept[kind], self._before.get(kind, {})
        found = list(map(kept.get, keys, repeat(_UNKNOWN)))
        if missing := [i for i, result in enumerate(found) if result is _UNKNOWN]:
            for i in missing:
                found[i] = before.get(keys[i], _UNKNOWN)
            new = [i for i in missing if found[i] is _UNKNOWN]
            for i, result in zip(new, make(new) if new else (), strict=True):
                found[i] = result
            if len(kept) + len(missing) > self.CAPACITY:
                kept.clear()
            kept.update((keys[i], found[i]) for i in missing)
            self._new += len(new)
        return found  # type: ignore[return-value]  # a kind and its key always hold the same type

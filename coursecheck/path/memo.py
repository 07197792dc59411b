"""What one computation of a line may keep for the next one.

Every entry is found by the exact input of the step that made it, so a line that is computed with a memo is the same
to the last bit as one that is computed without. When one obstacle moves, only what lies near it is computed anew.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import TypeVar

__all__ = ["Memo"]

T = TypeVar("T")
_UNKNOWN = object()


class Memo:
    """Results by the exact input that they follow from."""

    CAPACITY = 4000
    """Entries of one kind; when there are more, that kind begins afresh."""

    def __init__(self) -> None:
        self._kept: dict[str, dict[Hashable, object]] = {}
        self._before: dict[str, dict[Hashable, object]] = {}

    def turn(self) -> None:
        """Begins the next computation: what the one before it did not use is forgotten.

        For those who compute plan after plan, each a little different: what they keep does not grow.
        """
        self._before, self._kept = self._kept, {}

    def get(self, kind: str, key: Hashable, make: Callable[[], T]) -> T:
        """The result that belongs to a key, made now if it is not known."""
        kept = self._kept.setdefault(kind, {})
        found = kept.get(key, _UNKNOWN)
        if found is _UNKNOWN:
            if len(kept) >= self.CAPACITY:
                kept.clear()
            found = self._before.get(kind, {}).get(key, _UNKNOWN)
            kept[key] = found = make() if found is _UNKNOWN else found
        return found  # type: ignore[return-value]  # a kind and its key always hold the same type

    def many(self, kind: str, keys: Sequence[Hashable], make: Callable[[list[int]], Iterable[T]]) -> list[T]:
        """The results that belong to some keys; those that are not known are made together, from their indices."""
        kept = self._kept.setdefault(kind, {})
        before = self._before.get(kind, {})
        found = [before.get(key, _UNKNOWN) for key in keys] if before else [_UNKNOWN] * len(keys)
        missing = [i for i, result in enumerate(found) if result is _UNKNOWN]
        if kept and missing:
            for i in missing:
                found[i] = kept.get(keys[i], _UNKNOWN)
            missing = [i for i in missing if found[i] is _UNKNOWN]
        if len(kept) + len(keys) > self.CAPACITY:
            kept.clear()
        for i, result in zip(missing, make(missing) if missing else (), strict=True):
            found[i] = result
        kept.update(zip(keys, found, strict=True))
        return found  # type: ignore[return-value]  # a kind and its key always hold the same type

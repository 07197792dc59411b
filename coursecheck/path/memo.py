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

    def get(self, kind: str, key: Hashable, make: Callable[[], T]) -> T:
        """The result that belongs to a key, made now if it is not known."""
        kept = self._kept.setdefault(kind, {})
        if key not in kept:
            if len(kept) >= self.CAPACITY:
                kept.clear()
            kept[key] = make()
        return kept[key]  # type: ignore[return-value]  # a kind and its key always hold the same type

    def many(self, kind: str, keys: Sequence[Hashable], make: Callable[[list[int]], Iterable[T]]) -> list[T]:
        """The results that belong to some keys; those that are not known are made together, from their indices."""
        kept = self._kept.setdefault(kind, {})
        found = [kept.get(key, _UNKNOWN) for key in keys]
        missing = [i for i, result in enumerate(found) if result is _UNKNOWN]
        if len(kept) + len(missing) > self.CAPACITY:
            kept.clear()
        for i, result in zip(missing, make(missing) if missing else (), strict=True):
            kept[keys[i]] = found[i] = result
        return found  # type: ignore[return-value]  # a kind and its key always hold the same type

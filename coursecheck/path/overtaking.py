"""A line that takes long may be overtaken: what it was asked for has changed, and nobody waits for it any more."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

__all__ = ["OvertakenError", "give_way", "until"]

_overtaken: ContextVar[Callable[[], bool] | None] = ContextVar("overtaken", default=None)


class OvertakenError(Exception):
    """Nobody waits for the result any more; what was kept in memos on the way holds."""


@contextmanager
def until(overtaken: Callable[[], bool]) -> Iterator[None]:
    """What is worked out in the block is given up once it is overtaken."""
    before = _overtaken.set(overtaken)
    try:
        yield
    finally:
        _overtaken.reset(before)


def give_way() -> None:
    """Where work that takes long may be given up. Raises OvertakenError when it is overtaken."""
    overtaken = _overtaken.get()
    if overtaken is not None and overtaken():
        raise OvertakenError

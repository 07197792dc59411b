"""The windows that show the board: one draws, the others read; all hear what happens to the file."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from typing import Any

__all__ = ["Windows"]

_KEEP_ALIVE_S = 15.0


class Windows:
    """Every open window, in the order of their coming, with what it still has to be told.

    Args:
        may_draw: whether any window may draw at all.
    """

    def __init__(self, *, may_draw: bool) -> None:
        self._may_draw = may_draw
        self._waiting: dict[str, asyncio.Queue[dict[str, Any] | None]] = {}

    def draws(self, window: str) -> bool:
        """Whether a window is the one that draws: the first of those that are open."""
        return self._may_draw and next(iter(self._waiting), None) == window

    def tell(self, event: dict[str, Any]) -> None:
        """Tells something to every window."""
        for queue in self._waiting.values():
            queue.put_nowait(event)

    def end(self) -> None:
        """Ends every stream."""
        for queue in self._waiting.values():
            queue.put_nowait(None)

    async def stream(self, window: str) -> AsyncIterator[str]:
        """The server-sent events of a window until it goes; the next one then draws."""
        queue: asyncio.Queue[dict[str, Any] | None] = asyncio.Queue()
        self._waiting[window] = queue
        self._tell_pen(window)
        try:
            while True:
                try:
                    event = await asyncio.wait_for(queue.get(), _KEEP_ALIVE_S)
                except TimeoutError:
                    yield ": still here\n\n"
                    continue
                if event is None:
                    return
                yield f"data: {json.dumps(event)}\n\n"
        finally:
            if self._waiting.get(window) is queue:
                del self._waiting[window]
                for other in list(self._waiting)[:1]:
                    self._tell_pen(other)

    def _tell_pen(self, window: str) -> None:
        self._waiting[window].put_nowait({"type": "pen", "draws": self.draws(window)})

"""A bar that shows how many plans are done: on standard error, for people alone."""

from __future__ import annotations

import sys
from types import TracebackType
from typing import TYPE_CHECKING

from coursecheck.cli.options import is_terminal

if TYPE_CHECKING:
    from rich.progress import Progress as Bar

__all__ = ["Progress"]


class Progress:
    """Counts plans; shown only for several plans and where standard error is a terminal."""

    def __init__(self, total: int) -> None:
        self._bar: Bar | None = None
        self._total = total

    def __enter__(self) -> Progress:
        if self._total > 1 and is_terminal(sys.stderr):
            from rich.console import Console
            from rich.progress import BarColumn, MofNCompleteColumn, TimeRemainingColumn
            from rich.progress import Progress as Bar

            columns = (BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
            self._bar = Bar(*columns, console=Console(stderr=True), transient=True)
            self._bar.add_task("plans", total=self._total)
            self._bar.start()
        return self

    def advance(self) -> None:
        """One more plan is done."""
        if self._bar is not None:
            self._bar.advance(self._bar.task_ids[0])

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._bar is not None:
            self._bar.stop()

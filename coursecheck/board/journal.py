"""What was drawn and is not in the file yet, so that a crash loses at most the gesture in hand.

The journal lies beside the course file while a board is open. Whoever holds its lock draws; a second board on the
same file reads only.
"""

from __future__ import annotations

import contextlib
import json
import os
from pathlib import Path
from typing import IO, Any

from coursecheck.board.lock import locked
from coursecheck.documents.causes import cause_words
from coursecheck.errors import WriteError
from coursecheck.language import say

__all__ = ["Journal"]


class Journal:
    """One line of JSON for each gesture since the last save.

    Args:
        file: the course file that it belongs to.

    Attributes:
        ours: whether this process holds it; without it nothing is written.
    """

    def __init__(self, file: Path) -> None:
        self.path = file.with_name(f".{file.name}.journal")
        try:
            self._file: IO[bytes] | None = self.path.open("a+b")
        except OSError as cause:
            wrong = say("{file}: cannot be written: {cause}", file=self.path, cause=cause_words(cause))
            raise WriteError(wrong) from cause
        self.ours = locked(self._file)
        if not self.ours:
            self._file.close()
            self._file = None

    def last(self) -> dict[str, Any] | None:
        """The newest state that was noted whole, or None."""
        if self._file is None:
            return None
        self._file.seek(0)
        for row in reversed(self._file.read().split(b"\n")):
            try:
                state = json.loads(row)
            except ValueError:
                continue  # the line that was being written when the process was killed, or the empty end
            return state if isinstance(state, dict) else None
        return None

    def note(self, state: dict[str, Any]) -> None:
        """Adds a state; it is on the disk when this returns."""
        if self._file is not None:
            self._file.write(json.dumps(state).encode() + b"\n")
            self._file.flush()
            os.fsync(self._file.fileno())

    def clear(self) -> None:
        """Forgets every state: the file holds the newest one."""
        if self._file is not None:
            self._file.truncate(0)

    def close(self, *, keep: bool) -> None:
        """Gives the journal back; with `keep` what it holds is offered again on the next start."""
        if self._file is None:
            return
        if os.name == "nt":  # an open file cannot be taken away there; who opened it meanwhile may have it
            self._file.close()
            if not keep:
                with contextlib.suppress(PermissionError):
                    self.path.unlink(missing_ok=True)
        else:  # taken away before the lock is given back, so that nobody locks a file that is about to go
            if not keep:
                self.path.unlink(missing_ok=True)
            self._file.close()
        self._file = None

"""Writing a file whole or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Iterable
from os import PathLike
from pathlib import Path

from coursecheck.documents.causes import cause_words
from coursecheck.errors import WriteError
from coursecheck.language import say

__all__ = ["write_atomic"]


def write_atomic(path: str | PathLike[str], data: bytes | Iterable[bytes]) -> None:
    """Writes a file so that at any moment either the old or the new content is there, whole.

    The new content goes to a file beside it, which then takes its place and its permissions. A symbolic link is
    followed. A device, such as standard output, is written to as it is.

    Args:
        path: the file, new or to be replaced.
        data: its content, or pieces of it that are made while they are written.

    Raises:
        WriteError: it cannot be written; what was there is untouched.
    """
    pieces = (data,) if isinstance(data, bytes) else data
    try:
        target = _target(path)
        mode = target.stat().st_mode if target.exists() else None
        if mode is not None and stat.S_ISDIR(mode):
            raise WriteError(say("{file}: is a folder, not a file", file=path))
        if mode is not None and not stat.S_ISREG(mode):
            with target.open("wb") as file:
                file.writelines(pieces)
        else:
            _replace(target, pieces, mode)
    except OSError as cause:
        raise _unwritten(path, cause) from cause


def _target(path: str | PathLike[str]) -> Path:
    """The file that is meant, its links followed; no file has a name with a null in it, or links in a circle."""
    try:
        return Path(path).resolve()
    except (ValueError, RuntimeError) as cause:
        raise _unwritten(path, cause) from cause


def _unwritten(path: str | PathLike[str], cause: Exception) -> WriteError:
    return WriteError(say("{file}: cannot be written: {cause}", file=path, cause=cause_words(cause)))


def _replace(target: Path, pieces: Iterable[bytes], mode: int | None) -> None:
    beside = target.with_name(f".{os.urandom(8).hex()}.tmp")
    try:
        with beside.open("xb") as file:
            if mode is not None:
                beside.chmod(stat.S_IMODE(mode))
            file.writelines(pieces)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise

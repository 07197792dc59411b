"""The lock of a file, by which one board knows of another. It ends with the process, however that ends."""

from __future__ import annotations

import importlib
import os
from typing import IO, Any

__all__ = ["locked"]

_FAR_BYTE = 1 << 30
"""Windows locks bytes and then keeps others from reading them: this one lies beyond everything that is written."""


def locked(file: IO[bytes]) -> bool:
    """Whether the lock on an open file could be had; it is held until the file is closed."""
    try:
        fcntl: Any = importlib.import_module("fcntl")
    except ModuleNotFoundError:
        return _locked_on_windows(file)
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def _locked_on_windows(file: IO[bytes]) -> bool:
    msvcrt: Any = importlib.import_module("msvcrt")
    number = file.fileno()
    place = os.lseek(number, 0, os.SEEK_CUR)
    try:
        os.lseek(number, _FAR_BYTE, os.SEEK_SET)
        msvcrt.locking(number, msvcrt.LK_NBLCK, 1)
    except OSError:
        return False
    finally:
        os.lseek(number, place, os.SEEK_SET)
    return True

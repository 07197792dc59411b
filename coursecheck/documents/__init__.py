"""Files that people write by hand: read whole, every mistake with its place, written whole or not at all.

Used by the course file and by the rulebook. A *key path* names a place in a file the way a programmer would write
it: `ring.size`, `obstacle[2].at[0]`; places in lists are counted from 0, lines of the file from 1.
"""

from __future__ import annotations

from coursecheck.documents.conversion import Taken, convert
from coursecheck.documents.problems import Problems, nearest
from coursecheck.documents.toml import Document, parse_toml, read_toml
from coursecheck.documents.writing import write_atomic

__all__ = [
    "Document",
    "Problems",
    "Taken",
    "convert",
    "nearest",
    "parse_toml",
    "read_toml",
    "write_atomic",
]

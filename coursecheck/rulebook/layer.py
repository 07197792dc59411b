"""One file of a rulebook while it is read: what could be taken of it, and what its rows share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeVar

from msgspec import NODEFAULT, Struct, structs

from coursecheck.documents import Document, Problems, Taken
from coursecheck.rulebook.document import RulebookFile, WhereTable
from coursecheck.rulebook.model import Place, Selectors
from coursecheck.rulebook.vocabulary import Vocabulary, selectors_of
from coursecheck.units import FOOT_M, YARD_M

__all__ = ["Layer", "decimal_of", "part", "tables"]

S = TypeVar("S", bound=Struct)


@dataclass(frozen=True, slots=True)
class Layer:
    """One file of a rulebook.

    Attributes:
        document: the file.
        taken: what could be taken of it, by key path.
        problems: where mistakes are noted.
        words: what it may say.
        rulebook: its id.
        units: "m" or "ft". rate_unit: "m/s" or "yd/s".
    """

    document: Document
    taken: Taken[RulebookFile]
    problems: Problems
    words: Vocabulary
    rulebook: str
    units: str
    rate_unit: str

    def tables(self, key: str, struct: type[S]) -> Iterator[tuple[str, dict[str, Any], S]]:
        """The rows of the file under a key; of hopeless rows at least the selectors are checked."""
        for path, raw, table in tables(self.document, self.taken, key, struct):
            if table is not None:
                yield path, raw, table
            else:
                where = part(self.taken, f"{path}.where", WhereTable)
                self.selectors(where or WhereTable(), path)

    def place(self, path: str) -> Place:
        """Where a row stands."""
        return Place(self.rulebook, self.document.name, path, self.document.lines)

    def selectors(self, where: WhereTable, path: str) -> Selectors:
        """The selectors of a row, with unknown values noted."""
        return selectors_of(where, f"{path}.where", self.words, self.problems)

    def metric(self, value: float, unit: str) -> float:
        """A figure of the file in metres or square metres, where its unit is one of length; else as it is."""
        if self.units == "m" or unit not in ("m", "m2"):
            return value
        return float(decimal_of(value) * decimal_of(FOOT_M) ** (2 if unit == "m2" else 1))

    def rate_mps(self, value: float) -> Decimal:
        """A rate of the file in metres per second, exactly."""
        return decimal_of(value) * (decimal_of(YARD_M) if self.rate_unit == "yd/s" else 1)


def decimal_of(value: float) -> Decimal:
    """The decimal that was written, not the binary fraction next to it."""
    return Decimal(repr(value))


def tables(
    document: Document, taken: Taken[Any], key: str, struct: type[S]
) -> Iterator[tuple[str, dict[str, Any], S | None]]:
    """The rows under a key: key path, raw table, and what could be taken of it; None of a hopeless row."""
    rows = document.raw.get(key)
    for i, raw in enumerate(rows if isinstance(rows, list) else []):
        if isinstance(raw, dict):
            yield f"{key}[{i}]", raw, part(taken, f"{key}[{i}]", struct)


def part(taken: Taken[Any], path: str, struct: type[S]) -> S | None:
    """A table with whatever of it is right; None where something is lacking that it cannot be without."""
    whole = taken.at(path, struct)
    if whole is not None:
        return whole
    values: dict[str, Any] = {}
    for item in structs.fields(struct):
        place = f"{path}.{item.encode_name}" if path else item.encode_name
        if place in taken.parts:
            values[item.name] = taken.parts[place]
        elif item.type is WhereTable:
            values[item.name] = part(taken, place, WhereTable)
        elif item.default is NODEFAULT and item.default_factory is NODEFAULT:
            return None
    return struct(**values)

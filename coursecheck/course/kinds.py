"""How a kind of obstacle introduces itself to the course file: its name, its sizes, the words people mix it up with.

The kinds themselves are made in the equipment package and handed in, so that adding one touches that package alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

__all__ = ["KindWords", "Size"]


@dataclass(frozen=True, slots=True)
class Size:
    """A size of a kind of obstacle.

    Attributes:
        default: the value where neither the judge nor the rulebook gives one; metres, degrees or a count.
        unit: "m", "deg" or "count".
        about: what it is, in a few words.
        source: where the default was read, or "common practice, no source".
        signed: whether it may be negative or zero (a bend: to the left, or none).
    """

    default: float
    unit: str
    about: str
    source: str
    signed: bool = False


class KindWords(Protocol):
    """What the course reader has to know of a kind."""

    @property
    def name(self) -> str:
        """The word in the file."""
        ...

    @property
    def synonyms(self) -> tuple[str, ...]:
        """Other words people use for it; refused with a hint."""
        ...

    @property
    def sizes(self) -> Mapping[str, Size]:
        """Its optional sizes by name."""
        ...

    @property
    def slope(self) -> tuple[str, str, int] | None:
        """Of planks: which size is their length, which one their height, and how many slopes a length makes."""
        ...

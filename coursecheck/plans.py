"""Reading plans, and the rulebooks that they name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from coursecheck.course.model import Course
from coursecheck.course.reading import parse_course, read_course
from coursecheck.equipment import KINDS
from coursecheck.measures import MEASURES
from coursecheck.resources import folder
from coursecheck.rulebook.loading import read_rulebook
from coursecheck.rulebook.model import Rulebook

if TYPE_CHECKING:
    from os import PathLike

__all__ = ["Shelf", "load_course", "load_plan", "load_rulebook", "plan_from_text", "shipped_rulebooks"]


@dataclass(frozen=True, slots=True)
class _Vocabulary:
    """The words of a rulebook that a course file may use."""

    disciplines: Mapping[str, tuple[str, ...]]
    heights: tuple[str, ...]


def load_rulebook(name: str, beside: str | PathLike[str] | None = None) -> Rulebook:
    """Reads a rulebook.

    Args:
        name: the name of a shipped rulebook, or a path, relative to `beside` or to the working folder.
        beside: the folder of the course file that names it.

    Raises:
        RulebookError: with every problem of the file.
    """
    place = None if beside is None else Path(beside)
    return read_rulebook(name, folder=folder("rules"), beside=place, measures=MEASURES, kinds=KINDS)


def shipped_rulebooks() -> list[str]:
    """The names of the rulebooks that ship, sorted; bases that only serve others are left out."""
    return sorted(path.stem for path in folder("rules").glob("*.toml") if path.stem != "base")


class Shelf:
    """Rulebooks that were read already, for those who judge many plans."""

    def __init__(self) -> None:
        self._books: dict[tuple[str, Path | None], Rulebook] = {}
        self._shipped = shipped_rulebooks()

    def book(self, name: str, beside: Path) -> Rulebook:
        """The rulebook that a course file in the folder `beside` calls by that name; raises like `load_rulebook`."""
        key = (name, None if name in self._shipped else beside)
        if key not in self._books:
            self._books[key] = load_rulebook(name, beside)
        return self._books[key]

    def shipped(self) -> list[Rulebook]:
        """All rulebooks that ship."""
        return [self.book(name, Path()) for name in self._shipped]


@dataclass(frozen=True, slots=True)
class _Reading:
    """The rulebooks that one course file asks for."""

    shelf: Shelf
    beside: Path

    def book(self, name: str) -> Rulebook:
        return self.shelf.book(name, self.beside)

    def vocabulary(self, name: str) -> _Vocabulary:
        book = self.book(name)
        return _Vocabulary(book.disciplines, tuple(book.heights))


def load_plan(path: str | PathLike[str], shelf: Shelf | None = None) -> tuple[Course, Rulebook]:
    """Reads a course file and the rulebook that it names.

    Args:
        path: the file.
        shelf: keeps the rulebooks for the next plan.

    Raises:
        CourseError: with every problem of the course file, the rulebook's among them.
    """
    reading = _Reading(shelf or Shelf(), Path(path).parent)
    course = read_course(Path(path), KINDS, reading.vocabulary)
    return course, reading.book(course.rulebook)


def load_course(path: str | PathLike[str]) -> Course:
    """Reads a course file and holds its words against the rulebook that it names.

    Raises:
        CourseError: with every problem of the file.
    """
    return load_plan(path)[0]


def plan_from_text(
    text: str, name: str = "course", beside: str | PathLike[str] = ".", shelf: Shelf | None = None
) -> tuple[Course, Rulebook]:
    """Reads a course from text; `name` stands for the file in messages. Else like `load_plan`."""
    reading = _Reading(shelf or Shelf(), Path(beside))
    course = parse_course(text, name, KINDS, reading.vocabulary)
    return course, reading.book(course.rulebook)

"""The plan as the page holds it: the tables of a course file with every length in metres, whatever its units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from coursecheck.checking import Shelf
from coursecheck.course.model import Course
from coursecheck.course.plain import plain_course
from coursecheck.course.reading import course_of_tables
from coursecheck.equipment import KINDS
from coursecheck.rulebook.model import Rulebook

__all__ = ["Library", "page_tables"]


def page_tables(course: Course) -> dict[str, Any]:
    """The tables of a course in metres, every coordinate exactly as the model has it."""
    tables = plain_course(replace(course, units="m"), KINDS)
    for table, obstacle in zip(tables["obstacle"], course.obstacles, strict=True):
        table |= {"at": list(obstacle.at), "bearing": obstacle.bearing_deg, **obstacle.sizes}
    if course.units != "m":
        tables["course"]["units"] = course.units
    return tables


@dataclass(frozen=True, slots=True)
class _Words:
    """The words of a rulebook that a plan may use."""

    disciplines: Mapping[str, tuple[str, ...]]
    heights: tuple[str, ...]


class Library:
    """Reads plans of the page together with the rulebooks that they name.

    Args:
        beside: the folder that the course file lies in.
    """

    def __init__(self, beside: Path) -> None:
        self.shelf = Shelf()
        self._beside = beside

    def book(self, name: str) -> Rulebook:
        """The rulebook of that name; raises RulebookError."""
        return self.shelf.book(name, self._beside)

    def words(self, name: str) -> _Words:
        """The words of a rulebook; raises RulebookError."""
        book = self.book(name)
        return _Words(book.disciplines, tuple(book.heights))

    def course(self, tables: Mapping[str, Any]) -> tuple[Course, Rulebook]:
        """The course that the page's tables stand for, and its rulebook.

        Args:
            tables: as `page_tables` gives them; from a page, so anything at all.

        Raises:
            CourseError: with every problem.
        """
        head = tables.get("course")
        units = "m"
        if isinstance(head, dict) and head.get("units") == "ft":
            units, tables = "ft", {**tables, "course": {**head, "units": "m"}}
        course = course_of_tables(tables, "the board", KINDS, self.words)
        return replace(course, units=units), self.book(course.rulebook)

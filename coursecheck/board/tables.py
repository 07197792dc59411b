"""The plan as the page holds it: the tables of a course file with every length in metres, whatever its units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from coursecheck.board.refusals import named_place
from coursecheck.course.model import Course
from coursecheck.course.plain import plain_course
from coursecheck.course.reading import course_of_tables
from coursecheck.equipment import KINDS
from coursecheck.errors import CoursecheckError, CourseError
from coursecheck.plans import Shelf
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
        self._last: tuple[Mapping[str, Any], Course] | None = None

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
            CourseError: with every problem, its place named as the page names it.
        """
        course = self._moved(tables) or self._read(tables)
        self._last = (tables, course)
        return course, self.book(course.rulebook)

    def _read(self, tables: Mapping[str, Any]) -> Course:
        head = tables.get("course")
        units = "m"
        if isinstance(head, dict) and head.get("units") == "ft":
            units, tables = "ft", {**tables, "course": {**head, "units": "m"}}
        try:
            course = course_of_tables(tables, "the board", KINDS, self.words)
        except CourseError as error:
            problems = [replace(one, path=named_place(one.path, tables)) for one in error.problems]
            raise CourseError(problems) from error
        return replace(course, units=units)

    def _moved(self, tables: Mapping[str, Any]) -> Course | None:
        """The course where nothing but some obstacles differs from the one before: they alone are read.

        None where more differs, or what differs is wrong: then all of it has to be read.
        """
        last = self._last  # another thread may put the next one there
        if last is None:
            return None
        before, course = last
        old, new = before["obstacle"], tables.get("obstacle")
        if (
            not isinstance(new, list)
            or _named(new) != _named(old)
            or _but_obstacles(tables) != _but_obstacles(before)
        ):
            return None
        places = [i for i, table in enumerate(new) if table != old[i]]
        # the ring and the store are those of the course before: any ring will do to read obstacles
        alone = {"obstacle": [new[i] for i in places], "sequence": {}, "ring": {"size": [1.0, 1.0]}}
        try:
            read = self._read({name: alone.get(name, table) for name, table in tables.items() if name != "store"})
        except CoursecheckError:
            return None
        fresh = dict(zip(places, read.obstacles, strict=True))
        return replace(course, obstacles=tuple(fresh.get(i, one) for i, one in enumerate(course.obstacles)))


def _named(obstacles: list[Any]) -> list[object]:
    return [table.get("id") if isinstance(table, dict) else None for table in obstacles]


def _but_obstacles(tables: Mapping[str, Any]) -> dict[str, Any]:
    return {name: table for name, table in tables.items() if name != "obstacle"}

"""What the page can choose from: kinds of obstacles, rulebooks, their words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coursecheck.board.figures import symbol_of
from coursecheck.board.tables import Library
from coursecheck.course.kinds import Size
from coursecheck.course.model import Obstacle
from coursecheck.equipment import KINDS, build_shape
from coursecheck.errors import CoursecheckError
from coursecheck.language import say, say_as
from coursecheck.plans import shipped_rulebooks
from coursecheck.reports.terms import book_title
from coursecheck.rulebook.model import Rulebook

__all__ = ["catalogue", "rulebooks"]


def catalogue(library: Library, plan: Mapping[str, Any]) -> dict[str, Any]:
    """All kinds, and the rulebook of a plan; the others are read when the page has been drawn.

    Args:
        library: reads the rulebooks.
        plan: the tables of the plan.
    """
    return {"kinds": [_kind(name) for name in KINDS], "rulebooks": [_book(library, plan["course"]["rulebook"])]}


def rulebooks(library: Library, plan: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The words of every rulebook that ships, and of the plan's own."""
    named = dict.fromkeys([*shipped_rulebooks(), plan["course"]["rulebook"]])
    return [_book(library, name) for name in named]


def _kind(name: str) -> dict[str, Any]:
    kind = KINDS[name]
    shape = build_shape(Obstacle("new", name, (0.0, 0.0), 0.0))
    x0, y0, x1, y1 = shape.footprint.bounds
    return {
        "name": name,
        "title": say(kind.title),
        "sizes": [_size(name, size) for name, size in kind.sizes.items()],
        "symbol": symbol_of(shape),
        "bounds": [round(v, 3) for v in (x0, y0, x1, y1)],
    }


def _size(name: str, size: Size) -> dict[str, Any]:
    return {
        "name": name,
        "title": say_as("metric", name),
        "default": size.default,
        "unit": size.unit,
        "about": say(size.about),
        "signed": size.signed,
    }


def _book(library: Library, name: str) -> dict[str, Any]:
    try:
        book: Rulebook = library.book(name)
    except CoursecheckError as error:
        return {"name": name, "title": name, "why_not": str(error)}
    return {
        "name": name,
        "title": say("{title}, edition {edition}", title=book_title(book), edition=book.edition),
        "disciplines": {discipline: list(grades) for discipline, grades in book.disciplines.items()},
        "heights": [{"id": height.id, "title": height.title} for height in book.heights.values()],
    }

"""Reading a course file: every mistake in one go, then the frozen model in metres."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from os import PathLike
from typing import Any, Protocol

from msgspec import UnsetType

from coursecheck.course.document import (
    CourseFile,
    ObstacleTable,
    SequenceTable,
    StockTable,
    attribute,
    course_file,
    kind_synonyms,
)
from coursecheck.course.kinds import KindWords
from coursecheck.course.model import Course, Obstacle, Origin, Stock
from coursecheck.course.ring import build_ring, check_ring
from coursecheck.course.sequence import read_word, word_mistake
from coursecheck.documents import Document, Problems, Taken, convert, nearest, parse_toml, read_toml
from coursecheck.errors import CoursecheckError, CourseError, DocumentError
from coursecheck.geometry.frames import within_turn_deg
from coursecheck.language import say
from coursecheck.units import FOOT_M

__all__ = ["METRES", "Vocabulary", "course_of_tables", "parse_course", "read_course"]

METRES = {"m": 1.0, "ft": FOOT_M}
"""How many metres the unit of a file has."""

FORMAT = 1


class Vocabulary(Protocol):
    """The words of a rulebook that a course file may use."""

    @property
    def disciplines(self) -> Mapping[str, Sequence[str]]:
        """Its disciplines, each with its grades."""
        ...

    @property
    def heights(self) -> Sequence[str]:
        """Its height classes."""
        ...


FindVocabulary = Callable[[str], Vocabulary]


def read_course(
    path: str | PathLike[str], kinds: Mapping[str, KindWords], vocabulary: FindVocabulary | None = None
) -> Course:
    """Reads a course file.

    Args:
        path: the file.
        kinds: the kinds of obstacles by name.
        vocabulary: finds the words of the rulebook of that name, raising CoursecheckError where there is none;
            without it, discipline, grade and heights are taken as they are.

    Raises:
        CourseError: with every problem of the file.
    """
    return _course(read_toml(path, CourseError), kinds, vocabulary)


def parse_course(
    text: str | bytes, name: str, kinds: Mapping[str, KindWords], vocabulary: FindVocabulary | None = None
) -> Course:
    """Reads a course from text; `name` stands for the file in messages. Else like `read_course`."""
    return _course(parse_toml(text, name, CourseError), kinds, vocabulary)


def course_of_tables(
    tables: Mapping[str, Any], name: str, kinds: Mapping[str, KindWords], vocabulary: FindVocabulary | None = None
) -> Course:
    """The course that the tables of a file stand for, from wherever they come; else like `read_course`.

    It has no origin: no file holds it as it is.
    """
    document = Document(name, "", "", dict(tables), {})
    return replace(_course(document, kinds, vocabulary), origin=None)


def _course(document: Document, kinds: Mapping[str, KindWords], vocabulary: FindVocabulary | None) -> Course:
    problems = Problems(document)
    _check_format(document, problems)
    taken = convert(document.raw, course_file(kinds), problems, kind_synonyms(kinds))
    check_ring(taken, problems)
    _check_words(taken, problems, vocabulary)
    _check_ids(taken, problems)
    _check_run(taken, problems)
    _check_tunnels(taken, problems, kinds)
    _check_slopes(taken, problems, kinds)
    _check_store(taken, problems, kinds)
    problems.raise_any(CourseError)
    if taken.value is None:
        raise AssertionError("a file that could not be taken has problems")
    return _build(taken.value, document, kinds)


def _check_format(document: Document, problems: Problems) -> None:
    """Another version may have other keys, so that nothing else could be said about the file."""
    version = document.raw.get("format")
    if isinstance(version, int) and not isinstance(version, bool) and version != FORMAT:
        wrong = say("format {version} is not known", version=version)
        problems.add("format", wrong, say("this program reads format {version}", version=FORMAT))
        problems.raise_any(CourseError)


def _check_words(taken: Taken[Any], problems: Problems, vocabulary: FindVocabulary | None) -> None:
    """Discipline, grade and heights against the rulebook."""
    heights = [(place, taken.parts[place]) for place in taken.places("course.heights")]
    for i, (place, height) in enumerate(heights):
        if height in [word for _, word in heights[:i]]:
            wrong = say('"{word}" stands twice', word=height)
            problems.add(place, wrong, say("name each height class once"))
    rulebook = taken.at("course.rulebook", str)
    words = None if vocabulary is None or rulebook is None else _find_words(rulebook, problems, vocabulary)
    if words is None:
        return
    discipline, grade = taken.at("course.discipline", str), taken.at("course.grade", str)
    grades = words.disciplines.get(discipline or "")
    if discipline is not None and grades is None:
        wrong = say('{rulebook} has no discipline "{word}"', rulebook=rulebook, word=discipline)
        problems.add("course.discipline", wrong, nearest(discipline, list(words.disciplines)))
    if grade is not None and grades is not None and grade not in grades:
        wrong = say(
            '{rulebook} has no grade "{word}" in {discipline}', rulebook=rulebook, word=grade, discipline=discipline
        )
        problems.add("course.grade", wrong, nearest(grade, grades))
    for place, height in heights:
        if height not in words.heights:
            wrong = say('{rulebook} has no height class "{word}"', rulebook=rulebook, word=height)
            problems.add(place, wrong, nearest(height, words.heights))


def _find_words(rulebook: str, problems: Problems, vocabulary: FindVocabulary) -> Vocabulary | None:
    """The words of a rulebook; None where it could not be taken, and its mistakes are noted."""
    try:
        return vocabulary(rulebook)
    except DocumentError as error:
        for problem in error.problems:
            problems.add("course.rulebook", str(problem))
    except CoursecheckError as error:
        problems.add("course.rulebook", str(error))
    return None


def _check_ids(taken: Taken[Any], problems: Problems) -> None:
    first: dict[str, int] = {}
    for place in _obstacle_places(problems.document):
        name = taken.at(f"{place}.id", str)
        if name is None:
            continue
        if name in first:
            wrong = say('"{name}" is taken by the obstacle on line {line}', name=name, line=first[name])
            problems.add(f"{place}.id", wrong, say("give it another id"))
        first.setdefault(name, problems.document.lines.get(f"{place}.id", 0))


def _check_run(taken: Taken[Any], problems: Problems) -> None:
    obstacles = problems.document.raw.get("obstacle", [])
    # An id counts as known even where its obstacle has other mistakes: one mistake, one message.
    known = [item.get("id") for item in obstacles if isinstance(item, dict)] if isinstance(obstacles, list) else None
    for place in taken.places("sequence.run"):
        word = taken.parts[place]
        mistake = word_mistake(word)
        if mistake:
            problems.add(place, *mistake)
        name = word.split()[0] if word.split() else None
        if name is not None and known is not None and name not in known:
            ids = [known_id for known_id in known if isinstance(known_id, str)]
            problems.add(place, say('no obstacle has the id "{name}"', name=name), nearest(name, ids))


def _check_tunnels(taken: Taken[Any], problems: Problems, kinds: Mapping[str, KindWords]) -> None:
    """A bent tunnel must not cross itself: neither its inner side, nor the mouths."""
    for place, kind, given in _standing(taken, problems, kinds):
        if not {"length", "bend", "diameter"} <= set(kind.sizes):
            continue
        length, bend, diameter = (
            given.get(name, kind.sizes[name].default) for name in ("length", "bend", "diameter")
        )
        most = min(360.0, math.degrees(length / (diameter / 2)))
        if abs(bend) > most - 1e-9:  # there the mouths meet, or the inner side shrinks to a point
            wrong = say(
                "a tunnel of {length:.2f} m that is bent by {bend:g} degrees crosses itself", length=length, bend=bend
            )
            right = say("bend it by less than {most} degrees", most=math.floor(most))
            problems.add(f"{place}.bend", wrong, right)


def _check_slopes(taken: Taken[Any], problems: Problems, kinds: Mapping[str, KindWords]) -> None:
    """A plank must be longer than the height that it leads up to: it needs ground to stand on."""
    for place, kind, given in _standing(taken, problems, kinds):
        if kind.slope is None:
            continue
        plank, rise, slopes = kind.slope
        length, height = (given.get(name, kind.sizes[name].default) for name in (plank, rise))
        if length <= slopes * height:
            wrong = say("a length of {length:.2f} m is too short for {height:.2f} m up", length=length, height=height)
            right = say("give less than {most:.2f} m", most=length / slopes)
            if plank in given:
                right = say("give more than {least:.2f} m", least=slopes * height)
            problems.add(f"{place}.{plank if plank in given else rise}", wrong, right)


def _check_store(taken: Taken[Any], problems: Problems, kinds: Mapping[str, KindWords]) -> None:
    for kind in kinds.values():
        stock = taken.at(f"store.{kind.name}", StockTable)
        if stock is None or not stock.lengths:
            continue
        place = f"store.{kind.name}.lengths"
        if "length" not in kind.sizes:
            wrong = say("{kind} has no length to choose", kind=kind.name)
            problems.add(place, wrong, say("write {what}", what=f"{kind.name} = {stock.count}"))
        elif len(stock.lengths) != stock.count:
            wrong = say("{given} lengths for a count of {count}", given=len(stock.lengths), count=stock.count)
            problems.add(place, wrong, say("give one for each"))


def _obstacle_places(document: Document) -> list[str]:
    obstacles = document.raw.get("obstacle")
    return [f"obstacle[{i}]" for i in range(len(obstacles))] if isinstance(obstacles, list) else []


def _standing(
    taken: Taken[Any], problems: Problems, kinds: Mapping[str, KindWords]
) -> Iterator[tuple[str, KindWords, dict[str, float]]]:
    """The obstacles that are right in themselves: key path, kind, and the sizes that the judge gave, in metres."""
    metres = METRES.get(taken.at("course.units", str) or "m", 1.0)
    for place in _obstacle_places(problems.document):
        table = taken.at(place, ObstacleTable)
        if table is not None:
            kind = kinds[taken.parts[f"{place}.kind"]]
            yield place, kind, _sizes(table, kind, metres)


def _build(file: CourseFile, document: Document, kinds: Mapping[str, KindWords]) -> Course:
    course, metres = file.course, METRES[file.course.units]
    sequence: SequenceTable = file.sequence
    return Course(
        title=course.title,
        rulebook=course.rulebook,
        discipline=course.discipline,
        grade=course.grade,
        heights=() if isinstance(course.heights, UnsetType) else tuple(course.heights),
        speed_mps=None if isinstance(course.speed_mps, UnsetType) else course.speed_mps,
        units=course.units,
        ring=build_ring(file.ring, metres),
        obstacles=tuple(
            Obstacle(
                id=table.id,
                kind=(kind := kinds[str(table.__struct_config__.tag)]).name,
                at=(table.at[0] * metres, table.at[1] * metres),
                bearing_deg=within_turn_deg(table.bearing),
                sizes=_sizes(table, kind, metres),
            )
            for table in file.obstacle
        ),
        passes=tuple(read_word(i, word) for i, word in enumerate(sequence.run, start=1)),
        start_line_m=sequence.start_line * metres,
        finish_line_m=sequence.finish_line * metres,
        store=None if isinstance(file.store, UnsetType) else _store(file.store, kinds, metres),
        origin=Origin(document.name, document.sha256, document.lines),
    )


def _sizes(table: ObstacleTable, kind: KindWords, metres: float) -> dict[str, float]:
    """The sizes that the judge gave, in metres, degrees or counts."""
    given = {name: getattr(table, attribute(name)) for name in kind.sizes}
    return {
        name: value * metres if kind.sizes[name].unit == "m" else float(value)
        for name, value in given.items()
        if not isinstance(value, UnsetType)
    }


def _store(store: object, kinds: Mapping[str, KindWords], metres: float) -> dict[str, Stock]:
    owned = {name: getattr(store, attribute(name)) for name in kinds}
    return {
        name: Stock(stock.count, tuple(length * metres for length in stock.lengths))
        if isinstance(stock, StockTable)
        else Stock(stock)
        for name, stock in owned.items()
        if not isinstance(stock, UnsetType)
    }

"""The course file, format 1: one definition for reading it and for its JSON Schema.

Lengths are in the file's own units here; `reading` turns them into metres.
"""

# Annotations are evaluated as they are compiled: msgspec reads each of them, and as text would compile it again.
from collections.abc import Mapping
from functools import reduce
from operator import or_
from typing import Annotated, Any, Literal

import msgspec
from msgspec import UNSET, Meta, Struct, UnsetType, defstruct, field

from coursecheck.course.kinds import KindWords, Size

__all__ = [
    "SIDES",
    "BesideTable",
    "BlockedTable",
    "CourseFile",
    "CourseTable",
    "ObstacleTable",
    "RingTable",
    "SequenceTable",
    "StockTable",
    "attribute",
    "course_file",
    "course_schema",
    "kind_synonyms",
]

SIDES = ("bottom", "right", "top", "left")
"""The sides of a ring given by its size, in the order of its corners."""

# Bounds that no real course comes near. They keep a slip of the finger from becoming an endless computation.
_SHORTEST, _FARTHEST, _MOST_OBSTACLES, _MOST_CORNERS, _MOST_PIECES, _MOST_RINGS = 0.001, 10_000, 500, 200, 100, 50

Word = Annotated[str, Meta(min_length=1, max_length=200, pattern=r"^[^\x00-\x1f\x7f-\x9f]+$", description="one line")]
Id = Annotated[
    str, Meta(min_length=1, max_length=40, pattern=r"^[A-Za-z0-9_-]+$", description="letters, digits, - and _")
]
RunWord = Annotated[str, Meta(extra_json_schema={"pattern": r"^\s*[A-Za-z0-9_-]+(\s+(reverse|left|right)){0,2}\s*$"})]
Coordinate = Annotated[float, Meta(ge=-_FARTHEST, le=_FARTHEST)]
Place = Annotated[tuple[Coordinate, Coordinate], Meta(title="[x, y]")]
Length = Annotated[float, Meta(ge=_SHORTEST, le=_FARTHEST)]
Distance = Annotated[float, Meta(ge=0, le=_FARTHEST)]
Angle = Annotated[float, Meta(ge=-3600, le=3600)]
Opening = Annotated[tuple[Place, Place], Meta(description="its two ends")]
Outline = Annotated[list[Place], Meta(min_length=3, max_length=_MOST_CORNERS, description="corners in order")]


class Table(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """A table whose every key is known."""


class CourseTable(Table, frozen=True, kw_only=True):
    """What the course is, and by which rules it is judged."""

    title: Word
    rulebook: Annotated[Word, Meta(description="the name of a shipped rulebook, or a path beside this file")]
    discipline: Annotated[Word, Meta(description="as the rulebook lists it")]
    grade: Annotated[Word, Meta(description="as the rulebook lists it")]
    heights: (
        Annotated[list[Word], Meta(min_length=1, max_length=50, description="height classes; left out: all of them")]
        | UnsetType
    ) = UNSET
    speed_mps: Annotated[float, Meta(ge=0.01, le=20, description="the judge's speed, m/s")] | UnsetType = UNSET
    units: Annotated[Literal["m", "ft"], Meta(description="of every length in this file")] = "m"


class BlockedTable(Table, frozen=True, kw_only=True):
    """A place of the ring where nobody can run: a disc or an outline."""

    name: Annotated[Word, Meta(description="what it is")]
    centre: Place | UnsetType = UNSET
    radius: Length | UnsetType = UNSET
    outline: Outline | UnsetType = UNSET


class BesideTable(Table, frozen=True, kw_only=True):
    """Another ring that lies beside this one."""

    name: Annotated[Word, Meta(description="which ring it is")]
    gap: Annotated[Distance, Meta(description="from the edge of this ring to the edge of that one")]
    fence: Annotated[bool, Meta(description="whether a wall or a closed fence stands between the two")] = False


class RingTable(Table, frozen=True, kw_only=True):
    """The ring, by its size or by its outline."""

    size: Annotated[tuple[Length, Length], Meta(title="[x, y], both above 0")] | UnsetType = UNSET
    outline: Outline | UnsetType = UNSET
    solid: Annotated[
        list[Literal["bottom", "right", "top", "left"] | Annotated[int, Meta(ge=0)]],
        Meta(
            max_length=_MOST_CORNERS,
            description="sides that are walls; of an outline the indices of its sides, counted from 0",
        ),
    ] = field(default_factory=list)
    entrance: Opening | UnsetType = UNSET
    exit: Opening | UnsetType = UNSET
    blocked: Annotated[list[BlockedTable], Meta(max_length=_MOST_OBSTACLES)] = field(default_factory=list)
    beside: Annotated[list[BesideTable], Meta(max_length=_MOST_RINGS)] = field(default_factory=list)
    indoor: Annotated[bool, Meta(description="whether the ring is in a hall")] = False


class ObstacleTable(Table, frozen=True, kw_only=True):
    """An obstacle that stands in the ring; its sizes are added by its kind."""

    id: Id
    at: Annotated[Place, Meta(description="centre of the ground footprint; of a tunnel the mouth it is entered by")]
    bearing: Annotated[Angle, Meta(description="the way a dog goes over it, degrees clockwise from up the plan")]


class SequenceTable(Table, frozen=True, kw_only=True):
    """The order in which the obstacles are run."""

    run: Annotated[
        list[RunWord],
        Meta(
            max_length=_MOST_OBSTACLES,
            description='ids, each with "reverse", "left" or "right" behind it where wanted',
        ),
    ] = field(default_factory=list)
    start_line: Annotated[Distance, Meta(description="before the first obstacle")] = 0.0
    finish_line: Annotated[Distance, Meta(description="after the last obstacle")] = 0.0


class StockTable(Table, frozen=True, kw_only=True):
    """How many obstacles of a kind the club owns, and how long each of them is."""

    count: Annotated[int, Meta(ge=0, le=10_000)]
    lengths: Annotated[list[Length], Meta(max_length=_MOST_OBSTACLES)] = field(default_factory=list)


class CourseFile(Table, frozen=True, kw_only=True):
    """A course file, format 1, without the sizes of the obstacles and the store, which follow from the kinds."""

    format: Literal[1]
    course: CourseTable
    ring: RingTable
    sequence: SequenceTable = field(default_factory=SequenceTable)
    obstacle: list[ObstacleTable] = field(default_factory=list)
    store: Struct | UnsetType = UNSET


def attribute(name: str) -> str:
    """The attribute that holds a key of the file whose name may have hyphens."""
    return name.replace("-", "_")


def kind_synonyms(kinds: Mapping[str, KindWords]) -> dict[str, str]:
    """The right word for each other word that people use for a kind."""
    return {synonym.casefold(): kind.name for kind in kinds.values() for synonym in kind.synonyms}


_made: dict[int, tuple[Mapping[str, KindWords], type[CourseFile]]] = {}
"""By the identity of the kinds; they are kept, so that no others come to have it."""


def course_file(kinds: Mapping[str, KindWords]) -> type[CourseFile]:
    """The struct of a whole file: each kind of obstacle with its own sizes, and each kind in the store."""
    if id(kinds) not in _made:
        _made[id(kinds)] = (kinds, _course_file(kinds))
    return _made[id(kinds)][1]


def _course_file(kinds: Mapping[str, KindWords]) -> type[CourseFile]:
    tables = [_obstacle_table(kind) for kind in kinds.values()]
    either: Any = reduce(or_, tables)
    obstacles = Annotated[list[either], Meta(max_length=_MOST_OBSTACLES)]
    owned = Annotated[int, Meta(ge=0, le=10_000, description="how many")] | StockTable | UnsetType
    stock = [(attribute(kind.name), owned, field(default=UNSET, name=kind.name)) for kind in kinds.values()]
    store = _table("StoreTable", "What the club owns, by kind.", stock, Table)
    return _table(
        "CourseFile",
        "A course file, format 1.",
        [("obstacle", obstacles, field(default_factory=list)), ("store", store | UnsetType, UNSET)],
        CourseFile,
    )


def course_schema(kinds: Mapping[str, KindWords]) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a course file, for the kinds of obstacles given."""
    schema = msgspec.json.schema(course_file(kinds))
    ring, blocked = schema["$defs"]["RingTable"], schema["$defs"]["BlockedTable"]
    ring["oneOf"] = [{"required": ["size"]}, {"required": ["outline"]}]
    ring["if"] = {"required": ["size"]}
    ring["then"] = {"properties": {"solid": {"items": {"type": "string"}}}}
    ring["else"] = {"properties": {"solid": {"items": {"type": "integer"}}}}
    blocked["oneOf"] = [{"required": ["centre", "radius"]}, {"required": ["outline"]}]
    blocked["dependentRequired"] = {"centre": ["radius"], "radius": ["centre"]}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Course file, format 1", **schema}


def _obstacle_table(kind: KindWords) -> type[ObstacleTable]:
    sizes = [
        (attribute(name), _size_type(size), field(default=UNSET, name=name)) for name, size in kind.sizes.items()
    ]
    name = "".join(part.capitalize() for part in kind.name.split("-"))
    return _table(f"{name}Table", f"An obstacle of the kind {kind.name}.", sizes, ObstacleTable, kind.name)


def _size_type(size: Size) -> Any:
    about = Meta(description=size.about)
    if size.unit == "count":
        return Annotated[int, Meta(ge=1, le=_MOST_PIECES), about] | UnsetType
    if size.unit == "deg":
        return Annotated[Angle if size.signed else Annotated[float, Meta(ge=0.01, le=3600)], about] | UnsetType
    return Annotated[Coordinate if size.signed else Length, about] | UnsetType


def _table(
    name: str, about: str, fields: list[tuple[str, Any, Any]], base: type[Any], tag: str | None = None
) -> type[Any]:
    return defstruct(
        name,
        fields,
        bases=(base,),
        namespace={"__doc__": about},
        frozen=True,
        kw_only=True,
        forbid_unknown_fields=True,
        tag=tag,
        tag_field="kind" if tag else None,
    )

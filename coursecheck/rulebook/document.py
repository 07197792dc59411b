"""The rulebook file, format 1: one definition for reading it and for its JSON Schema.

Lengths and rates are in the file's own units here; a `Layer` turns them into metres and metres per second.
"""

# Annotations are evaluated as they are compiled: msgspec reads each of them, and as text would compile it again.
import datetime
from typing import Annotated, Any, Literal

from msgspec import UNSET, Meta, Struct, UnsetType, field

__all__ = [
    "BestRun",
    "Entered",
    "EquipmentTable",
    "FactorOfSct",
    "Fixed",
    "HeightTable",
    "LengthTable",
    "LimitTable",
    "Rate",
    "ReckoningTable",
    "RulebookFile",
    "RulebookTable",
    "RunnerTable",
    "Speed",
    "TimeTable",
    "WhereTable",
    "rulebook_schema",
]

Name = Annotated[
    str, Meta(min_length=1, max_length=80, pattern=r"^[a-z0-9][a-z0-9-]*$", description="small letters, digits and -")
]
Line = Annotated[
    str, Meta(min_length=1, max_length=1000, pattern=r"^[^\x00-\x1f\x7f-\x9f]+$", description="one line")
]
Names = Annotated[list[Line], Meta(min_length=1)]
# Without a pattern: msgspec (0.19 to 0.22) ends in a segmentation fault at garbage collection where text with a
# pattern and a list stand in one union. These words are held against known ones anyway.
Word = Annotated[str, Meta(min_length=1, max_length=1000, description="one line")]
Words = Word | Names
Switch = bool | Word | Names
Positive = Annotated[float, Meta(gt=0, le=1e6)]
Metres = Annotated[float, Meta(ge=0, le=100)]
Share = Annotated[float, Meta(ge=0, le=1)]
Bound = Annotated[float, Meta(ge=-1e6, le=1e6)]
Basis = Annotated[
    Literal["text", "summary", "practice", "memory"],
    Meta(
        description="text: the rulebook's own text was read; summary: a published account of it; practice: common "
        "practice without a source; memory: not checked"
    ),
]


class Table(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A table whose every key is known."""


class RulebookTable(Table, frozen=True, kw_only=True):
    """Which rulebook this is."""

    id: Name
    title: Line
    edition: Line
    source: Annotated[Line, Meta(description="citation of the whole")]
    valid_from: datetime.date | UnsetType = UNSET
    valid_to: datetime.date | UnsetType = UNSET
    extends: Annotated[Line, Meta(description="a shipped rulebook or a path beside this file")] | UnsetType = UNSET
    units: Annotated[Literal["m", "ft"], Meta(description="of every bound and size in this file")] = "m"
    rate_unit: Annotated[Literal["m/s", "yd/s"], Meta(description="of every speed and rate in this file")] = "m/s"
    coverage: Annotated[Literal["full", "partial"], Meta(description="left out: the base's")] | UnsetType = UNSET
    missing: Annotated[list[Line], Meta(description="topics without rows; left out: the base's")] | UnsetType = UNSET
    setting_out_m: (
        Annotated[Metres, Meta(description="standard deviation of each set-out coordinate, m; 0.05 where none says")]
        | UnsetType
    ) = UNSET


class RunnerTable(Table, frozen=True, kw_only=True):
    """Who runs: the figures of a height class that shape its line, in metres."""

    turn_radius_m: Annotated[float, Meta(gt=0, le=100)]
    takeoff_m: Metres
    landing_m: Metres
    crossing: Annotated[tuple[Share, Share], Meta(description="0 the middle of the bar, 1 the inside upright")] = (
        0.0,
        0.6,
    )
    clearance_m: Metres = 0.25
    tunnel_line: Literal["centre", "outside"] = "centre"


class PaceTable(Table, frozen=True, kw_only=True):
    """How fast a dog of a height class is: metres, seconds; obstacles by kind."""

    top_mps: Positive
    lateral_mps2: Positive
    accelerate_mps2: Positive
    brake_mps2: Positive
    obstacle_mps: dict[str, Positive] = {}
    pause_s: dict[str, Positive] = {}
    uncertainty: Annotated[float, Meta(ge=0, lt=1)] = 0.15


class HeightTable(Table, frozen=True, kw_only=True):
    """A height class. What it leaves out comes from a base's class of the same id, runner and pace from `like`."""

    id: Name
    title: Line | UnsetType = UNSET
    withers_cm: (
        Annotated[str, Meta(description='such as "<35", "35-<43", ">=43" or "<=28", ">28-<=36", ">36"')] | UnsetType
    ) = UNSET
    jump_cm: list[Positive] | UnsetType = UNSET
    like: Annotated[Name, Meta(description="a base's class whose runner and pace it has")] | UnsetType = UNSET
    runner: RunnerTable | UnsetType = UNSET
    pace: PaceTable | UnsetType = UNSET


class LengthTable(Table, frozen=True, kw_only=True, rename={"start": "from", "end": "to"}):
    """How the course length is measured."""

    how: Literal["line", "centres"]
    start: Literal["first-obstacle", "start-line"] = "first-obstacle"
    end: Literal["last-obstacle", "finish-line"] = "last-obstacle"


class WhereTable(Table, frozen=True, kw_only=True, rename={"from_": "from", "pass_": "pass"}):
    """Whom a row applies to; what is left out applies to all."""

    discipline: Words | UnsetType = UNSET
    grade: Words | UnsetType = UNSET
    height: Words | UnsetType = UNSET
    kind: Words | UnsetType = UNSET
    from_: Words | UnsetType = UNSET
    to: Words | UnsetType = UNSET
    pass_: Words | UnsetType = UNSET
    reverse: Switch | UnsetType = UNSET
    indoor: Switch | UnsetType = UNSET
    turn: Words | UnsetType = UNSET
    parallel: Switch | UnsetType = UNSET


class LimitTable(Table, frozen=True, kw_only=True):
    """A limit. A later row of the same id repeats what it leaves out, all but `where`, the bound and the reason."""

    id: Name
    about: Annotated[Line, Meta(description="what the limit is for")] | UnsetType = UNSET
    measure: Line | UnsetType = UNSET
    metric: Annotated[Line, Meta(description="how it is measured")] | UnsetType = UNSET
    of: Annotated[Names, Meta(description="which kinds a count counts")] | UnsetType = UNSET
    between: Annotated[tuple[Bound, Bound], Meta(description="which lengths a count counts")] | UnsetType = UNSET
    where: WhereTable = field(default_factory=WhereTable)
    min: Bound | UnsetType = UNSET
    max: Bound | UnsetType = UNSET
    equals: Bound | UnsetType = UNSET
    required: Annotated[Names, Meta(description="kinds")] | UnsetType = UNSET
    forbidden: Annotated[Names, Meta(description="kinds")] | UnsetType = UNSET
    severity: Literal["must", "should", "note"] | UnsetType = UNSET
    clause: Line | UnsetType = UNSET
    basis: Basis | UnsetType = UNSET
    source: Annotated[Line, Meta(description="where the value was read")] | UnsetType = UNSET
    reason: Annotated[Line, Meta(description="why it goes before a row of the base")] | UnsetType = UNSET


class EquipmentTable(Table, frozen=True, kw_only=True):
    """A size that holds where the judge gives none."""

    kind: Line
    size: Line
    value: Bound
    basis: Basis
    source: Line
    where: WhereTable = field(default_factory=WhereTable)
    reason: Line | UnsetType = UNSET


class ReckoningTable(Table, frozen=True, kw_only=True, tag_field="how"):
    """What all ways to find a time share."""

    rounding: Annotated[
        Literal["up", "half-up", "none"], Meta(description="to whole seconds; none: to the hundredth, halves up")
    ] = "none"
    cap: Annotated[Positive, Meta(description="at most so many seconds")] | UnsetType = UNSET
    floor: Annotated[Positive, Meta(description="at least so many seconds")] | UnsetType = UNSET


class Speed(ReckoningTable, frozen=True, kw_only=True, tag="speed"):
    """Length over the judge's speed, within a range, or over the one speed that is allowed."""

    speed: Positive | UnsetType = UNSET
    min_speed: Positive | UnsetType = UNSET
    max_speed: Positive | UnsetType = UNSET


class Rate(ReckoningTable, frozen=True, kw_only=True, tag="rate"):
    """Length over a rate: one, or a table of rates by grade and height class."""

    rate: Positive | UnsetType = UNSET
    rates: Annotated[dict[str, dict[str, Positive]], Meta(description="grade, then height class")] | UnsetType = UNSET


class BestRun(ReckoningTable, frozen=True, kw_only=True, tag="best-run"):
    """The best run times a factor; where that would ask for less than the slowest speed, length over that speed."""

    factor: Positive
    slowest: Positive | UnsetType = UNSET


class Fixed(ReckoningTable, frozen=True, kw_only=True, tag="fixed"):
    """A fixed time."""

    seconds: Positive


class FactorOfSct(ReckoningTable, frozen=True, kw_only=True, tag="factor-of-sct"):
    """A multiple of the SCT; of the MCT only."""

    factor: Positive


class Entered(ReckoningTable, frozen=True, kw_only=True, tag="entered"):
    """The judge enters it; of the MCT within a range of multiples of the SCT, with a proposal."""

    factor: Positive | UnsetType = UNSET
    min_factor: Positive | UnsetType = UNSET
    max_factor: Positive | UnsetType = UNSET


class TimeTable(Table, frozen=True, kw_only=True):
    """How SCT and MCT are found."""

    sct: Speed | Rate | BestRun | Fixed | Entered
    mct: Speed | Rate | BestRun | Fixed | FactorOfSct | Entered
    basis: Basis
    source: Line
    where: WhereTable = field(default_factory=WhereTable)
    clause: Line | UnsetType = UNSET
    reason: Line | UnsetType = UNSET


class RulebookFile(Table, frozen=True, kw_only=True):
    """A rulebook file."""

    format: Literal[1]
    rulebook: RulebookTable
    disciplines: Annotated[dict[str, Names], Meta(description="the grades of each")] = field(default_factory=dict)
    height: list[HeightTable] = field(default_factory=list)
    length: LengthTable | UnsetType = UNSET
    limit: list[LimitTable] = field(default_factory=list)
    equipment: list[EquipmentTable] = field(default_factory=list)
    time: list[TimeTable] = field(default_factory=list)


def rulebook_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a rulebook, from the definitions that read it."""
    import msgspec

    schema = msgspec.json.schema(RulebookFile)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "coursecheck rulebook", **schema}

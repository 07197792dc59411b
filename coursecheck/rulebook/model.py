"""What the rules say, as frozen data. No geometry: a limit names a measure and a bound, nothing more."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from coursecheck.documents.lines import nearest_line
from coursecheck.path.line import LengthRule
from coursecheck.path.runner import Runner
from coursecheck.path.speed import Pace

__all__ = [
    "SEVERITIES",
    "EquipmentSize",
    "Height",
    "Limit",
    "Place",
    "Reckoning",
    "Rulebook",
    "Selectors",
    "TimeRule",
]

SEVERITIES = ("must", "should", "note")
"""From the gravest down."""

Selectors = Mapping[str, tuple[str, ...]]
"""Facet name -> the values it applies to; a facet that is not named applies to all."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a row stands: rulebook id, file as found, key path, and the lines of the file's key paths."""

    rulebook: str
    file: str
    path: str
    lines: Mapping[str, int] = field(compare=False, repr=False)

    @property
    def line(self) -> int:
        """1-based."""
        return nearest_line(self.lines, self.path)


@dataclass(frozen=True, slots=True)
class Limit:
    """One row of a rulebook: a measure, whom it applies to, a bound, a clause.

    `min` and `max` are inclusive, in metres, square metres, degrees, seconds or counts. `equals` is an exact count;
    `required` and `forbidden` list kinds. `of` lists the kinds that a count counts, `between` the lengths.
    `written` is the bound as its file has it, in the file's own units, such as "min 15 ft".
    """

    id: str
    measure: str
    metric: str
    about: str
    where: Selectors
    severity: Literal["must", "should", "note"]
    clause: str
    basis: Literal["text", "summary", "practice", "memory"]
    source: str
    place: Place
    of: tuple[str, ...] = ()
    between: tuple[float, float] | None = None
    min: float | None = None
    max: float | None = None
    equals: float | None = None
    required: tuple[str, ...] = ()
    forbidden: tuple[str, ...] = ()
    reason: str = ""
    written: str = ""

    @property
    def effect(self) -> tuple[object, ...]:
        """What it does to those whom it applies to; clause, basis and source do nothing."""
        bound = (self.min, self.max, self.equals, self.required, self.forbidden)
        return (self.measure, self.metric, self.of, self.between, self.severity, *bound)


@dataclass(frozen=True, slots=True)
class EquipmentSize:
    """The size of a kind of obstacle that holds where the judge gives none: metres, degrees or a count."""

    kind: str
    size: str
    value: float
    where: Selectors
    basis: str
    source: str
    place: Place
    reason: str = ""

    @property
    def effect(self) -> float:
        """What it does: the size."""
        return self.value


@dataclass(frozen=True, slots=True)
class Height:
    """A height class: its id, the withers it is for, bar heights in cm, who runs it, and how fast (None: unknown)."""

    id: str
    title: str
    withers_cm: str
    jump_cm: tuple[float, ...]
    runner: Runner
    pace: Pace | None = None


@dataclass(frozen=True, slots=True)
class Reckoning:
    """How one time is found.

    Attributes:
        how: "speed": length over the judge's speed within [min_mps, max_mps], or over `speed_mps` where the rule
            fixes it; "rate": length over the table's rate `speed_mps`; "best-run": best time x `factor`;
            "fixed": `fixed_s`; "factor-of-sct": SCT x `factor`; "entered": the judge enters it, between
            `min_factor` and `max_factor` times the SCT where those are given; SCT x `factor`, where given, is the
            proposal until then.
        slowest_mps: of a best run: where it would ask for less than this speed, length / slowest_mps holds instead.
        rounding: "up", "half-up" (both to whole seconds) or "none".
        cap_s: at most this. floor_s: at least this.
    """

    how: Literal["speed", "rate", "best-run", "fixed", "factor-of-sct", "entered"]
    speed_mps: Decimal | None = None
    min_mps: Decimal | None = None
    max_mps: Decimal | None = None
    factor: Decimal | None = None
    min_factor: Decimal | None = None
    max_factor: Decimal | None = None
    fixed_s: Decimal | None = None
    slowest_mps: Decimal | None = None
    rounding: Literal["up", "half-up", "none"] = "none"
    cap_s: Decimal | None = None
    floor_s: Decimal | None = None


@dataclass(frozen=True, slots=True)
class TimeRule:
    """One row on times: SCT and MCT for whom it applies to."""

    where: Selectors
    sct: Reckoning
    mct: Reckoning
    clause: str
    basis: str
    source: str
    place: Place
    reason: str = ""

    @property
    def effect(self) -> tuple[Reckoning, Reckoning]:
        """What it does: how both times are found."""
        return (self.sct, self.mct)


@dataclass(frozen=True, slots=True)
class Rulebook:
    """A rulebook with the rows of its bases before its own.

    Attributes:
        id, title, edition: of the rulebook asked for.
        valid_from, valid_to: when this edition is in force; None where not known.
        coverage: "full" or "partial". missing: topics it has no rows for.
        source: citation of the whole.
        disciplines: discipline -> its grades.
        heights: the height classes by id, in order.
        length: how the course length is measured.
        limits, sizes, times: the rows; of several that match, the last wins.
        setting_out_m: standard deviation of each set-out coordinate.
        sha256: of all files it was made of, in order. files: their names as found.
        units: "m" or "ft": what lengths of its own file are written in; the rows here are always metric.
    """

    id: str
    title: str
    edition: str
    valid_from: datetime.date | None
    valid_to: datetime.date | None
    coverage: Literal["full", "partial"]
    missing: tuple[str, ...]
    source: str
    disciplines: Mapping[str, tuple[str, ...]]
    heights: Mapping[str, Height]
    length: LengthRule
    limits: tuple[Limit, ...]
    sizes: tuple[EquipmentSize, ...]
    times: tuple[TimeRule, ...]
    setting_out_m: float
    sha256: str
    files: tuple[str, ...] = field(default=())
    units: str = "m"

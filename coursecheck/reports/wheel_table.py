"""Course times by the length that the wheel gives, to be looked up without a computer, and for the small reckoner."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from coursecheck.language import say, written
from coursecheck.units import FOOT_M
from coursecheck.verdict.model import Verdict
from coursecheck.wheel import Formula, Formulas, formulas_for

__all__ = ["WheelRow", "WheelTable", "formula_words", "reckoner_data", "verdict_formulas", "wheel_tables"]

LESS, MORE = 0.97, 1.07  # the range of a table, as shares of the plan's length; wheels read long
STEPS = (50, 100, 200, 500, 1000, 2000, 5000)  # between rows, in hundredths of a metre or foot
FOOT = Fraction(Decimal(repr(FOOT_M)))


@dataclass(frozen=True, slots=True)
class WheelRow:
    """A row: the length, or the longest one that still has these times, and the times; whether the plan is there."""

    length: str
    sct: str
    mct: str
    planned: bool


@dataclass(frozen=True, slots=True)
class WheelTable:
    """The times of the height classes that share a rule.

    Attributes:
        classes: the height classes.
        formulas: how SCT and MCT are reckoned, in words.
        stepped: whether a row holds for all lengths up to its own.
        between: what a tenth of a metre or foot more adds to SCT and MCT, in words; empty where rows are steps.
        rows: shortest first; empty where the plan has no length.
    """

    classes: tuple[str, ...]
    formulas: tuple[str, ...]
    stepped: bool
    between: str
    rows: tuple[WheelRow, ...]


def verdict_formulas(verdict: Verdict) -> tuple[Formulas, ...]:
    """How the times of each height class follow from its length, at the speed that the verdict was reckoned with."""
    found: list[Formulas] = []
    for times in verdict.times:
        speed = None if times.speed_mps is None else float(times.speed_mps)
        found += formulas_for(verdict.course, verdict.rulebook, [times.height], speed)
    return tuple(found)


def wheel_tables(verdict: Verdict, most_rows: int = 24) -> tuple[WheelTable, ...]:
    """A table for each rule; classes whose times need more than the length have none.

    Args:
        verdict: gives the rules, the speeds and the lengths of the plan.
        most_rows: of a table.
    """
    groups: dict[tuple[Formula | None, Formula | None], list[Formulas]] = {}
    for found in verdict_formulas(verdict):
        if found.sct is not None or found.mct is not None:
            groups.setdefault((found.sct, found.mct), []).append(found)
    planned = {length.height: length.length_m for length in verdict.lengths}
    tables = []
    for alike in groups.values():
        lengths = [length for found in alike if (length := planned[found.height]) is not None]
        tables.append(_table(alike, lengths, verdict.course.units, most_rows))
    return tuple(tables)


def _table(alike: Sequence[Formulas], lengths_m: Sequence[float], units: str, most_rows: int) -> WheelTable:
    one = alike[0]
    named = [
        (name, formula) for name, formula in ((say("SCT"), one.sct), (say("MCT"), one.mct)) if formula is not None
    ]
    rows: tuple[WheelRow, ...] = ()
    if lengths_m:
        per_unit = 100 if units == "m" else 100 / FOOT_M
        low, high = math.floor(min(lengths_m) * LESS * per_unit), math.ceil(max(lengths_m) * MORE * per_unit)
        spans = list(_steps(one, low, high, units) if one.stepped else _spaced(low, high, most_rows))
        wheels = [round(length * per_unit) for length in lengths_m]
        rows = tuple(_row(one, last, any(first <= wheel <= last for wheel in wheels), units) for first, last in spans)
    return WheelTable(
        tuple(found.height for found in alike),
        tuple(f"{name} = {formula_words(formula, units)}" for name, formula in named),
        one.stepped,
        "" if one.stepped else _between(one, units),
        rows,
    )


def _metres(hundredths: int, units: str) -> Decimal:
    """Whole centimetres, halves up, of a length in hundredths of a metre or foot."""
    exact = hundredths * (Fraction(1) if units == "m" else FOOT)
    return Decimal(math.floor(exact + Fraction(1, 2))).scaleb(-2)


def _spaced(low: int, high: int, most_rows: int) -> Iterator[tuple[int, int]]:
    """Lengths at even spaces, each with the one from which on it is the nearest that is not shorter."""
    step = next((step for step in STEPS if (high - low) / step < most_rows - 1), STEPS[-1])
    for length in range(low // step * step, high + step, step):
        yield length - step + 1, length


def _steps(found: Formulas, low: int, high: int, units: str) -> Iterator[tuple[int, int]]:
    """From where to where the times stay the same; times never fall with the length."""
    first = low
    while first <= high:
        here = found.times_s(_metres(first, units))
        last, beyond = first, high + 1
        while beyond - last > 1:
            middle = (last + beyond) // 2
            if found.times_s(_metres(middle, units)) == here:
                last = middle
            else:
                beyond = middle
        yield first, last
        first = last + 1


def _row(found: Formulas, last: int, planned: bool, units: str) -> WheelRow:
    sct, mct = found.times_s(_metres(last, units))
    sct_shown, mct_shown = ("–" if time is None else written(time) for time in (sct, mct))
    return WheelRow(written(Decimal(last).scaleb(-2), ".2f"), sct_shown, mct_shown, planned)


def formula_words(formula: Formula, units: str) -> str:
    """How a time follows from the length, for a reader of a plan in these units."""
    if units == "m" or formula.of != "length":
        return formula.words
    return say("{formula}, the length in metres", formula=formula.words)


def _between(found: Formulas, units: str) -> str:
    """What a tenth more adds, to a thousandth of a second; nothing where a rounding or bound is in the way."""
    tenth = Fraction(1, 10) * (Fraction(1) if units == "m" else FOOT)
    if found.sct is None or found.sct.of != "length" or found.sct.rounding != "none":
        return ""
    sct = tenth * found.sct.factor
    if found.mct is None or found.mct.rounding != "none" or found.mct.of == "fixed":
        return say("Each {tenth} {units} more adds {sct:.3f} s to the SCT", tenth=0.1, units=units, sct=float(sct))
    mct = (sct if found.mct.of == "sct" else tenth) * found.mct.factor
    return say(
        "Each {tenth} {units} more adds {sct:.3f} s to the SCT, {mct:.3f} s to the MCT",
        tenth=0.1,
        units=units,
        sct=float(sct),
        mct=float(mct),
    )


def reckoner_data(verdict: Verdict) -> list[dict[str, object]]:
    """What the small reckoner of a page has to know, class by class, as plain numbers and words; see reckoner.js."""
    return [
        {"height": found.height, "sct": _plain(found.sct), "mct": _plain(found.mct)}
        for found in verdict_formulas(verdict)
    ]


def _plain(formula: Formula | None) -> dict[str, object] | None:
    """A formula with its exact factor as numerator and denominator, its bounds in hundredths of a second."""
    if formula is None:
        return None
    bounds = {
        name: None if bound is None else [str(part) for part in Fraction(bound).as_integer_ratio()]
        for name, bound in (("cap", formula.cap_s), ("floor", formula.floor_s))
    }
    factor = [str(formula.factor.numerator), str(formula.factor.denominator)]
    return {"of": formula.of, "factor": factor, "rounding": formula.rounding, **bounds}

"""Rows on course times, from a file into the model."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from msgspec import UNSET, UnsetType

from coursecheck.language import both, either, say
from coursecheck.rulebook.document import (
    BestRun,
    Entered,
    FactorOfSct,
    Fixed,
    Rate,
    ReckoningTable,
    Speed,
    TimeTable,
)
from coursecheck.rulebook.layer import Layer, decimal_of
from coursecheck.rulebook.model import Reckoning, TimeRule
from coursecheck.rulebook.vocabulary import GRADE, HEIGHT, check_facets, check_words

__all__ = ["times_of"]


class Cell(NamedTuple):
    """A place in a table of rates."""

    grade: str
    height: str


def times_of(layer: Layer) -> list[TimeRule]:
    """The rules on times of one file, in metres per second and seconds; a table of rates gives one rule a cell."""
    rules: list[TimeRule] = []
    for path, _, table in layer.tables("time", TimeTable):
        _check(layer, f"{path}.sct", table.sct)
        _check(layer, f"{path}.mct", table.mct)
        if isinstance(table.sct, Entered) and (table.sct.factor or table.sct.min_factor or table.sct.max_factor):
            layer.problems.add(f"{path}.sct", say("an SCT is no multiple of itself"), say("leave the factors out"))
        rules += _rules(layer, path, table)
    return rules


def _rules(layer: Layer, path: str, table: TimeTable) -> Iterator[TimeRule]:
    where = layer.selectors(table.where, path)
    check_facets(where, (), path, layer.problems)
    cells = _cells(table.sct) | _cells(table.mct)
    if cells and ("grade" in where or "height" in where):
        wrong = say("grade and height stand in the table of rates")
        layer.problems.add(f"{path}.where", wrong, say("leave them out here"))
    for cell in cells or (None,):
        in_cell = {} if cell is None else {"grade": (cell.grade,), "height": (cell.height,)}
        yield TimeRule(
            where={**where, **in_cell},
            sct=_reckoning(layer, f"{path}.sct", table.sct, cell),
            mct=_reckoning(layer, f"{path}.mct", table.mct, cell),
            clause="" if table.clause is UNSET else table.clause,
            basis=table.basis,
            source=table.source,
            place=layer.place(path),
            reason="" if table.reason is UNSET else table.reason,
        )


def _cells(table: ReckoningTable) -> dict[Cell, float]:
    """The rates of a table by grade and height class, in the file's order."""
    if not isinstance(table, Rate) or table.rates is UNSET:
        return {}
    return {Cell(grade, height): rate for grade, row in table.rates.items() for height, rate in row.items()}


def _check(layer: Layer, path: str, table: ReckoningTable) -> None:
    """Notes figures that contradict each other."""
    add = layer.problems.add
    if table.cap is not UNSET and table.floor is not UNSET and table.cap < table.floor:
        wrong = say("floor {low} is above cap {high}", low=f"{table.floor:g}", high=f"{table.cap:g}")
        add(f"{path}.floor", wrong, say("swap them"))
    if isinstance(table, Speed):
        if table.speed is not UNSET and (table.min_speed is not UNSET or table.max_speed is not UNSET):
            right = say("give {what}", what=either(["speed", both(["min_speed", "max_speed"])]))
            add(f"{path}.speed", say("one speed and a range at once"), right)
        _check_range(layer, path, "speed", table.min_speed, table.max_speed)
    if isinstance(table, Entered):
        _check_range(layer, path, "factor", table.min_factor, table.max_factor)
    if isinstance(table, Rate):
        if (table.rate is UNSET) == (table.rates is UNSET):
            right = say("give {what}", what=either(["rate", "rates"]))
            add(path, say("a rate is one figure or a table"), right)
        words = layer.words
        for grade, row in ({} if table.rates is UNSET else table.rates).items():
            check_words([grade], words.grades(), GRADE, f"{path}.rates", layer.problems)
            check_words(row, words.heights, HEIGHT, f"{path}.rates.{grade}", layer.problems)


def _check_range(layer: Layer, path: str, name: str, low: float | UnsetType, high: float | UnsetType) -> None:
    if low is not UNSET and high is not UNSET and low > high:
        wrong = say("{low} is above {key} {high}", low=f"{low:g}", key=f"max_{name}", high=f"{high:g}")
        layer.problems.add(f"{path}.min_{name}", wrong, say("swap them"))


def _reckoning(layer: Layer, path: str, table: ReckoningTable, cell: Cell | None) -> Reckoning:
    bounds = Reckoning("fixed", rounding=table.rounding, cap_s=_decimal(table.cap), floor_s=_decimal(table.floor))
    match table:
        case Speed():
            speed, low, high = (_rate(layer, rate) for rate in (table.speed, table.min_speed, table.max_speed))
            return replace(bounds, how="speed", speed_mps=speed, min_mps=low, max_mps=high)
        case Rate():
            return replace(bounds, how="rate", speed_mps=_rate(layer, _rate_in(layer, path, table, cell)))
        case BestRun():
            slowest = _rate(layer, table.slowest)
            return replace(bounds, how="best-run", factor=decimal_of(table.factor), slowest_mps=slowest)
        case Fixed():
            return replace(bounds, how="fixed", fixed_s=decimal_of(table.seconds))
        case FactorOfSct():
            return replace(bounds, how="factor-of-sct", factor=decimal_of(table.factor))
        case Entered():
            own, least, most = (_decimal(value) for value in (table.factor, table.min_factor, table.max_factor))
            return replace(bounds, how="entered", factor=own, min_factor=least, max_factor=most)
    raise TypeError(f"no way to reckon by {type(table).__name__}")


def _rate_in(layer: Layer, path: str, table: Rate, cell: Cell | None) -> float | UnsetType:
    """The rate of one cell, or the one rate there is."""
    cells = _cells(table)
    if cell is not None and cells and cell not in cells:
        wrong = say("no rate for grade {grade}, {height}", grade=cell.grade, height=cell.height)
        layer.problems.add(f"{path}.rates", wrong, say("add it"))
    return table.rate if cell is None else cells.get(cell, table.rate)


def _rate(layer: Layer, value: float | UnsetType) -> Decimal | None:
    return None if value is UNSET else layer.rate_mps(value)


def _decimal(value: float | UnsetType) -> Decimal | None:
    return None if value is UNSET else decimal_of(value)

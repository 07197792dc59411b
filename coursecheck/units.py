"""Feet at the edges, metres inside, and how a figure is written."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from coursecheck.language import written

__all__ = [
    "FLOAT_NOISE",
    "FOOT_M",
    "YARD_M",
    "bare_decimal",
    "bare_figure",
    "decimals_of",
    "format_apart",
    "format_figure",
]

FOOT_M = 0.3048  # exact, international yard and pound agreement 1959
YARD_M = 0.9144

_DECIMALS = {"m": 2, "m2": 2, "deg": 1, "s": 2, "count": 0}
_SUFFIX = {"m": " m", "m2": " m²", "deg": "°", "s": " s", "count": "", "ft": " ft", "ft2": " ft²"}
_MOST_DECIMALS = 9

FLOAT_NOISE = 1e-6
"""Two figures that differ by no more than this, in whatever unit, differ by the rounding of the arithmetic alone."""


def format_figure(value: float, unit: str, *, units: str = "m", decimals: int | None = None) -> str:
    """A figure as it is printed, with its unit: "4.62 m", "23.0°", "7".

    Args:
        value: in `unit`.
        unit: "m", "m2", "deg", "s" or "count".
        units: "ft" prints lengths in decimal feet and areas in square feet.
        decimals: how many; by default what the unit deserves.
    """
    suffix = unit.replace("m", "ft") if units == "ft" and unit in ("m", "m2") else unit
    return bare_figure(value, unit, units=units, decimals=decimals) + _SUFFIX[suffix]


def bare_figure(value: float, unit: str, *, units: str = "m", decimals: int | None = None) -> str:
    """A figure for a column whose head names the unit; for the arguments see `format_figure`."""
    shown = _in_units(value, unit, units)
    places = _DECIMALS[unit] if decimals is None else decimals
    if unit == "count" and value != round(value):
        places = max(places, 2)
    text = written(Decimal(repr(shown)), f".{places}f")
    return text.lstrip("-") if text.strip("-0.,") == "" else text


def _in_units(value: float, unit: str, units: str) -> float:
    """The number that is shown: decimal feet or square feet where those are wanted."""
    if units == "ft" and unit in ("m", "m2"):
        return float(value) / FOOT_M ** (2 if unit == "m2" else 1)
    return float(value)


@lru_cache(maxsize=1024)
def decimals_of(value: float, unit: str, units: str) -> int:
    """How many decimals a figure has, at least those that the unit deserves and at most six."""
    shown = Decimal(repr(_in_units(value, unit, units)))
    fewest = 2 if unit in ("m", "m2", "s") else 0
    exact = float(f"{shown:.6f}")
    return next((places for places in range(fewest, 6) if float(f"{shown:.{places}f}") == exact), 6)


def bare_decimal(value: Decimal) -> str:
    """A decimal as the language writes it, without needless zeros."""
    return written(value.normalize(), "f")


def format_apart(value: float, limit: float, unit: str, *, units: str = "m") -> tuple[str, str, str]:
    """A measured value, its limit and their difference, with as many decimals as it takes to tell them apart.

    A line of text must never print a measured value equal to its limit when it is not.
    """
    if abs(value - limit) <= FLOAT_NOISE:
        same = format_figure(value, unit, units=units)
        return same, same, format_figure(0.0, unit, units=units)
    decimals = _DECIMALS[unit]
    while True:
        shown = tuple(format_figure(x, unit, units=units, decimals=decimals) for x in (value, limit))
        gap = abs(value - limit)
        seen = bare_figure(gap, unit, units=units, decimals=decimals).strip("0.,") != ""
        if (shown[0] != shown[1] and seen) or decimals >= _MOST_DECIMALS:
            return shown[0], shown[1], format_figure(gap, unit, units=units, decimals=decimals)
        decimals += 1

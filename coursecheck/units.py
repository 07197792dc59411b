"""Feet at the edges, metres inside, and how a figure is written."""

from __future__ import annotations

from decimal import Decimal

__all__ = ["FLOAT_NOISE", "FOOT_M", "YARD_M", "format_apart", "format_figure"]

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
    shown, suffix = value, unit
    if units == "ft" and unit in ("m", "m2"):
        shown, suffix = value / FOOT_M ** (2 if unit == "m2" else 1), unit.replace("m", "ft")
    places = _DECIMALS[unit] if decimals is None else decimals
    if unit == "count" and value != round(value):
        places = max(places, 2)
    text = f"{Decimal(repr(float(shown))):.{places}f}"
    if text.strip("-0.") == "":
        text = text.lstrip("-")
    return text + _SUFFIX[suffix]


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
        gap = format_figure(abs(value - limit), unit, units=units, decimals=decimals)
        if (shown[0] != shown[1] and gap.strip("0. m²°sft") != "") or decimals >= _MOST_DECIMALS:
            return shown[0], shown[1], gap
        decimals += 1

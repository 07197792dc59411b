"""The measuring wheel: how far it may lie from the plan, and what its figure makes of the course times."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from coursecheck.course.model import Course
from coursecheck.language import say
from coursecheck.rulebook.model import Reckoning, Rulebook, TimeRule
from coursecheck.rulebook.resolve import resolve
from coursecheck.rulebook.vocabulary import facets_of
from coursecheck.units import bare_decimal

__all__ = ["WHEEL_BIAS", "WHEEL_ERROR", "Formula", "Formulas", "WheelCheck", "check_wheel", "formulas_for"]

# A wheel rolls over every bump and so reads long against a horizontal plan. Both figures are assumptions for a wheel
# on grass: on the mean half a percent too much, and 19 of 20 readings within one percent of that.
WHEEL_BIAS = 0.005
WHEEL_ERROR = 0.01
TWICE = 2.0  # standard deviations within which 19 of 20 lie


@dataclass(frozen=True, slots=True)
class WheelCheck:
    """The wheel's figure held against the length of the plan.

    Attributes:
        height: the height class.
        plan_m, wheel_m: the two lengths.
        bias_m: by how much a wheel is expected to read more than the plan.
        room_m: how far from that 19 of 20 readings lie, by the wheel's own error and by the setting-out together.
    """

    height: str
    plan_m: float
    wheel_m: float
    bias_m: float
    room_m: float

    @property
    def difference_m(self) -> float:
        """How much more the wheel reads than the plan says; negative: less."""
        return self.wheel_m - self.plan_m

    @property
    def explained(self) -> bool:
        """Whether wheel and setting-out explain the difference in 19 of 20 cases."""
        return abs(self.difference_m - self.bias_m) <= self.room_m


def check_wheel(height: str, plan_m: float, wheel_m: float, *, spread: float, setting_out_m: float) -> WheelCheck:
    """Holds the wheel's figure against the plan.

    Args:
        height: the height class.
        plan_m: the length of the plan.
        wheel_m: the wheel's figure.
        spread: standard deviation of the length for each metre of standard deviation in every set-out coordinate.
        setting_out_m: the standard deviation of each set-out coordinate.
    """
    room_m = math.hypot(WHEEL_ERROR * plan_m, TWICE * spread * setting_out_m)
    return WheelCheck(height, plan_m, wheel_m, WHEEL_BIAS * plan_m, room_m)


@dataclass(frozen=True, slots=True)
class Formula:
    """A time as it follows from the course length alone.

    Attributes:
        of: what is multiplied: the "length" in metres, the exact "sct", or 1 for a time that is "fixed".
        factor: by what, exact.
        rounding, cap_s, floor_s: as in the rulebook's row.
        words: the same for a reader, such as "length / 3.8".
    """

    of: Literal["length", "sct", "fixed"]
    factor: Fraction
    rounding: str
    cap_s: Decimal | None
    floor_s: Decimal | None
    words: str

    def exact_s(self, base: Fraction) -> Fraction:
        """Exact seconds from the length in metres, or from the exact SCT."""
        exact = self.factor if self.of == "fixed" else base * self.factor
        if self.rounding != "none":
            exact = Fraction(math.ceil(exact) if self.rounding == "up" else math.floor(exact + Fraction(1, 2)))
        if self.cap_s is not None:
            exact = min(exact, Fraction(self.cap_s))
        return exact if self.floor_s is None else max(exact, Fraction(self.floor_s))

    @property
    def whole(self) -> bool:
        """Whether it always comes out in whole seconds."""
        bounds = [bound for bound in (self.cap_s, self.floor_s) if bound is not None]
        return self.rounding != "none" and all(bound == bound.to_integral_value() for bound in bounds)


@dataclass(frozen=True, slots=True)
class Formulas:
    """SCT and MCT of a height class from its length; None where something else has to be known as well."""

    height: str
    sct: Formula | None
    mct: Formula | None

    def times_s(self, length_m: Decimal) -> tuple[Decimal | None, Decimal | None]:
        """SCT and MCT as they are printed for a length, which is in whole centimetres."""
        sct = None if self.sct is None else self.sct.exact_s(Fraction(length_m))
        base = Fraction(length_m) if sct is None else sct
        mct = None if self.mct is None else self.mct.exact_s(base if self.mct.of == "sct" else Fraction(length_m))
        return _shown(self.sct, sct), _shown(self.mct, mct)

    @property
    def stepped(self) -> bool:
        """Whether all times are whole seconds, so that many lengths share them."""
        return all(formula.whole for formula in (self.sct, self.mct) if formula is not None)


def formulas_for(
    course: Course, rulebook: Rulebook, heights: Iterable[str], speed_mps: float | None = None
) -> tuple[Formulas, ...]:
    """How the times of each height class follow from its length.

    Args:
        course: gives discipline, grade and the judge's speed.
        rulebook: gives the rules on times.
        heights: the height classes.
        speed_mps: the judge's speed instead of the course's.
    """
    chosen = course.speed_mps if speed_mps is None else speed_mps
    speed = None if chosen is None else Decimal(repr(float(chosen)))
    found = []
    for height in heights:
        facets = facets_of(course.discipline, course.grade, height, indoor=course.ring.indoor)
        rule: TimeRule | None = resolve(rulebook.times, [facets]).row
        sct = None if rule is None else _formula(rule.sct, speed, None)
        mct = None if rule is None else _formula(rule.mct, speed, sct)
        found.append(Formulas(height, sct, mct))
    return tuple(found)


def _formula(how: Reckoning, speed: Decimal | None, sct: Formula | None) -> Formula | None:
    over = how.speed_mps or speed if how.how == "speed" else how.speed_mps
    if how.how in ("speed", "rate") and over is not None:
        return _made("length", 1 / Fraction(over), how, say("length / {speed}", speed=bare_decimal(over)))
    if how.how == "fixed" and how.fixed_s is not None:
        return _made("fixed", Fraction(how.fixed_s), how, say("{time} s", time=bare_decimal(how.fixed_s)))
    if how.how in ("factor-of-sct", "entered") and how.factor is not None and sct is not None:
        return _made("sct", Fraction(how.factor), how, say("{factor} x SCT", factor=bare_decimal(how.factor)))
    return None


def _made(of: Literal["length", "sct", "fixed"], factor: Fraction, how: Reckoning, words: str) -> Formula:
    parts = [words]
    parts += [say("rounded up")] if how.rounding == "up" else []
    parts += [say("rounded, halves up")] if how.rounding == "half-up" else []
    parts += [] if how.cap_s is None else [say("at most {bound} s", bound=bare_decimal(how.cap_s))]
    parts += [] if how.floor_s is None else [say("at least {bound} s", bound=bare_decimal(how.floor_s))]
    return Formula(of, factor, how.rounding, how.cap_s, how.floor_s, ", ".join(parts))


def _shown(formula: Formula | None, exact: Fraction | None) -> Decimal | None:
    """Whole seconds where the rule rounds to them, else hundredths, halves up."""
    if formula is None or exact is None:
        return None
    if formula.rounding != "none" and exact.denominator == 1:
        return Decimal(exact.numerator)
    return Decimal(math.floor(exact * 100 + Fraction(1, 2))).scaleb(-2)

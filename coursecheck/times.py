"""Standard and maximum course times.

Everything is reckoned in exact fractions of the decimals that were given, so that 40.00 s x 1.15 is 46 s and never
47, and written as decimals again at the end.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from coursecheck.errors import UsageError
from coursecheck.rulebook.model import Reckoning, Rulebook
from coursecheck.rulebook.resolve import resolve

__all__ = ["Times", "times_for"]

HUNDREDTH = Fraction(1, 100)


@dataclass(frozen=True, slots=True)
class Times:
    """The times of one height class.

    Attributes:
        height: the height class.
        length_m: the length they were reckoned from, or None.
        speed_mps: the speed behind the SCT, or None.
        sct_s: standard course time, or None. sct_rule: how it was found. sct_why_not: why it could not be given.
        mct_s: maximum course time, or None. mct_rule, mct_why_not: likewise.
        notes: cautions, such as a speed outside the rulebook's range.
    """

    height: str
    length_m: Decimal | None
    speed_mps: Decimal | None
    sct_s: Decimal | None
    mct_s: Decimal | None
    sct_rule: str = ""
    mct_rule: str = ""
    sct_why_not: str = ""
    mct_why_not: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Given:
    """What is known on the day, exactly as given; the length as printed, to the nearest centimetre."""

    length_m: Decimal | None
    speed_mps: Decimal | None
    best_s: Decimal | None


@dataclass(frozen=True, slots=True)
class _Time:
    """A time before it is written: exact seconds or why there are none, and how it was found."""

    exact_s: Fraction | None
    rule: str = ""
    why_not: str = ""
    speed_mps: Decimal | None = None
    whole: bool = False
    notes: tuple[str, ...] = ()

    @property
    def shown_s(self) -> Decimal | None:
        """Whole seconds where it was rounded to them, else to the nearest hundredth, halves up."""
        if self.exact_s is None:
            return None
        if self.whole:
            return Decimal(math.floor(self.exact_s))
        return Decimal(_half_up(self.exact_s / HUNDREDTH)).scaleb(-2)


def times_for(
    rulebook: Rulebook,
    *,
    discipline: str,
    grade: str,
    height: str,
    length_m: float | None,
    speed_mps: float | None = None,
    best_s: float | None = None,
    sct_s: float | None = None,
    mct_s: float | None = None,
    indoor: bool = False,
) -> Times:
    """SCT and MCT of one height class.

    Args:
        rulebook: whose rules on times.
        discipline, grade, height, indoor: what selects the rule.
        length_m: the course length, or None where it is not known; rounded to 0.01 m, halves up, before use, so that
            the printed figures can be reworked.
        speed_mps: the judge's speed.
        best_s: the best run, where the rulebook derives the SCT from it.
        sct_s, mct_s: times that the judge enters, where the rulebook lets the judge do so.

    Raises:
        UsageError: a length, speed or time that is not a positive number.
    """
    length = _decimal(length_m, "course length")
    if length is not None:
        length = Decimal(_half_up(Fraction(length) / HUNDREDTH)).scaleb(-2)
    given = _Given(length, _decimal(speed_mps, "speed"), _decimal(best_s, "best run"))
    entered = _decimal(sct_s, "SCT"), _decimal(mct_s, "MCT")
    facets = {"discipline": discipline, "grade": grade, "height": height, "indoor": str(indoor).lower()}
    rule = resolve(rulebook.times, [facets]).row
    if rule is None:
        why_not = f"{rulebook.id} has no rule on times for {discipline} {grade}, {height}"
        return Times(height, length, None, None, None, sct_why_not=why_not, mct_why_not=why_not)
    sct = _reckon(rule.sct, given, entered[0], None)
    mct = _reckon(rule.mct, given, entered[1], sct)
    return Times(
        height=height,
        length_m=length,
        speed_mps=sct.speed_mps,
        sct_s=sct.shown_s,
        mct_s=mct.shown_s,
        sct_rule=sct.rule,
        mct_rule=mct.rule,
        sct_why_not=sct.why_not,
        mct_why_not=mct.why_not,
        notes=tuple(dict.fromkeys((*sct.notes, *mct.notes))),
    )


def _decimal(value: float | None, what: str) -> Decimal | None:
    """The decimal that was written, not the binary fraction next to it."""
    if value is None:
        return None
    if not (math.isfinite(value) and value > 0):
        raise UsageError(f"a {what} of {value} makes no sense; give a number above 0")
    return Decimal(repr(float(value)))


def _reckon(how: Reckoning, given: _Given, entered_s: Decimal | None, sct: _Time | None) -> _Time:
    """One time by its rule. `sct` is None while the SCT itself is reckoned."""
    if how.how == "speed":
        found = _by_judges_speed(how, given)
    elif how.how == "rate":
        found = _over_speed(how.speed_mps, given)
    elif how.how == "best-run":
        found = _by_best_run(how, given)
    elif how.how == "fixed":
        found = _Time(Fraction(how.fixed_s or 0), f"fixed at {_seconds(how.fixed_s)}")
    elif how.how == "factor-of-sct":
        found = _by_factor(how.factor, sct)
    else:
        found = _as_entered(how, entered_s, sct)
    return _bounded(_rounded(found, how), how)


def _over_speed(speed_mps: Decimal | None, given: _Given, notes: tuple[str, ...] = ()) -> _Time:
    if speed_mps is None:
        return _Time(None, why_not="needs the judge's speed", notes=notes)
    if given.length_m is None:
        return _Time(None, why_not="needs the course length", speed_mps=speed_mps, notes=notes)
    exact = Fraction(given.length_m) / Fraction(speed_mps)
    return _Time(exact, f"{given.length_m} m / {_plain(speed_mps)} m/s", speed_mps=speed_mps, notes=notes)


def _by_judges_speed(how: Reckoning, given: _Given) -> _Time:
    """Length over the judge's speed, or over the one that the rule fixes."""
    speed, notes = given.speed_mps, []
    if how.speed_mps is not None:
        if speed is not None and speed != how.speed_mps:
            notes.append(f"the rulebook fixes {_plain(how.speed_mps)} m/s; {_plain(speed)} m/s is not used")
        speed = how.speed_mps
    elif speed is not None and how.min_mps is not None and speed < how.min_mps:
        notes.append(f"{_plain(speed)} m/s is below the rulebook's {_plain(how.min_mps)} m/s")
    elif speed is not None and how.max_mps is not None and speed > how.max_mps:
        notes.append(f"{_plain(speed)} m/s is above the rulebook's {_plain(how.max_mps)} m/s")
    return _over_speed(speed, given, tuple(notes))


def _by_best_run(how: Reckoning, given: _Given) -> _Time:
    """Best run times a factor, unless that asks for less than the slowest speed allowed."""
    if given.best_s is None:
        return _Time(None, why_not="needs the best run: give it once the class has been run")
    factor = how.factor if how.factor is not None else Decimal(1)
    found = _Time(Fraction(given.best_s) * Fraction(factor), f"best run {_seconds(given.best_s)} x {_plain(factor)}")
    if how.slowest_mps is None:
        return found
    if given.length_m is None:
        return _Time(None, why_not="needs the course length")
    asked = _rounded(found, how).exact_s
    if asked is not None and Fraction(given.length_m) / asked >= Fraction(how.slowest_mps):
        return found
    slowest = _over_speed(how.slowest_mps, given)
    return _Time(
        slowest.exact_s, f"{slowest.rule}, since {found.rule} would ask for less", "", how.slowest_mps, whole=False
    )

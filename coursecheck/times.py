"""Standard and maximum course times.

Everything is reckoned in exact fractions of the decimals that were given, so that 40.00 s x 1.15 is 46 s and never
47, and written as decimals again at the end.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from coursecheck.errors import UsageError
from coursecheck.rulebook.model import Reckoning, Rulebook, TimeRule
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
        discipline: selects the rule, as do the next two.
        grade: as the rulebook lists it.
        height: the height class.
        length_m: the course length, or None where it is not known; 0, of a plan with one obstacle, is none. Rounded
            to 0.01 m, halves up, before use, so that the printed figures can be reworked.
        speed_mps: the judge's speed.
        best_s: the best run, where the rulebook derives the SCT from it.
        sct_s: the SCT that the judge enters, where the rulebook lets the judge do so.
        mct_s: the MCT likewise.
        indoor: whether the ring is in a hall; selects the rule, too.

    Raises:
        UsageError: a length, speed or time that is not a positive number.
    """
    length = None if length_m == 0 else _decimal(length_m, "course length")
    if length is not None:
        length = Decimal(_half_up(Fraction(length) / HUNDREDTH)).scaleb(-2) or None
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
        notes=tuple(dict.fromkeys((*sct.notes, *mct.notes, *_unused(rule, given, entered)))),
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
    if how.how == "best-run":
        found = _by_best_run(how, given)
    elif how.how == "speed":
        found = _rounded(_by_judges_speed(how, given), how)
    elif how.how == "rate":
        found = _rounded(_over_speed(_needed(how.speed_mps, how), given), how)
    elif how.how == "fixed":
        fixed = _needed(how.fixed_s, how)
        found = _rounded(_Time(Fraction(fixed), f"fixed at {_seconds(fixed)}"), how)
    elif how.how == "factor-of-sct":
        found = _rounded(_by_factor(_needed(how.factor, how), sct), how)
    else:
        found = _as_entered(how, entered_s, sct)
    return _bounded(found, how)


def _over_speed(speed_mps: Decimal | None, given: _Given, notes: tuple[str, ...] = ()) -> _Time:
    if speed_mps is None:
        return _Time(None, why_not="needs the judge's speed", notes=notes)
    if given.length_m is None:
        return _Time(None, why_not="needs the course length", speed_mps=speed_mps, notes=notes)
    exact = Fraction(given.length_m) / Fraction(speed_mps)
    return _Time(exact, f"{given.length_m} m / {_plain(speed_mps)} m/s", speed_mps=speed_mps, notes=notes)


def _by_judges_speed(how: Reckoning, given: _Given) -> _Time:
    """Length over the judge's speed, or over the one that the rule fixes."""
    speed = given.speed_mps
    if speed is None:
        return _over_speed(how.speed_mps, given)
    note = ""
    if how.speed_mps is not None and speed != how.speed_mps:
        note = f"the rulebook fixes {_plain(how.speed_mps)} m/s; the judge's {_plain(speed)} m/s is not used"
    elif how.min_mps is not None and speed < how.min_mps:
        note = f"{_plain(speed)} m/s is below the rulebook's {_plain(how.min_mps)} m/s"
    elif how.max_mps is not None and speed > how.max_mps:
        note = f"{_plain(speed)} m/s is above the rulebook's {_plain(how.max_mps)} m/s"
    return _over_speed(how.speed_mps or speed, given, (note,) if note else ())


def _by_best_run(how: Reckoning, given: _Given) -> _Time:
    """Best run times a factor, rounded; where that asks for less than the slowest speed, length over that speed."""
    if given.best_s is None:
        return _Time(None, why_not="needs the best run: give it once the class has been run")
    factor = _needed(how.factor, how)
    exact = Fraction(given.best_s) * Fraction(factor)
    found = _rounded(_Time(exact, f"best run {_seconds(given.best_s)} x {_plain(factor)}"), how)
    if how.slowest_mps is None or found.exact_s is None:
        return found
    slowest = _over_speed(how.slowest_mps, given)
    if slowest.exact_s is None:
        return slowest
    if found.exact_s <= slowest.exact_s:
        return found
    return replace(slowest, rule=f"{slowest.rule}, the slowest allowed, as {found.rule}, would be longer")


def _by_factor(factor: Decimal, sct: _Time | None) -> _Time:
    """A multiple of the SCT as exact as it is; where the printed SCT is rounded, the rule says what it came from."""
    if sct is None or sct.exact_s is None:
        return _Time(None, why_not="needs the SCT")
    shown = sct.shown_s
    whence = _seconds(shown) if shown is not None and Fraction(shown) == sct.exact_s else f"({sct.rule})"
    return _Time(sct.exact_s * Fraction(factor), f"{_plain(factor)} x {whence}")


def _as_entered(how: Reckoning, entered_s: Decimal | None, sct: _Time | None) -> _Time:
    """The judge's figure, held against the rulebook's range; until then the proposal, where it has one."""
    base = None if sct is None else sct.exact_s
    bounds = [None if base is None or f is None else base * Fraction(f) for f in (how.min_factor, how.max_factor)]
    room = _range_words(how, sct)
    if entered_s is not None:
        exact = Fraction(entered_s)
        low, high = bounds
        outside = (low is not None and exact < low) or (high is not None and exact > high)
        notes = (f"{_seconds(entered_s)} is outside the rulebook's range, {room}",) if outside else ()
        return _Time(exact, "entered by the judge", notes=notes)
    if how.factor is None:
        return _Time(None, why_not=f"the judge sets it{', ' if room else ''}{room}; none was entered")
    proposal = _rounded(_by_factor(how.factor, sct), how)
    return replace(proposal, rule=f"{proposal.rule}; the judge may set it{', ' if room else ''}{room}")


def _range_words(how: Reckoning, sct: _Time | None) -> str:
    """The range that an entered time is held to, in words and, where the SCT is known, in seconds."""
    factors = [factor for factor in (how.min_factor, how.max_factor) if factor is not None]
    words = " to ".join(_plain(factor) for factor in factors)
    if not factors:
        return ""
    limits = [_by_factor(factor, sct).shown_s for factor in factors]
    seconds = " to ".join(str(limit) for limit in limits if limit is not None)
    return f"{words} x SCT" + (f": {seconds} s" if seconds else "")


def _rounded(time: _Time, how: Reckoning) -> _Time:
    if time.exact_s is None or how.rounding == "none":
        return time
    whole = math.ceil(time.exact_s) if how.rounding == "up" else _half_up(time.exact_s)
    words = "rounded up" if how.rounding == "up" else "rounded, halves up"
    return replace(time, exact_s=Fraction(whole), rule=f"{time.rule}, {words}", whole=True)


def _bounded(time: _Time, how: Reckoning) -> _Time:
    if time.exact_s is None:
        return time
    if how.cap_s is not None and time.exact_s > Fraction(how.cap_s):
        return _held(time, how.cap_s, "at most")
    if how.floor_s is not None and time.exact_s < Fraction(how.floor_s):
        return _held(time, how.floor_s, "at least")
    return time


def _held(time: _Time, bound_s: Decimal, words: str) -> _Time:
    whole = time.whole and bound_s == bound_s.to_integral_value()
    return replace(time, exact_s=Fraction(bound_s), rule=f"{time.rule}, {words} {_seconds(bound_s)}", whole=whole)


def _half_up(value: Fraction) -> int:
    """To the nearest whole number, halves up."""
    return math.floor(value + Fraction(1, 2))


def _needed(value: Decimal | None, how: Reckoning) -> Decimal:
    """A figure without which a rule means nothing; a rulebook that was read always has it."""
    if value is None:
        raise ValueError(f"a time reckoned by {how.how} lacks its figure")
    return value


def _plain(value: Decimal) -> str:
    """A decimal without needless zeros."""
    return f"{value.normalize():f}"


def _seconds(value: Decimal) -> str:
    """Seconds as a judge writes them: whole, or with two decimals and more only where there are more."""
    text = _plain(value)
    decimals = len(text.partition(".")[2])
    return f"{value:.2f} s" if decimals == 1 else f"{text} s"


def _unused(rule: TimeRule, given: _Given, entered: tuple[Decimal | None, Decimal | None]) -> Iterator[str]:
    """What was given although this rule does not ask for it."""
    if given.speed_mps is not None and "speed" not in (rule.sct.how, rule.mct.how):
        yield f"the judge's speed, {_plain(given.speed_mps)} m/s, is not used by this rulebook's rule"
    if given.best_s is not None and "best-run" not in (rule.sct.how, rule.mct.how):
        yield f"the best run, {_seconds(given.best_s)}, is not used by this rulebook's rule"
    for name, how, value in (("SCT", rule.sct.how, entered[0]), ("MCT", rule.mct.how, entered[1])):
        if value is not None and how != "entered":
            yield f"the {name} entered, {_seconds(value)}, is not used: this rulebook reckons it"

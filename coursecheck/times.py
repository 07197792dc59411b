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
from coursecheck.language import clauses, say, to_say, written
from coursecheck.rulebook.model import Reckoning, Rulebook, TimeRule
from coursecheck.rulebook.resolve import resolve
from coursecheck.rulebook.vocabulary import facets_of
from coursecheck.units import bare_decimal

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
    length = None if length_m == 0 else _decimal(length_m, to_say("course length"))
    if length is not None:
        length = Decimal(_half_up(Fraction(length) / HUNDREDTH)).scaleb(-2) or None
    given = _Given(length, _decimal(speed_mps, to_say("speed")), _decimal(best_s, to_say("best run")))
    entered = _decimal(sct_s, to_say("SCT")), _decimal(mct_s, to_say("MCT"))
    rule = resolve(rulebook.times, [facets_of(discipline, grade, height, indoor=indoor)]).row
    if rule is None:
        why_not = say(
            "{rulebook} has no rule on times for {discipline} {grade}, {height}",
            rulebook=rulebook.id,
            discipline=discipline,
            grade=grade,
            height=height,
        )
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
        wrong = say("a {what} of {value} makes no sense; give a number above 0", what=say(what), value=str(value))
        raise UsageError(wrong)
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
        found = _rounded(_Time(Fraction(fixed), say("fixed at {time}", time=_seconds(fixed))), how)
    elif how.how == "factor-of-sct":
        found = _rounded(_by_factor(_needed(how.factor, how), sct), how)
    else:
        found = _as_entered(how, entered_s, sct)
    return _bounded(found, how)


def _over_speed(speed_mps: Decimal | None, given: _Given, notes: tuple[str, ...] = ()) -> _Time:
    if speed_mps is None:
        return _Time(None, why_not=say("needs the judge's speed"), notes=notes)
    if given.length_m is None:
        return _Time(None, why_not=say("needs the course length"), speed_mps=speed_mps, notes=notes)
    exact = Fraction(given.length_m) / Fraction(speed_mps)
    return _Time(
        exact,
        say("{length} m / {speed} m/s", length=given.length_m, speed=bare_decimal(speed_mps)),
        speed_mps=speed_mps,
        notes=notes,
    )


def _by_judges_speed(how: Reckoning, given: _Given) -> _Time:
    """Length over the judge's speed, or over the one that the rule fixes."""
    speed = given.speed_mps
    if speed is None:
        return _over_speed(how.speed_mps, given)
    note = ""
    if how.speed_mps is not None and speed != how.speed_mps:
        note = say(
            "the rulebook fixes {fixed} m/s; the judge's {speed} m/s is not used",
            fixed=bare_decimal(how.speed_mps),
            speed=bare_decimal(speed),
        )
    elif how.min_mps is not None and speed < how.min_mps:
        note = say(
            "{speed} m/s is below the rulebook's {bound} m/s",
            speed=bare_decimal(speed),
            bound=bare_decimal(how.min_mps),
        )
    elif how.max_mps is not None and speed > how.max_mps:
        note = say(
            "{speed} m/s is above the rulebook's {bound} m/s",
            speed=bare_decimal(speed),
            bound=bare_decimal(how.max_mps),
        )
    return _over_speed(how.speed_mps or speed, given, (note,) if note else ())


def _by_best_run(how: Reckoning, given: _Given) -> _Time:
    """Best run times a factor, rounded; where that asks for less than the slowest speed, length over that speed."""
    if given.best_s is None:
        return _Time(
            None,
            why_not=say(
                "needs the best run, the fastest with the fewest course faults: give it once the class has been run"
            ),
        )
    factor = _needed(how.factor, how)
    exact = Fraction(given.best_s) * Fraction(factor)
    found = _rounded(
        _Time(exact, say("best run {time} x {factor}", time=_seconds(given.best_s), factor=bare_decimal(factor))), how
    )
    if how.slowest_mps is None or found.exact_s is None:
        return found
    slowest = _over_speed(how.slowest_mps, given)
    if slowest.exact_s is None:
        return slowest
    if found.exact_s <= slowest.exact_s:
        return found
    rule = say(
        "{rule}, the slowest allowed, as {other}, would be longer",
        rule=slowest.rule,
        other=found.rule,
    )
    return replace(slowest, rule=rule)


def _by_factor(factor: Decimal, sct: _Time | None) -> _Time:
    """A multiple of the SCT as exact as it is; where the printed SCT is rounded, the rule says what it came from."""
    if sct is None or sct.exact_s is None:
        return _Time(None, why_not=say("needs the SCT"))
    shown = sct.shown_s
    whence = _seconds(shown) if shown is not None and Fraction(shown) == sct.exact_s else f"({sct.rule})"
    return _Time(sct.exact_s * Fraction(factor), say("{factor} x {sct}", factor=bare_decimal(factor), sct=whence))


def _as_entered(how: Reckoning, entered_s: Decimal | None, sct: _Time | None) -> _Time:
    """The judge's figure, held against the rulebook's range; until then the proposal, where it has one."""
    base = None if sct is None else sct.exact_s
    bounds = [None if base is None or f is None else base * Fraction(f) for f in (how.min_factor, how.max_factor)]
    room = _range_words(how, sct)
    if entered_s is not None:
        exact = Fraction(entered_s)
        low, high = bounds
        outside = (low is not None and exact < low) or (high is not None and exact > high)
        beyond = say("{time} is outside the rulebook's range, {range}", time=_seconds(entered_s), range=room)
        return _Time(exact, say("entered by the judge"), notes=(beyond,) if outside else ())
    if how.factor is None:
        none = say("the judge sets it, {range}; none was entered", range=room)
        return _Time(None, why_not=none if room else say("the judge sets it; none was entered"))
    proposal = _rounded(_by_factor(how.factor, sct), how)
    free = say("the judge may set it, {range}", range=room) if room else say("the judge may set it")
    if proposal.exact_s is None:
        return replace(proposal, why_not=clauses((proposal.why_not, free)))
    return replace(proposal, rule=clauses((proposal.rule, free)))


def _range_words(how: Reckoning, sct: _Time | None) -> str:
    """The range that an entered time is held to, in words and, where the SCT is known, in seconds."""
    factors = [factor for factor in (how.min_factor, how.max_factor) if factor is not None]
    if not factors:
        return ""
    words = say("{factors} x SCT", factors=_from_to([bare_decimal(factor) for factor in factors]))
    limits = [limit for factor in factors if (limit := _by_factor(factor, sct).shown_s) is not None]
    if not limits:
        return words
    return say("{range}: {times} s", range=words, times=_from_to([written(limit) for limit in limits]))


def _from_to(bounds: list[str]) -> str:
    """One bound, or from one to the other."""
    return bounds[0] if len(bounds) == 1 else say("{low} to {high}", low=bounds[0], high=bounds[1])


def _rounded(time: _Time, how: Reckoning) -> _Time:
    if time.exact_s is None or how.rounding == "none":
        return time
    whole = math.ceil(time.exact_s) if how.rounding == "up" else _half_up(time.exact_s)
    words = say("rounded up") if how.rounding == "up" else say("rounded, halves up")
    return replace(time, exact_s=Fraction(whole), rule=f"{time.rule}, {words}", whole=True)


def _bounded(time: _Time, how: Reckoning) -> _Time:
    if time.exact_s is None:
        return time
    if how.cap_s is not None and time.exact_s > Fraction(how.cap_s):
        return _held(time, how.cap_s, say("at most {bound}", bound=_seconds(how.cap_s)))
    if how.floor_s is not None and time.exact_s < Fraction(how.floor_s):
        return _held(time, how.floor_s, say("at least {bound}", bound=_seconds(how.floor_s)))
    return time


def _held(time: _Time, bound_s: Decimal, words: str) -> _Time:
    whole = time.whole and bound_s == bound_s.to_integral_value()
    return replace(time, exact_s=Fraction(bound_s), rule=f"{time.rule}, {words}", whole=whole)


def _half_up(value: Fraction) -> int:
    """To the nearest whole number, halves up."""
    return math.floor(value + Fraction(1, 2))


def _needed(value: Decimal | None, how: Reckoning) -> Decimal:
    """A figure without which a rule means nothing; a rulebook that was read always has it."""
    if value is None:
        raise ValueError(f"a time reckoned by {how.how} lacks its figure")
    return value


def _seconds(value: Decimal) -> str:
    """Seconds as a judge writes them: whole, or with two decimals and more only where there are more."""
    decimals = len(f"{value.normalize():f}".partition(".")[2])
    return say("{time} s", time=written(value, ".2f") if decimals == 1 else bare_decimal(value))


def _unused(rule: TimeRule, given: _Given, entered: tuple[Decimal | None, Decimal | None]) -> Iterator[str]:
    """What was given although this rule does not ask for it."""
    if given.speed_mps is not None and "speed" not in (rule.sct.how, rule.mct.how):
        yield say(
            "the judge's speed, {speed} m/s, is not used by this rulebook's rule", speed=bare_decimal(given.speed_mps)
        )
    if given.best_s is not None and "best-run" not in (rule.sct.how, rule.mct.how):
        yield say("the best run, {time}, is not used by this rulebook's rule", time=_seconds(given.best_s))
    for name, how, value in ((say("SCT"), rule.sct.how, entered[0]), (say("MCT"), rule.mct.how, entered[1])):
        if value is not None and how != "entered":
            yield say(
                "the {name} entered, {time}, is not used: this rulebook reckons it", name=name, time=_seconds(value)
            )

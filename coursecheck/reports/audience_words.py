"""Whom a row of a rulebook speaks to, and what it asks, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from coursecheck.language import clauses, either, say, say_as, to_say, written
from coursecheck.measures import MEASURES
from coursecheck.reports.terms import severity_name
from coursecheck.rulebook.model import Limit, Reckoning, Rulebook, Selectors
from coursecheck.units import format_figure
from coursecheck.verdict.compare import expected_words, kind_name

__all__ = [
    "ask_words",
    "class_words",
    "clause_words",
    "counted_words",
    "grade_words",
    "reckoning_words",
    "scope_words",
]

_TURN = {
    "straight": to_say("a next obstacle less than 45° off straight on"),
    "angled": to_say("a next obstacle 45° to 90° off straight on"),
    "side": to_say("a next obstacle 90° to 135° off straight on"),
    "back": to_say("a next obstacle 135° or more off straight on"),
}
_SWITCH = {
    "reverse": (to_say("against the bearing"), to_say("along the bearing")),
    "indoor": (to_say("indoors"), to_say("outdoors")),
    "parallel": (to_say("long side along the edge"), to_say("long side not along the edge")),
}
_CHOSEN = {
    "from": to_say("from {which}"),
    "to": to_say("to {which}"),
    "kind": to_say("at {which}"),
    "pass": to_say("the {which}"),
    "height": to_say("class {which}"),
    "discipline": to_say("discipline {which}"),
    "grade": to_say("grade {which}"),
}


def scope_words(where: Selectors) -> str:
    """Whom selectors choose, in words: "at spread or wall, indoors"; "all" for none."""
    return ", ".join(_facet_words(facet, words) for facet, words in where.items()) or say_as("audience", "all")


def _facet_words(facet: str, words: Sequence[str]) -> str:
    if facet in _SWITCH:
        return either([say(_SWITCH[facet][word == "false"]) for word in words])
    if facet == "turn":
        return either([say(_TURN[word]) for word in words])
    named = either([_value_words(facet, word) for word in words])
    return say(_CHOSEN[facet], which=named) if facet in _CHOSEN else f"{facet} {named}"


def _value_words(facet: str, word: str) -> str:
    if facet in ("height", "discipline", "grade"):
        return word  # as the rulebook names them
    return kind_name(word) if facet in ("kind", "from", "to") else say(word)


def grade_words(grades: Sequence[tuple[str, str]], book: Rulebook) -> str:
    """Disciplines and grades: "every grade", "agility", "agility 1, 2; jumping 1"."""
    every = [(name, grade) for name, owns in book.disciplines.items() for grade in owns]
    if set(grades) == set(every):
        return say("every grade")
    parts = []
    for name, owns in book.disciplines.items():
        chosen = [grade for grade in owns if (name, grade) in grades]
        parts += [name if tuple(chosen) == tuple(owns) else f"{name} {', '.join(chosen)}"] if chosen else []
    return clauses(parts)


def class_words(heights: Sequence[str], book: Rulebook) -> str:
    """Height classes: "every class", "small, medium"."""
    return say("every class") if set(heights) == set(book.heights) else ", ".join(heights)


def ask_words(row: Limit | None, units: str) -> str:
    """What a row asks: "must: at least 5.00 m"; "no limit" for no row."""
    if row is None:
        return say("no limit")
    asked = expected_words(row, MEASURES[row.measure].unit_of(row.metric), units)
    return say("{severity}: {asked}", severity=severity_name(row.severity), asked=asked)


def counted_words(row: Limit, units: str) -> str:
    """What a count counts: kinds, or lengths; nothing where it counts everything."""
    parts = [", ".join(map(kind_name, row.of))] if row.of else []
    if row.between:
        low, high = (format_figure(bound, "m", units=units) for bound in row.between)
        parts.append(say("{low} to {high}", low=low, high=high))
    return clauses(parts)


def clause_words(row: Limit) -> str:
    """The clause of a row, or that none is known."""
    return say("clause {clause}", clause=row.clause) if row.clause else say("no clause known")


def reckoning_words(how: Reckoning) -> str:
    """How one time is found, in words."""
    tail = [say("rounded up to whole seconds")] if how.rounding == "up" else []
    tail += [say("rounded to whole seconds")] if how.rounding == "half-up" else []
    tail += [say("at most {bound} s", bound=_plain(how.cap_s))] if how.cap_s is not None else []
    tail += [say("at least {bound} s", bound=_plain(how.floor_s))] if how.floor_s is not None else []
    return ", ".join((*_reckoned(how), *tail))


def _reckoned(how: Reckoning) -> Iterator[str]:
    if how.how == "speed" and how.speed_mps is None:
        yield say("length over the judge's speed")
        yield from _range(how.min_mps, how.max_mps, say("m/s"))
    elif how.how in ("speed", "rate"):
        yield say("length over {speed} m/s", speed=_plain(how.speed_mps))
    elif how.how == "best-run":
        yield say("best run × {factor}", factor=_plain(how.factor))
        if how.slowest_mps is not None:
            yield say("never slower than {speed} m/s", speed=_plain(how.slowest_mps))
    elif how.how == "fixed":
        yield say("{time} s", time=_plain(how.fixed_s))
    elif how.how == "factor-of-sct":
        yield say("{factor} × SCT", factor=_plain(how.factor))
    else:
        yield say("the judge enters it")
        yield from _range(how.min_factor, how.max_factor, say("× SCT"))
        if how.factor is not None:
            yield say("{factor} × SCT until then", factor=_plain(how.factor))


def _range(low: Decimal | None, high: Decimal | None, unit: str) -> Iterator[str]:
    if low is not None and high is not None:
        yield say("{low} to {high} {unit}", low=_plain(low), high=_plain(high), unit=unit)
    elif low is not None:
        yield say("at least {bound} {unit}", bound=_plain(low), unit=unit)
    elif high is not None:
        yield say("at most {bound} {unit}", bound=_plain(high), unit=unit)


def _plain(value: Decimal | None) -> str:
    """A decimal without needless zeros, to a ten-thousandth: rates of other units have endless ones."""
    return "" if value is None else written(round(value, 4).normalize(), "f")

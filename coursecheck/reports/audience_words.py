"""Whom a row of a rulebook speaks to, and what it asks, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from coursecheck.measures import MEASURES
from coursecheck.rulebook.model import Limit, Reckoning, Rulebook, Selectors
from coursecheck.units import format_figure
from coursecheck.verdict.compare import expected_words

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
    "straight": "a next obstacle less than 45° off straight on",
    "angled": "a next obstacle 45° to 90° off straight on",
    "side": "a next obstacle 90° to 135° off straight on",
    "back": "a next obstacle 135° or more off straight on",
}
_SWITCH = {
    "reverse": ("against the bearing", "along the bearing"),
    "indoor": ("indoors", "outdoors"),
    "parallel": ("long side along the edge", "long side not along the edge"),
}
_OPENING = {"from": "from", "to": "to", "kind": "at", "pass": "the", "height": "class"}


def scope_words(where: Selectors) -> str:
    """Whom selectors choose, in words: "at spread or wall, indoors"; "all" for none."""
    return ", ".join(_facet_words(facet, words) for facet, words in where.items()) or "all"


def _facet_words(facet: str, words: Sequence[str]) -> str:
    if facet in _SWITCH:
        return " or ".join(_SWITCH[facet][word == "false"] for word in words)
    if facet == "turn":
        return " or ".join(_TURN[word] for word in words)
    return f"{_OPENING.get(facet, facet)} {_either(words)}"


def _either(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def grade_words(grades: Sequence[tuple[str, str]], book: Rulebook) -> str:
    """Disciplines and grades: "every grade", "agility", "agility 1, 2; jumping 1"."""
    every = [(name, grade) for name, owns in book.disciplines.items() for grade in owns]
    if set(grades) == set(every):
        return "every grade"
    parts = []
    for name, owns in book.disciplines.items():
        chosen = [grade for grade in owns if (name, grade) in grades]
        parts += [name if tuple(chosen) == tuple(owns) else f"{name} {', '.join(chosen)}"] if chosen else []
    return "; ".join(parts)


def class_words(heights: Sequence[str], book: Rulebook) -> str:
    """Height classes: "every class", "small, medium"."""
    return "every class" if set(heights) == set(book.heights) else ", ".join(heights)


def ask_words(row: Limit | None, units: str) -> str:
    """What a row asks: "must: at least 5.00 m"; "no limit" for no row."""
    if row is None:
        return "no limit"
    return f"{row.severity}: {expected_words(row, MEASURES[row.measure].unit_of(row.metric), units)}"


def counted_words(row: Limit, units: str) -> str:
    """What a count counts: kinds, or lengths; nothing where it counts everything."""
    parts = [", ".join(row.of)] if row.of else []
    if row.between:
        low, high = (format_figure(bound, "m", units=units) for bound in row.between)
        parts.append(f"{low} to {high}")
    return "; ".join(parts)


def clause_words(row: Limit) -> str:
    """The clause of a row, or that none is known."""
    return f"clause {row.clause}" if row.clause else "no clause known"


def reckoning_words(how: Reckoning) -> str:
    """How one time is found, in words."""
    tail = {"up": ["rounded up to whole seconds"], "half-up": ["rounded to whole seconds"], "none": []}[how.rounding]
    tail += [f"at most {_plain(how.cap_s)} s"] if how.cap_s is not None else []
    tail += [f"at least {_plain(how.floor_s)} s"] if how.floor_s is not None else []
    return ", ".join((*_reckoned(how), *tail))


def _reckoned(how: Reckoning) -> Iterator[str]:
    if how.how == "speed" and how.speed_mps is None:
        yield "length over the judge's speed"
        yield from _range(how.min_mps, how.max_mps, " m/s")
    elif how.how in ("speed", "rate"):
        yield f"length over {_plain(how.speed_mps)} m/s"
    elif how.how == "best-run":
        yield f"best run × {_plain(how.factor)}"
        if how.slowest_mps is not None:
            yield f"never slower than {_plain(how.slowest_mps)} m/s"
    elif how.how == "fixed":
        yield f"{_plain(how.fixed_s)} s"
    elif how.how == "factor-of-sct":
        yield f"{_plain(how.factor)} × SCT"
    else:
        yield "the judge enters it"
        yield from _range(how.min_factor, how.max_factor, " × SCT")
        if how.factor is not None:
            yield f"{_plain(how.factor)} × SCT until then"


def _range(low: Decimal | None, high: Decimal | None, unit: str) -> Iterator[str]:
    if low is not None and high is not None:
        yield f"{_plain(low)} to {_plain(high)}{unit}"
    elif low is not None:
        yield f"at least {_plain(low)}{unit}"
    elif high is not None:
        yield f"at most {_plain(high)}{unit}"


def _plain(value: Decimal | None) -> str:
    """A decimal without needless zeros, to a ten-thousandth: rates of other units have endless ones."""
    return "" if value is None else f"{round(value, 4).normalize():f}"

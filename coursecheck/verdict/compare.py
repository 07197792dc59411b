"""One value against one limit: the only place that compares, and that says so in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from coursecheck.measures.model import Measure, Value
from coursecheck.rulebook.model import Limit
from coursecheck.units import FLOAT_NOISE, format_apart, format_figure

__all__ = [
    "CLOSE_CHANCE",
    "FLOAT_NOISE",
    "Comparison",
    "breach_chance",
    "compare",
    "expected_words",
    "label_words",
    "subject_words",
]

CLOSE_CHANCE = 0.05
"""Met on paper, but with more than this chance of a breach once built: close."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """How a value stands to a limit.

    Attributes:
        outcome: one of the outcomes.
        margin: how far inside the bound, negative beyond it; None where it has none.
        chance: of a breach once built; None where the value cannot scatter.
        expected: the bound in words.
        message: the whole in one sentence.
    """

    outcome: str
    margin: float | None
    chance: float | None
    expected: str
    message: str


def compare(value: Value, limit: Limit, measure: Measure, *, setting_out_m: float, units: str) -> Comparison:
    """Judges one value by one limit.

    Args:
        value: what was measured.
        limit: the row that applies to it.
        measure: the measure that took it.
        setting_out_m: standard deviation of every set-out coordinate, in metres.
        units: "m" or "ft", for the sentence.
    """
    subject = subject_words(value)
    label = label_words(value, limit, measure)
    if value.measured is None:
        expected = expected_words(limit, measure.unit_of(limit.metric), units)
        return Comparison(
            "unmeasurable", None, None, expected, f"{subject}: {label} cannot be measured: {value.why_not}"
        )
    if isinstance(value.measured, str):
        return _compare_kind(value.measured, limit, f"{subject}: {label}")
    return _compare_number(value, value.measured, limit, measure, f"{subject}: {label}", setting_out_m, units)


def _compare_kind(kind: str, limit: Limit, opening: str) -> Comparison:
    met = (not limit.required or kind in limit.required) and kind not in limit.forbidden
    expected = expected_words(limit, "kind", "m")
    return Comparison("met" if met else "breach", None, None, expected, f"{opening} {kind}, {expected}")


def _compare_number(
    value: Value, measured: float, limit: Limit, measure: Measure, opening: str, setting_out_m: float, units: str
) -> Comparison:
    unit = measure.unit_of(limit.metric)
    bound, margin = _nearest_bound(measured, limit)
    chance = breach_chance(measured, limit, value.spread * setting_out_m)
    shown, _, gap = format_apart(measured, bound, unit, units=units)
    expected = expected_words(limit, unit, units)
    if margin < 0:
        outcome, tail = "breach", f"{gap} {_direction(measured, bound)}"
    elif chance is not None and chance > CLOSE_CHANCE:
        outcome, tail = "close", f"{gap} to spare; {chance:.0%} chance of a breach once built"
    else:
        outcome, tail = "met", f"{gap} to spare"
    return Comparison(outcome, margin, chance, expected, f"{opening} {shown}, {expected} ({tail})")


def _direction(measured: float, bound: float) -> str:
    return "short" if measured < bound else "too much"


def _nearest_bound(measured: float, limit: Limit) -> tuple[float, float]:
    """The bound that is nearest to being broken, or broken most, and the margin to it, free of float noise."""
    margins = []
    if limit.min is not None:
        margins.append((measured - limit.min, limit.min))
    if limit.max is not None:
        margins.append((limit.max - measured, limit.max))
    if limit.equals is not None:
        margins.append((-abs(measured - limit.equals), limit.equals))
    margin, bound = min(margins)
    return bound, 0.0 if abs(margin) <= FLOAT_NOISE else margin


def breach_chance(measured: float, limit: Limit, deviation: float) -> float | None:
    """Probability that a normally distributed value falls outside the limit; None where it cannot scatter."""
    if deviation <= 0.0:
        return None
    chance = 0.0
    if limit.min is not None:
        chance += _normal_below((limit.min - measured) / deviation)
    if limit.max is not None:
        chance += _normal_below((measured - limit.max) / deviation)
    return min(1.0, chance)


def _normal_below(z: float) -> float:
    """The standard normal distribution function."""
    return 0.5 * math.erfc(-z / math.sqrt(2))


def expected_words(limit: Limit, unit: str, units: str) -> str:
    """The bound in words."""
    parts = []
    if limit.min is not None:
        parts.append(f"at least {_bound(limit.min, unit, units)}")
    if limit.max is not None:
        parts.append(f"at most {_bound(limit.max, unit, units)}")
    if limit.equals is not None:
        parts.append(f"exactly {_bound(limit.equals, unit, units)}")
    if limit.required:
        parts.append(f"must be {_either(limit.required)}")
    if limit.forbidden:
        parts.append(f"must not be {_either(limit.forbidden)}")
    return " and ".join(parts)


@lru_cache(maxsize=1024)
def _bound(bound: float, unit: str, units: str) -> str:
    """A limit with as many decimals as it has: never rounded to something that it is not."""
    decimals = 2 if unit in ("m", "m2", "s") else 0
    while decimals < 6:
        text = format_figure(bound, unit, units=units, decimals=decimals)
        finer = format_figure(bound, unit, units=units, decimals=6)
        if float(text.split()[0].rstrip("°")) == float(finer.split()[0].rstrip("°")):
            return text
        decimals += 1
    return format_figure(bound, unit, units=units, decimals=decimals)


def _either(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def label_words(value: Value, limit: Limit, measure: Measure) -> str:
    """What was measured, in words: the measure, the kinds that were counted, what tells the value from others."""
    extra = [limit.metric] if len(measure.metrics) > 1 else []
    extra += [", ".join(limit.of)] if limit.of else []
    extra += [value.note] if value.note else []
    return f"{measure.title} ({'; '.join(extra)})" if extra else measure.title


def subject_words(value: Value) -> str:
    """Whom a value belongs to, in words: a leg, a pass, a pair of obstacles, one obstacle, or the course."""
    passes, names, seen = value.passes, value.obstacles, value.facets[0]
    if len(passes) == 2 and "from" in seen:
        return f"{passes[0]} to {passes[1]} ({names[0]} to {names[1]})"
    if len(names) == 2 and "from" in seen:
        return f"{names[0]} and {names[1]}"
    if len(names) == 1 and "kind" in seen:
        numbers = ", ".join(str(number) for number in passes) or "not numbered"
        return f"{names[0]} ({numbers})" if len(passes) != 1 else f"{passes[0]} ({names[0]})"
    numbers = ", ".join(str(number) for number in passes)
    return f"course (at {numbers})" if numbers else "course"

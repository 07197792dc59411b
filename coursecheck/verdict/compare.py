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
    """How a value stands to a limit. Its words are made when they are asked for: most are never read.

    Attributes:
        outcome: one of the outcomes.
        margin: how far inside the bound, negative beyond it; None where it has none.
        chance: of a breach once built; None where the value cannot scatter.
        value, limit, measure: what was compared, and how it was taken.
        units: "m" or "ft", for the words.
    """

    outcome: str
    margin: float | None
    chance: float | None
    value: Value
    limit: Limit
    measure: Measure
    units: str

    @property
    def title(self) -> str:
        """What was measured, in words."""
        return label_words(self.value, self.limit, self.measure)

    @property
    def place(self) -> str:
        """Whom the value belongs to, in words."""
        return subject_words(self.value)

    @property
    def expected(self) -> str:
        """The bound in words."""
        return expected_words(self.limit, self.measure.unit_of(self.limit.metric), self.units)

    @property
    def message(self) -> str:
        """The whole in one sentence."""
        opening, measured = f"{self.place}: {self.title}", self.value.measured
        if measured is None:
            return f"{opening} cannot be measured: {self.value.why_not}"
        if isinstance(measured, str):
            return f"{opening} {measured}, {self.expected}"
        bound, _ = _nearest_bound(measured, self.limit)
        shown, _, gap = format_apart(measured, bound, self.measure.unit_of(self.limit.metric), units=self.units)
        tail = f"{gap} to spare"
        if self.outcome == "breach":
            tail = f"{gap} {_direction(measured, bound)}"
        elif self.outcome == "close":
            tail = f"{gap} to spare; {self.chance:.0%} chance of a breach once built"
        return f"{opening} {shown}, {self.expected} ({tail})"


def compare(value: Value, limit: Limit, measure: Measure, *, setting_out_m: float, units: str) -> Comparison:
    """Judges one value by one limit.

    Args:
        value: what was measured.
        limit: the row that applies to it.
        measure: the measure that took it.
        setting_out_m: standard deviation of every set-out coordinate, in metres.
        units: "m" or "ft", for the words.
    """
    measured = value.measured
    margin = chance = None
    if measured is None:
        outcome = "unmeasurable"
    elif isinstance(measured, str):
        met = (not limit.required or measured in limit.required) and measured not in limit.forbidden
        outcome = "met" if met else "breach"
    else:
        _, margin = _nearest_bound(measured, limit)
        chance = breach_chance(measured, limit, value.spread * setting_out_m)
        close = chance is not None and chance > CLOSE_CHANCE
        outcome = "breach" if margin < 0 else "close" if close else "met"
    return Comparison(outcome, margin, chance, value, limit, measure, units)


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

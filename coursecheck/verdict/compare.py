"""One value against one limit: the only place that compares, and that says so in words."""

from __future__ import annotations

import math
from typing import NamedTuple

from coursecheck.equipment import KINDS
from coursecheck.language import both, clauses, either, say, say_as
from coursecheck.measures.model import Measure, Value
from coursecheck.rulebook.model import Limit
from coursecheck.units import FLOAT_NOISE, decimals_of, format_apart, format_figure

__all__ = [
    "CLOSE_CHANCE",
    "Comparison",
    "beyond_words",
    "breach_chance",
    "compare",
    "expected_words",
    "kind_name",
    "label_words",
    "metric_name",
    "place_words",
    "subject_words",
]

CLOSE_CHANCE = 0.05
"""Met on paper, but with more than this chance of a breach once built: close."""


class Comparison(NamedTuple):
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
        """Whom the value belongs to, in words; empty where that is the course as a whole."""
        return place_words(self.value)

    @property
    def expected(self) -> str:
        """The bound in words."""
        return expected_words(self.limit, self.measure.unit_of(self.limit.metric), self.units)

    @property
    def message(self) -> str:
        """The whole in one sentence."""
        subject = subject_words(self.value)
        return say("{subject}: {title} {figures}", subject=subject, title=self.title, figures=self.figures)

    @property
    def figures(self) -> str:
        """What was measured, what is asked, and how far apart they are."""
        measured = self.value.measured
        if measured is None:
            return say("cannot be measured: {why}", why=self.value.why_not)
        if isinstance(measured, str):
            return say("{measured}, {expected}", measured=kind_name(measured), expected=self.expected)
        bound, _ = _nearest_bound(measured, self.limit)
        shown, _, gap = format_apart(measured, bound, self.measure.unit_of(self.limit.metric), units=self.units)
        tail = say("{gap} to spare", gap=gap)
        if self.outcome == "breach":
            tail = beyond_words(gap, short=measured < bound)
        elif self.outcome == "close":
            tail = say("{gap} to spare; {chance:.0%} chance of a breach once built", gap=gap, chance=self.chance)
        return say("{measured}, {expected} ({margin})", measured=shown, expected=self.expected, margin=tail)


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


def beyond_words(gap: str, *, short: bool) -> str:
    """By how much a limit is broken, and to which side."""
    return say("{gap} short", gap=gap) if short else say("{gap} too much", gap=gap)


def _nearest_bound(measured: float, limit: Limit) -> tuple[float, float]:
    """The bound that is nearest to being broken, or broken most, and the margin to it, free of float noise."""
    margin, bound = math.inf, math.inf
    if limit.min is not None:
        margin, bound = measured - limit.min, limit.min
    if limit.max is not None and limit.max - measured < margin:
        margin, bound = limit.max - measured, limit.max
    if limit.equals is not None and -abs(measured - limit.equals) < margin:
        margin, bound = -abs(measured - limit.equals), limit.equals
    return bound, 0.0 if -FLOAT_NOISE <= margin <= FLOAT_NOISE else margin


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
        parts.append(say("at least {bound}", bound=_bound(limit.min, unit, units)))
    if limit.max is not None:
        parts.append(say("at most {bound}", bound=_bound(limit.max, unit, units)))
    if limit.equals is not None:
        parts.append(say("exactly {bound}", bound=_bound(limit.equals, unit, units)))
    if limit.required:
        parts.append(say("must be {kinds}", kinds=either([kind_name(kind) for kind in limit.required])))
    if limit.forbidden:
        parts.append(say("must not be {kinds}", kinds=either([kind_name(kind) for kind in limit.forbidden])))
    return both(parts) if parts else ""


def _bound(bound: float, unit: str, units: str) -> str:
    """A limit with as many decimals as it has: never rounded to something that it is not."""
    return format_figure(bound, unit, units=units, decimals=decimals_of(bound, unit, units))


def label_words(value: Value, limit: Limit, measure: Measure) -> str:
    """What was measured, in words: the measure, the kinds that were counted, what tells the value from others."""
    extra = [metric_name(limit.metric)] if len(measure.metrics) > 1 else []
    extra += [", ".join(map(kind_name, limit.of))] if limit.of else []
    extra += [say(value.note)] if value.note else []
    return f"{say(measure.title)} ({clauses(extra)})" if extra else say(measure.title)


def kind_name(kind: str) -> str:
    """A kind of obstacle in the words of the papers."""
    return say(KINDS[kind].title)


def metric_name(metric: str) -> str:
    """A way of measuring, in a word."""
    return say_as("metric", metric)


def subject_words(value: Value) -> str:
    """Whom a value belongs to, in words: a leg, a pass, a pair of obstacles, one obstacle, or the course."""
    return place_words(value) or say("course")


def place_words(value: Value) -> str:
    """Whom a value belongs to, in words; nothing where that is the course as a whole."""
    passes, names, seen = value.passes, value.obstacles, value.facets[0]
    if len(passes) == 2 and "from" in seen:
        return say(
            "{from_pass} to {to_pass} ({from_name} to {to_name})",
            from_pass=passes[0],
            to_pass=passes[1],
            from_name=names[0],
            to_name=names[1],
        )
    if len(names) == 2 and "from" in seen:
        return both(names)
    numbers = ", ".join(str(number) for number in passes)
    if len(names) == 1 and "kind" in seen:
        several = f"{names[0]} ({numbers or say('not numbered')})"
        return f"{passes[0]} ({names[0]})" if len(passes) == 1 else several
    return say("course (at {numbers})", numbers=numbers) if numbers else ""

"""A plan that keeps a limit and one that breaks it, found by laying out, measuring and judging."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from coursecheck.checking import measure_course
from coursecheck.equipment import KINDS
from coursecheck.examples.layout import PLANS, Asked, Sketch
from coursecheck.language import say
from coursecheck.measures import MEASURES, Scene, Value
from coursecheck.rulebook.model import Limit, Rulebook
from coursecheck.rulebook.resolve import resolve
from coursecheck.verdict.compare import Comparison, compare
from coursecheck.verdict.docket import ask_of, plan_facets

__all__ = ["Example", "Setting", "example", "key_of"]

ATTEMPTS = 4
"""Plans tried for one wanted value: what a measure comes to is near what was wanted, but not always it."""
BEYOND_NOTHING = {"m": 0.5, "m2": 0.3, "deg": 30.0, "s": 5.0}
"""Clearly more than none, by unit."""


@dataclass(frozen=True, slots=True)
class Setting:
    """For whom an example is made: discipline, grade and height class."""

    discipline: str
    grade: str
    height: str


@dataclass(frozen=True, slots=True)
class Example:
    """A plan that was measured and judged by one row.

    Attributes:
        outcome: "met" or "breach".
        scene: the measured plan.
        value: what was measured where it is tightest; None where nothing on the plan falls under the limit.
        message: the sentence of the comparison.
    """

    outcome: str
    scene: Scene
    value: Value | None
    message: str


def example(book: Rulebook, row: Limit, setting: Setting, *, good: bool) -> Example | None:
    """A small plan that keeps a row, or one that breaks it; None where none was found.

    Args:
        book: whose row it is; gives runner, sizes and units.
        row: the row.
        setting: for whom; the row applies to them.
        good: whether it is to be kept.
    """
    runner = book.heights[setting.height].runner
    subject = {facet: words[0] for facet, words in row.where.items()}
    wanted_outcome = "met" if good else "breach"
    for answer, wanted in _wanted(row, good=good):
        asked = Asked(subject, row.metric, row.of, row.between, runner, answer)
        tried: list[tuple[float, float]] = []
        aim: float | None = wanted
        while aim is not None and len(tried) < ATTEMPTS:
            found = _judged(book, row, setting, PLANS[row.measure](asked, aim))
            if found.outcome == wanted_outcome and (good or found.value is not None):
                return found
            measured = found.value.measured if found.value else None
            aim = _next_aim(tried, aim, measured, wanted) if isinstance(measured, float) else None
    return None


def _next_aim(tried: list[tuple[float, float]], aim: float, measured: float, wanted: float) -> float | None:
    """Where to aim next, by the line through the last two attempts; None where aiming does not help."""
    tried.append((aim, measured))
    if len(tried) == 1:
        return aim + wanted - measured
    (a, first), (b, second) = tried[-2:]
    return None if first == second else b + (wanted - second) * (b - a) / (second - first)


def _wanted(row: Limit, *, good: bool) -> Iterator[tuple[str, float]]:
    """What a measure is to come to: a kind for a measure of kinds, else a number, the first choice first."""
    unit = MEASURES[row.measure].unit_of(row.metric)
    if unit == "kind":
        for kind in KINDS:
            if ((not row.required or kind in row.required) and kind not in row.forbidden) == good:
                yield kind, 0.0
        return
    low = row.equals if row.min is None else row.min
    high = row.equals if row.max is None else row.max
    numbers = _good_numbers(low, high, unit) if good else _bad_numbers(low, high, unit)
    yield from (("", number) for number in numbers)


def _good_numbers(low: float | None, high: float | None, unit: str) -> Iterator[float]:
    if unit == "count":
        yield from (bound for bound in (low, high) if bound is not None)
    elif low is not None and high is not None:
        yield (low + high) / 2
    elif low is not None:
        yield from (1.2 * low, 1.6 * low)
    elif high is not None:
        yield from (0.8 * high, 0.5 * high)


def _bad_numbers(low: float | None, high: float | None, unit: str) -> Iterator[float]:
    if unit == "count":
        yield from (bound - 1 for bound in (low,) if bound is not None and bound >= 1)
        yield from (number for bound in (high,) if bound is not None for number in (bound + 1, bound + 2))
        return
    for share in (0.75, 0.5):
        if low is not None and low > 0.0:
            yield share * low
        if high is not None:
            yield high / share if high > 0.0 else BEYOND_NOTHING[unit]


def _judged(book: Rulebook, row: Limit, setting: Setting, sketch: Sketch) -> Example:
    """The plan, measured and judged by the row where it is tightest."""
    scene = _scene(book, row, setting, sketch)
    facets = plan_facets(scene.course, setting.height)
    name, ask = ask_of(row)
    judged = [
        (value, compare(value, row, MEASURES[name], setting_out_m=0.0, units=book.units))
        for value in MEASURES[name].take(scene, ask)
        if resolve([row], [{**facets, **own} for own in value.facets]).row is not None
    ]
    if not judged:
        return Example("met", scene, None, say("Nothing on this plan falls under the limit."))
    value, result = min(judged, key=lambda pair: _spare(pair[1]))
    return Example(result.outcome, scene, value, result.message)


def _spare(result: Comparison) -> float:
    if result.margin is None:
        return 0.0 if result.outcome == "met" else -1.0
    return result.margin


def _scene(book: Rulebook, row: Limit, setting: Setting, sketch: Sketch) -> Scene:
    course = replace(
        sketch.course,
        title=row.id,
        rulebook=book.id,
        discipline=setting.discipline,
        grade=setting.grade,
        units=book.units,
        ring=replace(sketch.course.ring, indoor="true" in row.where.get("indoor", ())),
    )
    heights = dict(book.heights)
    if sketch.turn_radius_m is not None:
        height = heights[setting.height]
        heights[setting.height] = replace(height, runner=replace(height.runner, turn_radius_m=sketch.turn_radius_m))
    return measure_course(course, replace(book, heights=heights), [setting.height])[setting.height]


def key_of(book: Rulebook, row: Limit, setting: Setting) -> str:
    """What an example hangs on: rows with the same key have the same example."""
    sizes = [(size.kind, size.size, size.value, size.where) for size in book.sizes]
    bound = (row.min, row.max, row.equals, row.required, row.forbidden)
    asked = (row.measure, row.metric, row.of, row.between, bound, row.where)
    return repr((asked, book.heights[setting.height], book.units, book.length, sizes))

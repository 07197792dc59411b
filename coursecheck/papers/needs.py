"""What a course takes: obstacles against the club's store, small things, people, and what changes between classes.

How many spare bars, fixings and helpers there should be is common practice, no source; the list says so.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from coursecheck.equipment import KINDS
from coursecheck.equipment.shape import Shape
from coursecheck.language import both, say, written
from coursecheck.measures import MEASURES, Ask, Scene
from coursecheck.units import format_figure
from coursecheck.verdict.model import Verdict

__all__ = [
    "Change",
    "Helper",
    "Need",
    "Thing",
    "bar_heights",
    "bars_in_use",
    "changes",
    "fixing_pairs",
    "heights_words",
    "helpers",
    "needs",
    "things",
]

UNTOLD = ("foot", "bend")  # sizes that nobody brings: how far feet reach, how a tunnel is bent
BARRED: Mapping[str, int] = {"jump": 1, "spread": 2}  # loose bars that one of a kind has
SET_HIGH = ("jump", "spread", "wall")  # kinds whose height follows the class
FIXING_M = 1.5  # between two pairs of fixings along a tunnel
INCH_CM = 2.54  # exact, international yard and pound agreement 1959
SPARE_EVERY = 5  # one bar in reserve for so many in use
LEAST_SPARE = 2
MANY_JUMPS = 12  # beyond which two people do not keep all bars in sight


@dataclass(frozen=True, slots=True)
class Need:
    """Obstacles of one kind and size.

    Attributes:
        title: the kind. count: how many stand in the ring.
        sizes: their sizes in words; those that follow the class, class by class.
        owned: how many of the kind the club owns, or None where the plan does not say.
        lacking: how many of the kind it lacks; said once, with the first size of a kind.
    """

    title: str
    count: int
    sizes: str
    owned: int | None
    lacking: int


@dataclass(frozen=True, slots=True)
class Thing:
    """Something small to bring: how many, and why so many."""

    what: str
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class Helper:
    """A job: how many people, and what they do."""

    job: str
    count: int
    what: str


@dataclass(frozen=True, slots=True)
class Change:
    """What has to be changed when one class follows another."""

    before: str
    after: str
    what: tuple[str, ...]


def needs(verdict: Verdict) -> tuple[Need, ...]:
    """The obstacles to bring, kind by kind."""
    scenes = list(verdict.scenes.values())
    lacking = _lacking(scenes[0])
    listed = []
    for kind in KINDS:
        names = [name for name, shape in scenes[0].shapes.items() if shape.kind.name == kind]
        sizes = [_size_words([scene.shapes[name] for scene in scenes], verdict.course.units) for name in names]
        for i, words in enumerate(dict.fromkeys(sizes)):
            store = verdict.course.store
            owned = None if store is None else (store[kind].count if kind in store else 0)
            missing = lacking.get(kind, 0) if i == 0 else 0
            listed.append(Need(say(KINDS[kind].title), sizes.count(words), words, owned, missing))
    return tuple(listed)


def _lacking(scene: Scene) -> dict[str, int]:
    """How many of each kind the club lacks, as the measure of the same name has it."""
    values = MEASURES["store-shortage"].take(scene, Ask("all"))
    return {value.facets[0]["kind"]: round(value.measured) for value in values if isinstance(value.measured, float)}


def _size_words(shapes: Sequence[Shape], units: str) -> str:
    """The sizes of one obstacle for all classes."""
    told = []
    for size, about in shapes[0].kind.sizes.items():
        if size not in UNTOLD:
            values = list(dict.fromkeys(_size(shape.sizes[size], about.unit, units) for shape in shapes))
            told.append(say("{size} {value}", size=say(about.about), value=" / ".join(values)))
    return ", ".join(told)


def _size(value: float, unit: str, units: str) -> str:
    return format_figure(value, unit, units=units, decimals=0 if unit == "count" else None)


def _of_kind(scene: Scene, *kinds: str) -> list[Shape]:
    return [shape for shape in scene.shapes.values() if shape.kind.name in kinds]


def bars_in_use(scene: Scene) -> int:
    """Loose bars on the jumps and spreads of a course."""
    return sum(BARRED.get(shape.kind.name, 0) for shape in scene.shapes.values())


def fixing_pairs(length_m: float) -> int:
    """Pairs of fixings of one tunnel: one at either mouth, and so many between that no gap is longer than 1.5 m."""
    return 1 + max(1, math.ceil(round(length_m / FIXING_M, 6)))


def things(verdict: Verdict) -> tuple[Thing, ...]:
    """Cones, fixings, bars in reserve, tapes."""
    scene = next(iter(verdict.scenes.values()))
    return tuple(thing for thing in _things(scene) if thing.count)


def _things(scene: Scene) -> Iterator[Thing]:
    last = len(scene.passes)
    shared = [both([str(number) for number in n]) for name in scene.shapes if len(n := scene.numbers(name)) > 1]
    cones = say("{low} to {high}", low=1, high=last)
    if shared:
        cones = say("{numbers}; at the same obstacle: {shared}", numbers=cones, shared=", ".join(shared))
    yield Thing(say("number cones"), last, cones)
    bars = bars_in_use(scene)
    spare = max(LEAST_SPARE, math.ceil(bars / SPARE_EVERY)) if bars else 0
    used = say("{count} in use, one on every jump and two on every spread; one for every five", count=bars)
    yield Thing(say("bars in reserve"), spare, used)
    tunnels = _of_kind(scene, "tunnel")
    pairs = [fixing_pairs(shape.sizes["length"]) for shape in tunnels]
    where = say(
        "{pairs}: at either mouth and every {spacing} or less",
        pairs=" + ".join(map(str, pairs)),
        spacing=format_figure(FIXING_M, "m", units=scene.course.units, decimals=1),
    )
    yield Thing(say("tunnel fixings, in pairs"), sum(pairs), where)
    poles = sum(round(shape.sizes["poles"]) for shape in _of_kind(scene, "weaves"))
    yield Thing(say("weave poles in reserve"), LEAST_SPARE if poles else 0, say("{count} in use", count=poles))
    marks = sum(len(shape.marks) for shape in scene.shapes.values())
    yield Thing(say("pegs or flags"), marks, say("one for every point that the setting-out sheet names"))
    yield Thing(
        say("tapes"), 2, say("one along the base line, one to measure off; the setting-out sheet says how long")
    )
    yield Thing(say("measuring wheel"), 1, say("for the length of the built course"))
    yield Thing(say("measure for bar heights"), 1, say("to check every bar when the class changes"))
    yield Thing(say("timing gates or flags, in pairs"), 2, say("start and finish"))


def helpers(verdict: Verdict) -> tuple[Helper, ...]:
    """Who is needed to build and to run a class."""
    scene = next(iter(verdict.scenes.values()))
    heavy = [say(shape.kind.title) for shape in _of_kind(scene, "a-frame", "dog-walk")]
    jumps = len(_of_kind(scene, *SET_HIGH))
    watched = say("keep {count} jumps in sight, and change them between classes", count=jumps)
    return (
        Helper(say("setting out"), 3, say("two at the tapes, one with the setting-out sheet")),
        Helper(say("carrying"), 4, say("four for: {what}", what=", ".join(heavy)))
        if heavy
        else Helper(say("carrying"), 2, say("two for every obstacle")),
        Helper(say("bars"), 3 if jumps > MANY_JUMPS else 2, watched),
        Helper(say("timekeeping"), 1, say("with a stop watch in reserve")),
        Helper(say("scribing"), 1, say("in sight of the judge's hands")),
        Helper(say("start and leads"), 2, say("call the next dog, carry the lead to the finish")),
    )


def changes(verdict: Verdict) -> tuple[Change, ...]:
    """From each class to the next, in the rulebook's order."""
    classes = list(verdict.scenes)
    return tuple(
        Change(before, after, tuple(_changed(verdict, before, after)))
        for before, after in itertools.pairwise(classes)
    )


def _changed(verdict: Verdict, before: str, after: str) -> Iterator[str]:
    old, new = verdict.scenes[before], verdict.scenes[after]
    heights = [verdict.rulebook.heights[name].jump_cm for name in (before, after)]
    count = len(_of_kind(old, *SET_HIGH))
    if count and heights[0] != heights[1]:
        words = [heights_words(height, verdict.course.units) for height in heights]
        yield say(
            "bars of {count} jumps, spreads and walls: from {old} to {new}", count=count, old=words[0], new=words[1]
        )
    units = verdict.course.units
    for name, shape in old.shapes.items():
        for size, about in shape.kind.sizes.items():
            values = [_size(scene.shapes[name].sizes[size], about.unit, units) for scene in (old, new)]
            if values[0] != values[1]:
                yield say(
                    "{kind} {name}: {size} from {old} to {new}",
                    kind=say(shape.kind.title),
                    name=name,
                    size=say(about.about),
                    old=values[0],
                    new=values[1],
                )


def heights_words(heights_cm: Sequence[float], units: str) -> str:
    """Bar heights in words, such as "25 to 30 cm"."""
    if not heights_cm:
        return say("a height that the rulebook file does not have")
    return bar_heights(heights_cm, units)


def bar_heights(heights_cm: Sequence[float], units: str) -> str:
    """A height or a range of heights with its unit: centimetres, or inches where the plan is in feet."""
    if units == "ft":
        low, *more = (written(round(height / INCH_CM, 2), "g") for height in heights_cm)
        return say("{low} to {high} in", low=low, high=more[-1]) if more else say("{height} in", height=low)
    low, *more = (written(height, "g") for height in heights_cm)
    return say("{low} to {high} cm", low=low, high=more[-1]) if more else say("{height} cm", height=low)

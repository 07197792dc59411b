"""The registry of measures and what their modules share."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence

from coursecheck.course.model import Pass
from coursecheck.equipment.shape import Portal
from coursecheck.geometry.frames import bearing_deg, wrap_deg
from coursecheck.language import spoken
from coursecheck.measures.model import Ask, Facets, Measure, Value
from coursecheck.measures.scene import Scene

__all__ = [
    "KIND",
    "LEG",
    "MEASURES",
    "PAIR",
    "PASS",
    "known_values",
    "leg_facets",
    "leg_values",
    "legs",
    "measure",
    "pass_facets",
    "pass_values",
]

MEASURES: dict[str, Measure] = {}
"""Every measure by name."""

TURNS = (("straight", 45.0), ("angled", 90.0), ("side", 135.0))
FLOAT_NOISE_DEG = 1e-6

PASS = ("kind", "from", "to", "pass", "reverse")
"""The facets of a pass, see `pass_facets`."""
LEG = ("from", "to", "pass", "turn")
"""The facets of a leg, see `leg_facets`."""
PAIR = ("from", "to")
"""The facets of two obstacles that stand near each other, seen from either side."""
KIND = ("kind",)
"""The facets of an obstacle that stands in the ring."""

Take = Callable[[Scene, Ask], Iterable[Value]]


def measure(
    name: str,
    *,
    title: str,
    unit: str,
    about: str,
    metrics: Mapping[str, str],
    by_height: bool = True,
    units: Mapping[str, str] | None = None,
    facets: tuple[str, ...] = (),
    never: Mapping[str, tuple[str, ...]] | None = None,
) -> Callable[[Take], Take]:
    """Registers the decorated function as the measure `name`; for the words see `Measure`."""

    def register(take: Take) -> Take:
        MEASURES[name] = Measure(name, title, unit, metrics, about, by_height, take, units or {}, facets, never or {})
        return take

    return register


def legs(scene: Scene) -> Iterator[tuple[Pass, Pass]]:
    """The passes before and after each leg, in order."""
    yield from zip(scene.passes, scene.passes[1:], strict=False)


def known_values(
    scene: Scene, what: str, keys: Sequence[Hashable], take: Callable[[list[int]], Iterable[Value | None]]
) -> Iterator[Value]:
    """Values of which each follows from its key alone; those that an earlier scene had are not taken again.

    Args:
        scene: what is measured.
        what: the measure and its metric.
        keys: one for each subject, with every figure that its value follows from; that the words of a value are in
            the language that is spoken now is seen to.
        take: takes those that are not known together, from the indices of their keys; None is no value.
    """
    found = scene.memo.many(f"{what}, {spoken()}", keys, take)
    return (value for value in found if value is not None)


def leg_values(
    scene: Scene, what: str, take: Callable[[Pass, Pass], Value | None], also: Sequence[Hashable] | None = None
) -> Iterator[Value]:
    """One value for each leg, see `known_values`.

    Args:
        scene: what is measured.
        what: the measure and its metric.
        take: takes the value from the passes before and after a leg, and from the leg between them.
        also: for each leg what else the value follows from.
    """
    runs = scene.passes
    keys = scene.leg_keys if also is None else list(zip(scene.leg_keys, also, strict=True))
    return known_values(scene, what, keys, lambda missing: (take(runs[i], runs[i + 1]) for i in missing))


def pass_values(
    scene: Scene, what: str, take: Callable[[Pass], Value | None], also: Sequence[Hashable]
) -> Iterator[Value]:
    """One value for each pass by itself, see `known_values`.

    Args:
        scene: what is measured.
        what: the measure and its metric.
        take: takes the value of a pass.
        also: for each pass what else the value follows from.
    """
    keys = list(zip(scene.pass_keys, also, strict=True))
    return known_values(scene, what, keys, lambda missing: (take(scene.passes[i]) for i in missing))


def pass_facets(scene: Scene, run: Pass) -> Facets:
    """What a selector sees of a pass: its kind, where it stands in the sequence, its direction, what is around it."""
    if (run.number,) not in scene.facets:
        scene.facets[run.number,] = _pass_facets(scene, run)
    return scene.facets[run.number,]


def _pass_facets(scene: Scene, run: Pass) -> Facets:
    index = run.number - 1
    last = len(scene.passes) - 1
    facets = {
        "kind": scene.shape(run).kind.name,
        "pass": "first" if index == 0 else "last" if index == last else "middle",
        "reverse": str(run.reverse).lower(),
    }
    if index > 0:
        facets["from"] = scene.shape(scene.passes[index - 1]).kind.name
    if index < last:
        facets["to"] = scene.shape(scene.passes[index + 1]).kind.name
    return facets


def _turn_word(leaving: Portal, entering: Portal) -> str:
    (x0, y0), (x1, y1) = leaving.centre, entering.centre
    if (x0, y0) == (x1, y1):
        return "straight"
    turn = abs(wrap_deg(bearing_deg(math.atan2(y1 - y0, x1 - x0)) - leaving.bearing_deg))
    return next((word for word, limit in TURNS if turn < limit - FLOAT_NOISE_DEG), "back")


def leg_facets(scene: Scene, before: Pass, after: Pass) -> Facets:
    """What a selector sees of a leg: kinds before and after, first or last, and how far off straight on it leads.

    The turn is between the way out of one obstacle and the straight to the next one's entry: "straight" below 45
    degrees, "angled" below 90, "side" below 135, else "back".
    """
    key = (before.number, after.number)
    if key not in scene.facets:
        scene.facets[key] = _leg_facets(scene, before, after)
    return scene.facets[key]


def _leg_facets(scene: Scene, before: Pass, after: Pass) -> Facets:
    number, last = before.number, len(scene.passes) - 1
    return {
        "turn": _turn_word(scene.way(before).exit, scene.way(after).entry),
        "from": scene.shape(before).kind.name,
        "to": scene.shape(after).kind.name,
        "pass": "first" if number == 1 else "last" if number == last else "middle",
    }

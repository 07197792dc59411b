"""The registry of measures and what their modules share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from coursecheck.course.model import Pass
from coursecheck.measures.model import Ask, Facets, Measure, Value
from coursecheck.measures.scene import Scene

__all__ = ["MEASURES", "leg_facets", "legs", "measure", "pass_facets"]

MEASURES: dict[str, Measure] = {}
"""Every measure by name."""

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
) -> Callable[[Take], Take]:
    """Registers the decorated function as the measure `name`; for the words see `Measure`."""

    def register(take: Take) -> Take:
        MEASURES[name] = Measure(name, title, unit, metrics, about, by_height, take, units or {})
        return take

    return register


def legs(scene: Scene) -> Iterator[tuple[Pass, Pass]]:
    """The passes before and after each leg, in order."""
    yield from zip(scene.passes, scene.passes[1:], strict=False)


def pass_facets(scene: Scene, run: Pass) -> Facets:
    """What a selector sees of a pass: its kind, where it stands in the sequence, its direction, what is around it."""
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


def leg_facets(scene: Scene, before: Pass, after: Pass) -> Facets:
    """What a selector sees of a leg: the kinds that it runs from and to, and whether it is the first or the last."""
    number, last = before.number, len(scene.passes) - 1
    return {
        "from": scene.shape(before).kind.name,
        "to": scene.shape(after).kind.name,
        "pass": "first" if number == 1 else "last" if number == last else "middle",
    }

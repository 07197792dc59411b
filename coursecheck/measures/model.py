"""The words of measuring: a measure, what it is asked, the values it answers with.

A measure knows no limit and no rulebook. It says what could be read off the plan with a tape, a wheel or a
protractor, and shows where.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from coursecheck.geometry.frames import Point
from coursecheck.measures.scene import Facets, Scene

__all__ = ["Ask", "Facets", "Measure", "Value", "Witness"]


class Witness(NamedTuple):
    """What was measured, to be drawn.

    Attributes:
        type: "point"; "segment": the two points that were measured between; "path": along the line; "area".
        points: in metres, ring frame.
    """

    type: Literal["point", "segment", "path", "area"]
    points: tuple[Point, ...]


class Value(NamedTuple):
    """One measured value: a named tuple, since a plan has a thousand of them.

    Attributes:
        measured: the number in the measure's unit, or the kind's name for a measure of kinds; None where it could
            not be measured.
        passes: the numbers of the passes it belongs to, ascending.
        obstacles: the ids of the obstacles it belongs to.
        witness: what was measured.
        facets: one or more ways to see the subject; a row applies when any of them fits. A pair of obstacles
            without an order is seen from either side.
        spread: standard deviation of the value for each metre of standard deviation in every set-out coordinate:
            sqrt(2) for a distance between two set-out points, 1 to the ring's edge, 0 for a count.
        why_not: why it could not be measured.
        note: a few words that tell this value from others of the same subject ("left side"), or nothing.
    """

    measured: float | str | None
    passes: tuple[int, ...] = ()
    obstacles: tuple[str, ...] = ()
    witness: Witness | None = None
    facets: tuple[Facets, ...] = ({},)
    spread: float = 0.0
    why_not: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Ask:
    """What a limit asks of a measure.

    Attributes:
        metric: how it is measured.
        of: which kinds a count counts; empty: all.
        between: which lengths a count counts, both ends included, in metres; None: all.
    """

    metric: str
    of: tuple[str, ...] = ()
    between: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """A measure in the registry.

    Attributes:
        name: kebab-case, as a rulebook names it.
        title: the words on paper.
        unit: "m", "m2", "deg", "s", "count" or "kind" (the value is a kind's name).
        units: the unit of those metrics that have another one.
        metrics: how it can be measured; each with one sentence. A measure of sizes takes any size's name: "*".
        about: what it measures, in one sentence.
        by_height: whether the value depends on the height class.
        take: measures a scene.
        facets: what selectors of a rulebook can see of its values, beside what they see of every plan.
        never: values of a facet that none of its values ever has, such as the first pass, which nothing leads to.
    """

    name: str
    title: str
    unit: str
    metrics: Mapping[str, str]
    about: str
    by_height: bool
    take: Callable[[Scene, Ask], Iterable[Value]]
    units: Mapping[str, str] = field(default_factory=dict)
    facets: tuple[str, ...] = ()
    never: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def knows(self, metric: str) -> bool:
        """Whether it can be measured that way."""
        return metric in self.metrics or "*" in self.metrics

    def unit_of(self, metric: str) -> str:
        """The unit of a metric."""
        return self.units.get(metric, self.unit)

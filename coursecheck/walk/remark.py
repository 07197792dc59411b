"""What a remark is, and how sure it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from coursecheck.measures.model import Witness
from coursecheck.walk.figures import DOUBT, Figures

__all__ = ["KINDS", "Condition", "Fact", "Remark", "hanging_on", "remark"]

KINDS = (
    *("off-course-ahead", "off-course-curl", "off-course-hidden", "two-entries", "wrong-end"),
    *("wrap", "turn-back", "backside", "threadle", "serpentine", "turn-on-the-flat", "turn-in-the-air"),
    *("jump-beside-wrap", "pull-through", "narrow-gap", "open-gap"),
    *("late-sight", "weave-entry", "contact-at-an-angle", "not-straight", "along-the-wing", "mouth-away"),
    *("setting-up", "start-facing-out", "wrapped-start"),
    *("near-wall", "near-blocked", "wall-ahead", "bent-home", "finish-at-a-wall"),
    *("handler-late", "handler-round", "handler-gap", "tunnel-look"),
    *("hard-landings", "one-sided", "easy-for-its-grade", "hard-for-its-grade"),
)
"""Every kind of remark: off-course obstacles, turns, gaps, sight and approach, start, edges, handler, flow."""

WHOLE = ("one-sided", "easy-for-its-grade", "hard-for-its-grade")  # kinds that belong to no leg alone
NOISE = 1e-9  # float noise of angles and lengths, so that a turned plan decides alike


@dataclass(frozen=True, slots=True)
class Fact:
    """A figure behind a remark: `value` in `unit` ("m", "m/s", "deg", "s", "%", "count" or "points")."""

    name: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Condition:
    """What must hold for a remark: something measured on one side of a figure of the model, ends included."""

    measured: float
    side: Literal["at-least", "at-most"]
    figure: str

    def holds(self, figures: Figures, factor: float = 1.0) -> bool:
        """Whether it holds when the figure is `factor` times what it is."""
        bound = figures[self.figure] * factor
        return self.measured >= bound - NOISE if self.side == "at-least" else self.measured <= bound + NOISE


@dataclass(frozen=True, slots=True)
class Remark:
    """Something that a judge would say about a place of the course.

    Attributes:
        kind: what it is about, kebab-case.
        passes: the numbers of the passes that it belongs to, ascending.
        obstacles: the ids of the obstacles that it belongs to.
        facts: the figures behind it; never empty.
        witness: where it is.
        sentence: in words, standing alone.
        hangs_on: the figures of the model that decide it.
        uncertain: those of them that would make it go by moving 15 %; empty: it is certain as far as they go.
        weight: how much it weighs among remarks of one kind, 0 to 1.
    """

    kind: str
    passes: tuple[int, ...]
    obstacles: tuple[str, ...]
    facts: tuple[Fact, ...]
    witness: Witness
    sentence: str
    hangs_on: tuple[str, ...]
    uncertain: tuple[str, ...]
    weight: float = 0.5

    @property
    def leg(self) -> int:
        """The first pass that it belongs to: where it stands in the walk."""
        return self.passes[0]

    @property
    def order(self) -> tuple[int, float, str, tuple[int, ...], tuple[str, ...]]:
        """Its place among others: by its leg, then by its weight, rounded, so that a turned plan is told alike."""
        return self.leg, -round(self.weight, 2), self.kind, self.passes, self.obstacles

    @property
    def whole(self) -> bool:
        """Whether it is said of the course as a whole; its place is then where that shows most."""
        return self.kind in WHOLE


def hanging_on(conditions: Sequence[Condition], figures: Figures) -> tuple[str, ...] | None:
    """The figures on which conditions that all hold hang by less than 15 %; None where one does not hold."""
    if not all(condition.holds(figures) for condition in conditions):
        return None
    loose = [c.figure for c in conditions if not (c.holds(figures, 1.0 - DOUBT) and c.holds(figures, 1.0 + DOUBT))]
    return tuple(dict.fromkeys(loose))


def remark(
    kind: str,
    conditions: Sequence[Condition],
    figures: Figures,
    *,
    passes: tuple[int, ...],
    obstacles: tuple[str, ...],
    facts: Sequence[Fact],
    witness: Witness,
    sentence: str,
    weight: float = 0.5,
) -> Remark | None:
    """The remark, if all its conditions hold."""
    loose = hanging_on(conditions, figures)
    if loose is None:
        return None
    return Remark(
        kind=kind,
        passes=passes,
        obstacles=tuple(dict.fromkeys(obstacles)),
        facts=tuple(facts),
        witness=witness,
        sentence=sentence,
        hangs_on=tuple(dict.fromkeys(c.figure for c in conditions)),
        uncertain=loose,
        weight=weight,
    )

"""Flow and difficulty: turning to either side, strain, and one number of difficulty for each leg. Advice alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from coursecheck.language import say
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.walk.figures import Figures
from coursecheck.walk.legs import Leg
from coursecheck.walk.names import name_of
from coursecheck.walk.remark import Condition, Fact, Remark, remark

__all__ = ["Difficulty", "Flow", "flow_of", "flow_remarks", "level_of"]

LEVELS = ("first", "middle", "last")
TIGHT_DEG = 90.0
LEAST_DEG = 270.0  # a course that turns less than this in all has no side to speak of; assumption


@dataclass(frozen=True, slots=True)
class Difficulty:
    """How hard a leg is.

    Attributes:
        parts: the points of each named part, the most first.
    """

    parts: tuple[tuple[str, float], ...]

    @property
    def points(self) -> float:
        """All of them together."""
        return math.fsum(points for _, points in self.parts)


@dataclass(frozen=True, slots=True)
class Flow:
    """How a course flows for one height class.

    Attributes:
        left_deg, right_deg: all turning of the line, tunnels included.
        tight_turns: legs that turn by a right angle or more.
        length_m: of the line.
        difficulty: of each leg.
    """

    left_deg: float
    right_deg: float
    tight_turns: int
    length_m: float
    difficulty: tuple[Difficulty, ...]

    @property
    def mean_points(self) -> float:
        """Points a leg on average; 0 without legs."""
        return math.fsum(d.points for d in self.difficulty) / len(self.difficulty) if self.difficulty else 0.0


def flow_of(scene: Scene, legs: Sequence[Leg], remarks: Sequence[Remark], figures: Figures) -> Flow:
    """The flow of a course, from its line and from the remarks on its legs."""
    turns = [math.degrees(piece.turn_rad) for piece in scene.line.segments()]
    return Flow(
        left_deg=math.fsum(turn for turn in turns if turn > 0.0),
        right_deg=-math.fsum(turn for turn in turns if turn < 0.0),
        tight_turns=sum(leg.left_deg + leg.right_deg >= TIGHT_DEG for leg in legs),
        length_m=scene.line.length_m,
        difficulty=tuple(_difficulty(leg, remarks, figures) for leg in legs),
    )


def _difficulty(leg: Leg, remarks: Sequence[Remark], figures: Figures) -> Difficulty:
    """The turn of a leg and each kind of remark on it, once."""
    turn = figures["points-turn"] * (leg.left_deg + leg.right_deg) / 90.0
    parts = {"turn": turn} if leg.problem is None and turn > 0.0 else {}
    for made in remarks:
        name = f"points-{made.kind}"
        if name in figures.by_id and set(made.passes) >= {leg.before.number, leg.after.number}:
            parts[made.kind] = figures[name]
    return Difficulty(tuple(sorted(parts.items(), key=lambda part: (-part[1], part[0]))))


def level_of(grade: str, grades: Sequence[str]) -> str | None:
    """Where a grade stands in a rulebook's list: "first", "middle" or "last"; None where there is but one."""
    if grade not in grades or len(grades) < 2:
        return None
    share = grades.index(grade) / (len(grades) - 1)
    return LEVELS[0 if share < 1 / 3 else 1 if share < 2 / 3 else 2]


def flow_remarks(
    scene: Scene, legs: Sequence[Leg], flow: Flow, level: str | None, figures: Figures
) -> Iterator[Remark]:
    """The remarks on a course as a whole, each at the place where it shows most."""
    if not legs or scene.line.problems:
        return
    found = [_one_sided(scene, legs, flow, figures), *_hard_landings(scene, legs, figures)]
    if level is not None:
        found += [_for_its_grade(scene, legs, flow, level, word, figures) for word in ("easy", "hard")]
    yield from filter(None, found)


def _one_sided(scene: Scene, legs: Sequence[Leg], flow: Flow, figures: Figures) -> Remark | None:
    side, most = ("left", flow.left_deg) if flow.left_deg > flow.right_deg else ("right", flow.right_deg)
    total = flow.left_deg + flow.right_deg
    share = 100.0 * most / total if total >= LEAST_DEG else 0.0
    sharpest = max(
        legs, key=lambda leg: (round(leg.left_deg if side == "left" else leg.right_deg, 3), -leg.before.number)
    )
    return remark(
        "one-sided",
        [Condition(share, "at-least", "one-sided")],
        figures,
        passes=(sharpest.before.number, sharpest.after.number),
        obstacles=(sharpest.before.obstacle, sharpest.after.obstacle),
        facts=(Fact("to that side", most, "deg"), Fact("all turning", total, "deg"), Fact("share", share, "%")),
        witness=Witness("path", scene.track(sharpest.before)),
        sentence=say(
            "The course turns {share:.0f} % to the left ({most:.0f}° of {total:.0f}°), most of all from {first} to "
            "{last}."
            if side == "left"
            else "The course turns {share:.0f} % to the right ({most:.0f}° of {total:.0f}°), most of all from "
            "{first} to {last}.",
            share=share,
            most=most,
            total=total,
            first=name_of(scene, sharpest.before),
            last=name_of(scene, sharpest.after),
        ),
        weight=0.1,
    )


def _hard_landings(scene: Scene, legs: Sequence[Leg], figures: Figures) -> Iterator[Remark | None]:
    """Runs of landings that are each followed by a hard turn."""
    row: list[Leg] = []
    for leg in legs:
        if scene.way(leg.before).form == "flight" and leg.left_deg + leg.right_deg >= figures["hard-turn"]:
            row.append(leg)
            continue
        yield _strain(scene, row, figures)
        row = []
    yield _strain(scene, row, figures)


def _strain(scene: Scene, row: Sequence[Leg], figures: Figures) -> Remark | None:
    if not row:
        return None
    least = min(leg.left_deg + leg.right_deg for leg in row)
    runs = [leg.before for leg in row]
    return remark(
        "hard-landings",
        [Condition(float(len(row)), "at-least", "hard-row"), Condition(least, "at-least", "hard-turn")],
        figures,
        passes=tuple(run.number for run in runs),
        obstacles=tuple(run.obstacle for run in runs),
        facts=(Fact("landings", float(len(row)), "count"), Fact("least turn", least, "deg")),
        witness=Witness("path", tuple(point for run in runs for point in scene.track(run))),
        sentence=say(
            "{count} landings in a row, {first} to {last}, are each followed by a turn of {least:.0f}° or more.",
            count=len(row),
            first=runs[0].number,
            last=runs[-1].number,
            least=least,
        ),
        weight=0.4,
    )


def _for_its_grade(
    scene: Scene, legs: Sequence[Leg], flow: Flow, level: str, word: str, figures: Figures
) -> Remark | None:
    points = [round(d.points, 6) for d in flow.difficulty]
    hard = word == "hard"
    extreme = max(points) if hard else min(points)
    leg = legs[points.index(extreme)]
    mean = flow.mean_points
    return remark(
        f"{word}-for-its-grade",
        [Condition(mean, "at-least" if hard else "at-most", f"{word}-{level}")],
        figures,
        passes=(leg.before.number, leg.after.number),
        obstacles=(leg.before.obstacle, leg.after.obstacle),
        facts=(Fact("points a leg", mean, "points"), Fact("points here", extreme, "points")),
        witness=Witness("path", scene.track(leg.before)),
        sentence=say(
            "The course is hard for grade {grade}: {mean:.1f} points of difficulty a leg, most of all {first} to "
            "{last} with {extreme:.1f}.",
            grade=scene.course.grade,
            mean=mean,
            first=name_of(scene, leg.before),
            last=name_of(scene, leg.after),
            extreme=extreme,
        )
        if hard
        else say(
            "The course is easy for grade {grade}: {mean:.1f} points of difficulty a leg.",
            grade=scene.course.grade,
            mean=mean,
        ),
        weight=0.05,
    )

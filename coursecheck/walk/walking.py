"""The whole walk of a plan: legs with their figures, and every remark on its place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter

from coursecheck.checking import measure_course
from coursecheck.course.model import Course
from coursecheck.measures.scene import Scene
from coursecheck.rulebook.model import Rulebook
from coursecheck.walk.beside_wraps import beside_wraps
from coursecheck.walk.edges import edges
from coursecheck.walk.figures import Figures, load_figures
from coursecheck.walk.first_sight import Sight, first_sights
from coursecheck.walk.flow import Flow, flow_of, flow_remarks, level_of
from coursecheck.walk.gaps import gaps
from coursecheck.walk.handler import HANDLERS, HandlingPlan, plans_of
from coursecheck.walk.handler_gaps import handler_gaps
from coursecheck.walk.handler_ground import Ground, grounds_of
from coursecheck.walk.handler_remarks import handler_remarks
from coursecheck.walk.judge_walk import JudgeWalk, judge_walk
from coursecheck.walk.legs import Leg, legs_of
from coursecheck.walk.off_course import off_course
from coursecheck.walk.remark import Remark
from coursecheck.walk.sight import sight
from coursecheck.walk.start import Facing, facing_at_start, start
from coursecheck.walk.turns import turns

__all__ = ["ClassWalk", "Walk", "walk", "walk_scene", "walk_scenes"]


@dataclass(frozen=True, slots=True, eq=False)
class ClassWalk:
    """The walk of one height class.

    Attributes:
        scene: the plan as this class runs it.
        ground: where a handler may run.
        legs: from pass to pass, with figures.
        sights: when the dog first sees the next entry; None where the pace is not known.
        flow: turning, strain and difficulty.
        plans: the cheapest plan of each model handler; none where the pace is not known.
        remarks: in the order of the passes, the weightiest first within a leg.
    """

    scene: Scene
    ground: Ground
    legs: tuple[Leg, ...]
    sights: tuple[Sight | None, ...]
    flow: Flow
    plans: tuple[HandlingPlan, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """The walk of a plan for all its height classes.

    Attributes:
        course, rulebook: what is walked; the rulebook gives the height classes and how they run.
        figures: the figures of the model that were used.
        classes: the walk of each height class, in the rulebook's order.
        judge: the judge's own walk.
        facing: what the dog faces at the start; None where there is no sequence, or it begins outside the ring.
    """

    course: Course
    rulebook: Rulebook
    figures: Figures
    classes: Mapping[str, ClassWalk]
    judge: JudgeWalk
    facing: Facing | None


def walk(
    course: Course,
    rulebook: Rulebook,
    heights: Iterable[str] | None = None,
    figures: Figures | None = None,
    handlers: Sequence[str] = HANDLERS,
) -> Walk:
    """Walks a plan.

    Args:
        course: the plan.
        rulebook: gives the height classes, their sizes, lines and paces. Its limits are not looked at.
        heights: the height classes, by default those of the course.
        figures: the figures of the model, by default those that ship.
        handlers: the model handlers, of "slow", "middling" and "fast", the slowest first.

    Raises:
        UsageError: a height class that the rulebook does not have.
    """
    return walk_scenes(course, rulebook, measure_course(course, rulebook, heights), figures, handlers)


def walk_scenes(
    course: Course,
    rulebook: Rulebook,
    scenes: Mapping[str, Scene],
    figures: Figures | None = None,
    handlers: Sequence[str] = HANDLERS,
) -> Walk:
    """Walks a plan that has been measured already.

    Args:
        course: the plan.
        rulebook: by which it was measured.
        scenes: the plan for each height class, in the rulebook's order.
        figures: the figures of the model, by default those that ship.
        handlers: the model handlers, the slowest first.
    """
    chosen = load_figures() if figures is None else figures
    level = level_of(course.grade, rulebook.disciplines.get(course.discipline, ()))
    if not scenes:
        return Walk(course, rulebook, chosen, {}, JudgeWalk((), ()), None)
    grounds = grounds_of(scenes)
    classes = {
        height: walk_scene(scene, grounds[height], chosen, level, handlers) for height, scene in scenes.items()
    }
    last, scene = list(scenes.items())[-1]
    judge = judge_walk(scenes, grounds[last], chosen)
    return Walk(course, rulebook, chosen, classes, judge, facing_at_start(scene, chosen))


def walk_scene(
    scene: Scene,
    ground: Ground,
    figures: Figures,
    level: str | None = None,
    handlers: Sequence[str] = HANDLERS,
) -> ClassWalk:
    """Walks a plan as one height class runs it.

    Args:
        scene: the plan and the line of the class.
        ground: where a handler may run.
        figures: the figures of the model.
        level: where the grade stands in the rulebook's list, "first", "middle" or "last"; None: not judged by grade.
        handlers: the model handlers, the slowest first.
    """
    legs = legs_of(scene, figures)
    sights = first_sights(scene, legs, figures)
    home = legs[-1].motion.fastest_mps if legs and legs[-1].motion is not None else None
    found = [
        *off_course(scene, legs, figures),
        *turns(scene, legs, figures),
        *beside_wraps(scene, legs, figures),
        *gaps(scene, legs, figures),
        *sight(scene, legs, sights, figures),
        *start(scene, legs, figures),
        *edges(scene, legs, home, figures),
    ]
    plans = plans_of(scene, ground, legs, figures, handlers)
    found += handler_remarks(scene, legs, plans, figures)
    found += handler_gaps(scene, ground, legs, plans, figures)
    flow = flow_of(scene, legs, found, figures)
    found += flow_remarks(scene, legs, flow, level, figures)
    return ClassWalk(scene, ground, legs, sights, flow, plans, tuple(sorted(found, key=attrgetter("order"))))

"""From a course to its line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from coursecheck.course.model import Course, Pass
from coursecheck.equipment.shape import Shape
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.line import LegLine, Line, PassLine
from coursecheck.path.optimum import best_states
from coursecheck.path.runner import Runner
from coursecheck.path.states import Link, Node, Nodes, chain_of_passes
from coursecheck.path.words import SIDES, Floats, chain, solve

__all__ = ["compute_line"]


def compute_line(course: Course, shapes: Mapping[str, Shape], runner: Runner) -> Line:
    """The shortest line of a runner through all passes of a course.

    Args:
        course: the plan.
        shapes: the shape of each obstacle by id.
        runner: who runs.
    """
    if not course.passes:
        return Line(runner, (), ())
    nodes, links = chain_of_passes(course.passes, shapes, runner)
    states = best_states(nodes, links, runner.turn_radius_m)
    entries, exits = Nodes(nodes).poses(np.arange(len(nodes)), np.array(states))
    passes, legs, k = [], [], 0
    for run in course.passes:
        way = shapes[run.obstacle].way(reverse=run.reverse)
        last = k + 1 if way.form == "stop" else k
        if way.form == "track":
            passes.append(PassLine(run.number, way.track))
        else:
            passes.append(_pass_line(run, nodes[k], nodes[last], entries[k], exits[last]))
        if last < len(links):
            legs.append(_leg_line(links[last], passes[-1].exit, entries[last + 1], runner.turn_radius_m))
        k = last + 1
    return Line(runner, tuple(passes), tuple(legs))


def _pose(values: Floats) -> Pose:
    return Pose(float(values[0]), float(values[1]), float(values[2]))


def _pass_line(run: Pass, come: Node, leave: Node, entry: Floats, exit_pose: Floats) -> PassLine:
    start, end = _pose(entry), _pose(exit_pose)
    if come is leave:
        inside = come.depth_m / np.cos(start.heading - come.entry.heading)
        whole = Segment(start, float(come.before_m + inside + come.after_m))
        return PassLine(run.number, (whole,), come.before_m, come.after_m)
    centre = end.ahead(-leave.after_m)
    pieces = (Segment(start, come.before_m), Segment(centre, leave.after_m))
    return PassLine(run.number, pieces, come.before_m, leave.after_m)


def _leg_line(link: Link, start: Pose, end: Floats, radius_m: float) -> LegLine:
    words = solve(np.array([start.x, start.y, start.heading]), end, radius_m)
    lengths = words.lengths_m
    if link.turn is not None:
        lengths[words.turns_rad <= 0 if link.turn == "left" else words.turns_rad >= 0] = np.inf
    k = int(lengths.argmin())
    return LegLine(link.number, chain(start, _pieces(SIDES[k], words.pieces[:, k], radius_m)))


def _pieces(sides: Sequence[float] | Floats, amounts: Floats, radius_m: float) -> list[tuple[float, float]]:
    return [(float(a) * radius_m, float(s) / radius_m) for a, s in zip(amounts, sides, strict=True)]

"""From a course to its line."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import partial

from coursecheck.course.model import Course, Pass
from coursecheck.equipment.shape import Shape
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.curves import Curve, Place
from coursecheck.path.legs import Leg
from coursecheck.path.line import LegLine, Line, PassLine
from coursecheck.path.memo import Memo
from coursecheck.path.obstruction import Obstruction
from coursecheck.path.optimum import Chain
from coursecheck.path.runner import Runner
from coursecheck.path.states import Link, Node, chain_of_passes
from coursecheck.path.words import Floats
from coursecheck.units import FLOAT_NOISE

__all__ = ["compute_line"]


def compute_line(course: Course, shapes: Mapping[str, Shape], runner: Runner, memo: Memo | None = None) -> Line:
    """The shortest line of a runner through all passes of a course.

    Flights are straight and have their full length, except where a leg next to one could only loop or had no way at
    all: there take-off and landing are shortened together, see `Chain`. At both ends of the course they are no longer
    than there is room for. A stop is run into and out of along straights that end clear of the obstacle's body. What
    a leg keeps clear of: see `path.obstruction`. A leg without a feasible line says why, with the shortest curve that
    ignores what stands in the way.

    Of two lines that are equally short, by symmetry of the plan, only one can be chosen: the order in which words and
    states are tried decides, the same way every time, though not the mirrored way in a mirror.

    Args:
        course: the plan.
        shapes: the shape of each obstacle by id.
        runner: who runs.
        memo: keeps what the next computation may use again, such as that of the same course with one obstacle moved.
            The line is the same with and without, to the last bit.
    """
    if not course.passes:
        return Line(runner, (), ())
    memo = memo or Memo()
    nodes, links = chain_of_passes(course.passes, shapes, runner, memo)
    obstruction = Obstruction(course.ring, _in_order(course, shapes), runner.clearance_m, memo)
    legs = [None if link.stop else Leg(runner.turn_radius_m, obstruction, link.turn) for link in links]
    owners = [run.obstacle for run in course.passes for _ in range(_nodes_of(shapes, run))]
    chosen = Chain(nodes, legs, owners, obstruction)
    best = chosen.best()
    entries, exits = (poses.tolist() for poses in chosen.places(_settled_ends(best.states, links)))
    passes: list[PassLine] = []
    curves: list[tuple[int, Pose, Curve, str | None]] = []
    k = 0
    for run in course.passes:
        last = k + _nodes_of(shapes, run) - 1
        way = shapes[run.obstacle].way(reverse=run.reverse)
        if way.form == "track":
            passes.append(PassLine(run.number, way.track))
        else:
            performed = run.number, chosen.nodes[k], chosen.nodes[last], tuple(entries[k]), tuple(exits[last])
            passes.append(memo.get("pass line", performed, partial(_pass_line, *performed)))
        if last < len(links) and (curve := best.curves[last]) is not None and (leg := legs[last]) is not None:
            curves.append((run.number, passes[-1].exit, curve, leg.problem))
        k = last + 1
    return Line(runner, tuple(passes), tuple(_leg_lines(curves, memo)))


def _in_order(course: Course, shapes: Mapping[str, Shape]) -> dict[str, Shape]:
    """The shapes in an order that hangs neither on names or the file's order, nor on how the plan lies.

    Those of the sequence come first, then the others by how far they stand from its first.
    """
    run = dict.fromkeys(run.obstacle for run in course.passes)
    x, y = shapes[course.passes[0].obstacle].centre

    def away(name: str) -> tuple[int, str]:
        u, v = shapes[name].centre
        return round(math.hypot(u - x, v - y) / FLOAT_NOISE), name

    return {name: shapes[name] for name in (*run, *sorted(shapes.keys() - run.keys(), key=away))}


def _nodes_of(shapes: Mapping[str, Shape], run: Pass) -> int:
    return 2 if shapes[run.obstacle].way(reverse=run.reverse).form == "stop" else 1


def _settled_ends(states: Floats, links: Sequence[Link]) -> Floats:
    """The states with a stop at either end of the course run straight through: nothing else decides its direction."""
    states = states.copy()
    if links and links[0].stop:
        states[0] = states[1]
    if links and links[-1].stop:
        states[-1] = states[-2]
    return states


def _pass_line(number: int, come: Node, leave: Node, entry: Place, exit_pose: Place) -> PassLine:
    start, end = Pose(*entry), Pose(*exit_pose)
    if come is leave:
        inside = come.depth_m / math.cos(start.heading - come.entry.heading)
        whole = Segment(start, float(come.before_m + inside + come.after_m))
        return PassLine(number, (whole,), come.before_m, come.after_m)
    centre = end.ahead(-leave.after_m)
    pieces = (Segment(start, come.before_m), Segment(centre, leave.after_m))
    return PassLine(number, pieces, come.before_m, leave.after_m)


def _leg_lines(curves: Sequence[tuple[int, Pose, Curve, str | None]], memo: Memo) -> list[LegLine]:
    """Legs by the pass that they leave, where they begin, their curve and their problem."""
    keys = [
        (number, start.x, start.y, start.heading, curve.pieces, problem) for number, start, curve, problem in curves
    ]
    return memo.many(
        "leg line",
        keys,
        lambda new: [
            LegLine(number, curve.segments(start), problem)
            for number, start, curve, problem in map(curves.__getitem__, new)
        ],
    )

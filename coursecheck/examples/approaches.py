"""Plans for how a dog comes to an obstacle and how it gets away from it."""

from __future__ import annotations

from coursecheck.course.model import Blocked, Obstacle
from coursecheck.examples.layout import Asked, Edges, Sketch, box, chain, measured_by, place, sketch
from coursecheck.geometry.frames import Frame, Point

USUAL_M = 6.0


@measured_by("approach-angle")
def _approach_angle(asked: Asked, wanted: float) -> Sketch:
    target, leave = place("b", asked.kind, (0.0, 0.0))
    coming = 90.0 + min(wanted, 180.0)
    before = Frame((0.0, 0.0), coming).place(-USUAL_M, 0.0)
    first, _ = place("a", "jump", before, coming if asked.metric == "centres" else 90.0 + min(wanted, 180.0) / 2)
    after = chain(["jump"], [], (leave[0] + USUAL_M, leave[1]), first=2)
    return sketch([first, target, *after])


@measured_by("run-up", "landing-run")
def _straight_run(asked: Asked, wanted: float) -> Sketch:
    gap = asked.runner.landing_m + asked.runner.takeoff_m + max(wanted, 0.0)
    kinds = ["jump", asked.kind, "jump"]
    return sketch(chain(kinds, [gap, gap]))


@measured_by("run-out")
def _run_out(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", "jump", (0.0, 0.0))
    last, end = place("b", asked.kind, (leave[0] + USUAL_M, 0.0))
    if asked.metric == "solid":
        across = _across((end[0] + max(wanted, 0.05), end[1]))
        return sketch([first, last, across], ["a", "b"], edges=Edges(right=end[0] + wanted + 5.0))
    return sketch([first, last], edges=Edges(right=end[0] + max(wanted, 0.05)), solid=asked.solid)


@measured_by("off-course-run-out")
def _off_course_run_out(asked: Asked, wanted: float) -> Sketch:
    numbered = chain(["jump", "jump"], [USUAL_M])
    tempting, end = place("x", asked.kind, (USUAL_M + 7.0, 0.0))
    around = box([*numbered, tempting])
    wide = Edges(left=around[0] - 9.0, bottom=around[1] - 4.0, top=around[3] + 4.0)
    if asked.metric == "solid":
        x = end[0] + max(wanted, 0.05)
        stand = Blocked("stand", outline=((x, -2.0), (x + 1.0, -2.0), (x + 1.0, 2.0), (x, 2.0)))
        right = Edges(wide.left, wide.bottom, x + 3.0, wide.top)
        return sketch([*numbered, tempting], ["a", "b"], edges=right, blocked=[stand])
    right = Edges(wide.left, wide.bottom, end[0] + max(wanted, 0.05), wide.top)
    return sketch([*numbered, tempting], ["a", "b"], edges=right, solid=asked.solid)


def _across(near: Point) -> Obstacle:
    """A tunnel that lies across the way, its near side at a point."""
    return place("t", "tunnel", (near[0] + 0.3, near[1] - 2.5), 0.0)[0]

"""Plans for what comes near the ring's edge, a wall, or something solid."""

from __future__ import annotations

from coursecheck.course.model import Blocked
from coursecheck.equipment import KINDS
from coursecheck.examples.layout import Asked, Edges, Sketch, box, chain, measured_by, place, sketch

USUAL_M = 6.0
POST_M = 0.4


@measured_by("edge-distance")
def _edge_distance(asked: Asked, wanted: float) -> Sketch:
    along = KINDS[asked.kind].family in ("tunnel", "weaves", "contact")
    bearing = 90.0 if along == (asked.subject.get("parallel") != "false") else 0.0
    obstacle, _ = place("a", asked.kind, (0.0, 0.0), bearing)
    return sketch([obstacle], edges=Edges(top=box([obstacle])[3] + max(wanted, 0.0)), solid=asked.solid)


@measured_by("beyond-ring")
def _beyond_ring(asked: Asked, wanted: float) -> Sketch:
    obstacle, _ = place("a", asked.kind, (0.0, 0.0))
    top = box([obstacle])[3] - wanted if wanted > 0.0 else None
    return sketch([obstacle], edges=Edges(top=top))


@measured_by("line-edge")
def _line_edge(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.subject.get("from", "tunnel"), (0.0, 0.0))
    second, _ = place("b", asked.subject.get("to", "tunnel"), (leave[0] + USUAL_M, leave[1]))
    return sketch([first, second], edges=Edges(top=leave[1] + max(wanted, 0.05)), solid=asked.solid)


@measured_by("line-solid")
def _line_solid(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.before, (0.0, 0.0))
    second, _ = place("b", asked.after, (leave[0] + 8.0, leave[1]))
    post = Blocked("post", centre=(leave[0] + 4.0, leave[1] + POST_M + max(wanted, 0.05)), radius_m=POST_M)
    return sketch([first, second], blocked=[post])


@measured_by("start-room")
def _start_room(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.kind, (0.0, 0.0))
    second, _ = place("b", asked.after, (leave[0] + USUAL_M, leave[1]))
    return sketch([first, second], edges=Edges(left=-max(wanted, 0.05)), solid=asked.solid)


@measured_by("finish-room")
def _finish_room(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.before, (0.0, 0.0))
    last, end = place("b", asked.kind, (leave[0] + USUAL_M, leave[1]))
    return sketch([first, last], edges=Edges(right=end[0] + max(wanted, 0.05)), solid=asked.solid)


@measured_by("gate-distance")
def _gate_distance(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.before, (0.0, 0.0))
    last, end = place("b", asked.kind, (leave[0] + USUAL_M, leave[1]))
    return sketch([first, last], edges=Edges(right=end[0] + max(wanted, 0.05)), gate=end[1])


@measured_by("start-finish")
def _start_finish(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.before, (0.0, 0.0))
    middle, _ = place("b", "jump", (leave[0] + 8.0, wanted / 2), 0.0)
    last, _ = place("c", asked.after, (leave[0], max(wanted, 0.1)), 270.0)
    return sketch([first, middle, last])


@measured_by("same-obstacle")
def _same_obstacle(_asked: Asked, wanted: float) -> Sketch:
    jumps = chain(["jump", "jump", "jump"], [USUAL_M, USUAL_M])
    return sketch(jumps, ["a", "b", "c", "b reverse", "a reverse"] if wanted >= 1.0 else None)

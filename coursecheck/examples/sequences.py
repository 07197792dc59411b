"""Plans for sequences of jumps: threadle, serpentine, backside, wrap."""

from __future__ import annotations

from coursecheck.course.model import Obstacle
from coursecheck.equipment import build_shape
from coursecheck.examples.layout import Asked, Sketch, measured_by, place, sketch
from coursecheck.geometry.frames import Frame

BEHIND_M = 9.0
"""How far before a backside the dog comes from."""
ASIDE_DEG = 30.0
"""How far off straight on the next obstacle stands, clear of the one that the dog came from."""

COLLECTED_M = 0.7
"""Turn radius of a dog that is called back through a gap; the shortest line of a wider one may lead round a wing."""


def _abreast(kinds: tuple[str, ...], gap_m: float) -> list[Obstacle]:
    """Obstacles side by side, a, b, c, ..., with so much ground between the edges of each two."""
    row: list[Obstacle] = []
    edge = 0.0
    for name, kind in zip("abc", kinds, strict=False):
        probe = place(name, kind, (0.0, 0.0), 0.0)[0]
        left, _, right, _ = build_shape(probe).footprint.bounds
        row.append(place(name, kind, (edge - left, 0.0), 0.0)[0])
        edge += right - left + gap_m
    return row


@measured_by("threadle-gap")
def _threadle(asked: Asked, wanted: float) -> Sketch:
    return sketch(_abreast((asked.before, asked.after), max(wanted, 0.0)), turn_radius_m=COLLECTED_M)


@measured_by("serpentine-gap")
def _serpentine(asked: Asked, wanted: float) -> Sketch:
    return sketch(_abreast((asked.before, asked.after, "jump"), max(wanted, 0.0)), ["a", "b reverse", "c"])


@measured_by("backside-way")
def _backside(asked: Asked, wanted: float) -> Sketch:
    first, _ = place("a", "jump", (0.0, 0.0))
    backside, leave = place("b", asked.before, (BEHIND_M, 0.0), 270.0)
    entry = Frame(leave, 270.0 + ASIDE_DEG).place(max(wanted, 0.1), 0.0)
    after, _ = place("c", asked.after, entry, 270.0 + ASIDE_DEG)
    return sketch([first, backside, after])


@measured_by("wrap-distance")
def _wrap(asked: Asked, wanted: float) -> Sketch:
    first, leave = place("a", asked.before, (0.0, 0.0))
    jump, _ = place("b", asked.after, (leave[0] + max(wanted, 0.1), 0.0))
    return sketch([first, jump], ["a", "b", "a reverse"])

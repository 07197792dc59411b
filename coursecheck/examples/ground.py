"""Plans for the ground: the ring, gaps between obstacles, sizes of the equipment, what the club owns."""

from __future__ import annotations

import math
from dataclasses import replace

from coursecheck.course.model import Blocked, Neighbour, Stock
from coursecheck.examples.layout import Asked, Edges, Sketch, box, chain, measured_by, place, sketch

USUAL_M = 6.0


@measured_by("ring-size")
def _ring_size(asked: Asked, wanted: float) -> Sketch:
    shapes = {"long": (wanted, 0.7 * wanted), "short": (1.4 * wanted, wanted)}
    width, height = shapes.get(asked.metric, (math.sqrt(wanted / 0.7), math.sqrt(wanted * 0.7)))
    jump, _ = place("a", "jump", (width / 2, height / 2))
    return sketch([jump], edges=Edges(0.0, 0.0, width, height))


@measured_by("neighbour-gap")
def _neighbour_gap(_asked: Asked, wanted: float) -> Sketch:
    plan = sketch([place("a", "jump", (0.0, 0.0))[0]])
    ring = replace(plan.course.ring, beside=(Neighbour("the next ring", max(wanted, 0.0)),))
    return replace(plan, course=replace(plan.course, ring=ring))


@measured_by("passage")
def _passage(asked: Asked, wanted: float) -> Sketch:
    first, _ = place("a", asked.before, (0.0, 0.0))
    second, _ = place("b", asked.after, (0.0, 0.0))
    apart = box([first])[3] - box([second])[1] + max(wanted, 0.01)
    return sketch([first, replace(second, at=(second.at[0], second.at[1] + apart))], ["a"])


@measured_by("contact-gap")
def _contact_gap(asked: Asked, wanted: float) -> Sketch:
    contact, _ = place("a", asked.subject.get("kind", asked.subject.get("to", "dog-walk")), (0.0, 0.0))
    left, _, right, top = box([contact])
    tunnel, _ = place("t", "tunnel", ((left + right) / 2 - 2.5, top + 0.3 + max(wanted, 0.01)))
    return sketch([contact, tunnel], ["a"])


@measured_by("overlap")
def _overlap(asked: Asked, wanted: float) -> Sketch:
    """Two obstacles that stand apart, or in each other; apart there is no ground to share, and no value."""
    first, leave = place("a", asked.before, (0.0, 0.0))
    second, _ = place("b", asked.after, leave if wanted > 0.0 else (leave[0] + USUAL_M, leave[1]), 60.0)
    return sketch([first, second], ["a"])


@measured_by("blocked-ground")
def _blocked_ground(asked: Asked, wanted: float) -> Sketch:
    """An obstacle with a post beside it, or at its corner; apart they share no ground, and there is no value."""
    obstacle, _ = place("a", asked.kind, (0.0, 0.0))
    left, _, _, top = box([obstacle])
    off = 0.0 if wanted > 0.0 else 1.5
    return sketch([obstacle], ["a"], blocked=[Blocked("post", centre=(left, top + off), radius_m=0.3)])


@measured_by("equipment-size")
def _equipment_size(asked: Asked, wanted: float) -> Sketch:
    value = max(1.0, round(wanted)) if asked.metric == "poles" else wanted
    return sketch([place("a", asked.kind, (0.0, 0.0), 90.0, {asked.metric: value})[0]])


@measured_by("store-shortage")
def _store_shortage(asked: Asked, wanted: float) -> Sketch:
    owned = {asked.kind: Stock(2), "jump": Stock(2)}
    lacking = max(0, round(wanted))
    return sketch(chain([asked.kind] * (2 + lacking), [USUAL_M] * (1 + lacking)), store=owned)

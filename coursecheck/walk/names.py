"""How the walk names things in its sentences."""

from __future__ import annotations

from coursecheck.course.model import Pass, Ring
from coursecheck.language import say, say_as
from coursecheck.measures.scene import Scene

__all__ = [
    "handler_word",
    "name_of",
    "obstacle_name",
    "place_name",
    "side_name",
    "side_word",
    "turned_words",
    "where_word",
]


def name_of(scene: Scene, run: Pass) -> str:
    """A pass in words: "jump 4"."""
    return f"{say(scene.shape(run).kind.title)} {run.number}"


def obstacle_name(scene: Scene, name: str) -> str:
    """An obstacle in words, whatever passes it has: "jump 2, 18", or "the jump without a number (x)"."""
    kind, numbers = say(scene.shapes[name].kind.title), scene.numbers(name)
    if numbers:
        return f"{kind} {', '.join(map(str, numbers))}"
    return say("the {kind} without a number ({name})", kind=kind, name=name)


def place_name(name: str) -> str:
    """A blocked place in words."""
    return say("the {name}", name=name)


def handler_word(handler: str) -> str:
    """How fast a model handler is, in a word."""
    return say_as("handler", handler)


def side_name(ring: Ring, index: int) -> str:
    """A side of the ring in words: "top side" where the ring is an upright rectangle, else "side 3"."""
    (ax, ay), (bx, _) = list(ring.sides())[index]
    xs, ys = zip(*ring.outline, strict=True)
    upright = len(ring.outline) == 4 and {(x, y) for x in (min(xs), max(xs)) for y in (min(ys), max(ys))}
    if set(ring.outline) != upright:
        return say("side {number}", number=index + 1)
    if ax == bx:
        return say("left side") if ax == min(xs) else say("right side")
    return say("bottom side") if ay == min(ys) else say("top side")


def side_word(right_deg: float) -> str:
    """To which side an angle turns: "left" or "right"."""
    return "right" if right_deg > 0 else "left"


def where_word(right_deg: float) -> str:
    """Where something lies at an angle to the dog's way."""
    return say("straight ahead") if f"{abs(right_deg):.0f}" == "0" else turned_words(right_deg)


def turned_words(right_deg: float) -> str:
    """An angle and its side in words."""
    if right_deg > 0:
        return say("{turn:.0f}° to the right", turn=right_deg)
    return say("{turn:.0f}° to the left", turn=-right_deg)

"""How the walk names things in its sentences."""

from __future__ import annotations

from coursecheck.course.model import Pass, Ring
from coursecheck.measures.scene import Scene

__all__ = ["capital", "name_of", "obstacle_name", "side_name", "side_word", "where_word"]


def name_of(scene: Scene, run: Pass) -> str:
    """A pass in words: "jump 4"."""
    return f"{scene.shape(run).kind.title} {run.number}"


def obstacle_name(scene: Scene, name: str) -> str:
    """An obstacle in words, whatever passes it has: "jump 2, 18", or "the jump without a number (x)"."""
    title, numbers = scene.shapes[name].kind.title, scene.numbers(name)
    return f"{title} {', '.join(map(str, numbers))}" if numbers else f"the {title} without a number ({name})"


def side_name(ring: Ring, index: int) -> str:
    """A side of the ring in words: "top side" where the ring is an upright rectangle, else "side 3"."""
    (ax, ay), (bx, _) = list(ring.sides())[index]
    xs, ys = zip(*ring.outline, strict=True)
    upright = len(ring.outline) == 4 and {(x, y) for x in (min(xs), max(xs)) for y in (min(ys), max(ys))}
    if set(ring.outline) != upright:
        return f"side {index + 1}"
    if ax == bx:
        return "left side" if ax == min(xs) else "right side"
    return "bottom side" if ay == min(ys) else "top side"


def side_word(right_deg: float) -> str:
    """To which side an angle turns."""
    return "right" if right_deg > 0 else "left"


def where_word(right_deg: float) -> str:
    """Where something lies at an angle to the dog's way."""
    degrees = f"{abs(right_deg):.0f}"
    return "straight ahead" if degrees == "0" else f"{degrees}° to the {side_word(right_deg)}"


def capital(words: str) -> str:
    """Words at the beginning of a sentence."""
    return words[:1].upper() + words[1:]

"""Moving, turning, mirroring, renaming and reordering whole plans, for tests of what must not change."""

import math
from dataclasses import replace

from coursecheck.course.model import Course


def _moved_point(point, angle_deg, shift):
    a = math.radians(-angle_deg)  # bearings turn clockwise
    x, y = point
    return (x * math.cos(a) - y * math.sin(a) + shift[0], x * math.sin(a) + y * math.cos(a) + shift[1])


def moved(course: Course, angle_deg: float, shift: tuple[float, float]) -> Course:
    """The plan turned clockwise about the origin and shifted."""

    def place(point):
        return _moved_point(point, angle_deg, shift)

    ring = course.ring
    blocked = tuple(replace(b, outline=tuple(map(place, b.outline)), centre=place(b.centre)) for b in ring.blocked)
    gates = {
        name: tuple(map(place, gate)) for name in ("entrance", "exit") if (gate := getattr(ring, name)) is not None
    }
    obstacles = tuple(
        replace(o, at=place(o.at), bearing_deg=(o.bearing_deg + angle_deg) % 360) for o in course.obstacles
    )
    ring = replace(ring, outline=tuple(map(place, ring.outline)), blocked=blocked, **gates)
    return replace(course, ring=ring, obstacles=obstacles)


def mirrored(course: Course) -> Course:
    """The plan as seen in a mirror on its left side: x becomes -x."""

    def place(point):
        return (-point[0], point[1])

    ring, count = course.ring, len(course.ring.outline)
    # reversed to run counter-clockwise again: side i from corner i to i + 1 becomes side count - 2 - i
    outline = tuple(map(place, reversed(ring.outline)))
    solid = frozenset((count - 2 - side) % count for side in ring.solid)
    blocked = tuple(
        replace(b, outline=tuple(map(place, reversed(b.outline))), centre=place(b.centre)) for b in ring.blocked
    )
    obstacles = tuple(
        replace(
            o,
            at=place(o.at),
            bearing_deg=-o.bearing_deg % 360,
            sizes={name: -size if name == "bend" else size for name, size in o.sizes.items()},
        )
        for o in course.obstacles
    )
    swap = {"left": "right", "right": "left", None: None}
    passes = tuple(replace(p, turn=swap[p.turn]) for p in course.passes)
    gates = {
        name: tuple(map(place, gate)) for name in ("entrance", "exit") if (gate := getattr(ring, name)) is not None
    }
    ring = replace(ring, outline=outline, solid=solid, blocked=blocked, **gates)
    return replace(course, ring=ring, obstacles=obstacles, passes=passes)


def renamed(course: Course, names: dict[str, str]) -> Course:
    """The plan with other ids."""
    obstacles = tuple(replace(o, id=names[o.id]) for o in course.obstacles)
    return replace(
        course, obstacles=obstacles, passes=tuple(replace(p, obstacle=names[p.obstacle]) for p in course.passes)
    )


def without(course: Course, *kinds: str) -> Course:
    """The plan without the obstacles of these kinds; the numbers close up."""
    gone = {o.id for o in course.obstacles if o.kind in kinds}
    kept = [p for p in course.passes if p.obstacle not in gone]
    passes = tuple(replace(p, number=i) for i, p in enumerate(kept, 1))
    return replace(course, obstacles=tuple(o for o in course.obstacles if o.id not in gone), passes=passes)

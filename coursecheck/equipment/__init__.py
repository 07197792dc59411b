"""What each kind of obstacle is on the ground. One module for each family; a new kind is added here alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from coursecheck.course.model import Course, Obstacle
from coursecheck.equipment.contacts import CONTACTS
from coursecheck.equipment.jumps import JUMPS
from coursecheck.equipment.shape import Kind, Portal, Shape, Way
from coursecheck.equipment.tables import TABLES
from coursecheck.equipment.tunnels import TUNNELS
from coursecheck.equipment.weaves import WEAVES

__all__ = ["KINDS", "Kind", "Portal", "Shape", "Way", "build_shape", "build_shapes"]

KINDS: Mapping[str, Kind] = MappingProxyType(
    {kind.name: kind for kind in (*JUMPS, *TUNNELS, *WEAVES, *CONTACTS, *TABLES)}
)

MOST_UNUSED = 100
"""Shapes that are kept for the next plan though the one at hand has no such obstacle."""

RulebookSize = Callable[[str, str], float | None]


def no_rulebook(_kind: str, _size: str) -> float | None:
    """A rulebook that gives no size."""
    return None


def build_shape(obstacle: Obstacle, rulebook_size: RulebookSize = no_rulebook, tunnel_line: str = "centre") -> Shape:
    """The shape of one obstacle.

    Args:
        obstacle: of a kind in KINDS.
        rulebook_size: the rulebook's value of a kind's size for the height class at hand, or None. The judge's own
            size goes before it, the kind's default comes after it.
        tunnel_line: "centre" or "outside": where a dog's line lies in a bent tunnel.
    """
    kind = KINDS[obstacle.kind]
    return kind.build(kind, obstacle, _sizes(obstacle, kind, rulebook_size), tunnel_line)


def _sizes(obstacle: Obstacle, kind: Kind, rulebook_size: RulebookSize) -> dict[str, float]:
    sizes: dict[str, float] = {}
    for name, size in kind.sizes.items():
        given = obstacle.sizes.get(name)
        ruled = rulebook_size(kind.name, name) if given is None else given
        sizes[name] = size.default if ruled is None else ruled
    return sizes


def build_shapes(
    course: Course,
    rulebook_size: RulebookSize = no_rulebook,
    tunnel_line: str = "centre",
    built: dict[tuple[object, ...], Shape] | None = None,
) -> dict[str, Shape]:
    """The shapes of all obstacles of a course by id, in the course's order.

    Args:
        course: the plan.
        rulebook_size: see `build_shape`.
        tunnel_line: see `build_shape`.
        built: shapes that were built before by the same figures, for other height classes or for the course with one
            obstacle moved, are taken from it. New ones are added; when there are too many, the others are let go.
    """
    shapes: dict[str, Shape] = {}
    known = {} if built is None else built
    used: dict[tuple[object, ...], Shape] = {}
    for obstacle in course.obstacles:
        kind = KINDS[obstacle.kind]
        sizes = _sizes(obstacle, kind, rulebook_size)
        given = tuple(sorted(obstacle.sizes.items()))
        key = (obstacle.id, kind.name, obstacle.at, obstacle.bearing_deg, given, tunnel_line, *sizes.values())
        if key not in known:
            known[key] = kind.build(kind, obstacle, sizes, tunnel_line)
        shapes[obstacle.id] = used[key] = known[key]
    if len(known) > len(used) + MOST_UNUSED:
        known.clear()
        known.update(used)
    return shapes

"""The remarks of several height classes as one list: what is said of several classes is said once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter

from coursecheck.walk.remark import Remark
from coursecheck.walk.walking import Walk

__all__ = ["Shared", "shared_remarks"]

STRETCHES = ("handler-late", "hard-landings")  # kinds that belong to several legs, which ones hangs on the class


@dataclass(frozen=True, slots=True)
class Shared:
    """A remark and the height classes it holds for.

    Attributes:
        remark: as it stands for the last of the classes, whose figures it has.
        heights: the classes, in the rulebook's order.
        uncertain: the figures that would make it go for at least one of them by moving 15 %.
    """

    remark: Remark
    heights: tuple[str, ...]
    uncertain: tuple[str, ...]


def shared_remarks(walked: Walk) -> tuple[Shared, ...]:
    """Every remark once, in the order of the passes."""
    together: dict[tuple[object, ...], list[tuple[str, Remark]]] = {}
    for height, one in walked.classes.items():
        for made in one.remarks:
            together.setdefault(_key(made, together), []).append((height, made))
    found = [
        Shared(
            remark=same[-1][1],
            heights=tuple(dict.fromkeys(height for height, _ in same)),
            uncertain=tuple(dict.fromkeys(name for _, made in same for name in made.uncertain)),
        )
        for same in together.values()
    ]
    return tuple(sorted(found, key=attrgetter("remark.order")))


def _key(made: Remark, together: Mapping[tuple[object, ...], Sequence[tuple[str, Remark]]]) -> tuple[object, ...]:
    """What remarks of several classes share that say the same.

    What is said of the whole course stands at the leg where it shows most, and stretches begin and end a leg earlier
    or later from class to class: of those, what overlaps is one.
    """
    if made.whole:
        return (made.kind,)
    if made.kind not in STRETCHES:
        return made.kind, made.passes, made.obstacles
    for key, same in together.items():
        if key[:2] == (made.kind, made.hangs_on) and any(len({*made.passes} & {*one.passes}) > 1 for _, one in same):
            return key
    return made.kind, made.hangs_on, made.passes

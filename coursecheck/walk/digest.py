"""The digest of a walk: the weightiest of what it has to say, what is certain first, for one page."""

from __future__ import annotations

from dataclasses import dataclass

from coursecheck.walk.merging import Shared, shared_remarks
from coursecheck.walk.walking import Walk

__all__ = ["MOST", "Digest", "digest_of"]

MOST = 16
"""Remarks on a page."""


@dataclass(frozen=True, slots=True, eq=False)
class Digest:
    """What a page has room for.

    Attributes:
        walked: the walk itself, for its handling plans.
        firm: remarks that 15 % of no figure would make go, in the order of the passes.
        uncertain: remarks that would go, in the order of the passes; they come in when all firm ones are.
        more: how many remarks there are besides.
    """

    walked: Walk
    firm: tuple[Shared, ...]
    uncertain: tuple[Shared, ...]
    more: int


def digest_of(walked: Walk, most: int = MOST) -> Digest:
    """The digest of a walk.

    Args:
        walked: the walk.
        most: how many remarks there is room for; those that weigh most are taken, the firm ones first.
    """
    remarks = shared_remarks(walked)
    ranked = sorted(range(len(remarks)), key=lambda i: (bool(remarks[i].uncertain), -_weight(remarks[i]), i))
    chosen = [remarks[i] for i in sorted(ranked[:most])]
    return Digest(
        walked=walked,
        firm=tuple(shared for shared in chosen if not shared.uncertain),
        uncertain=tuple(shared for shared in chosen if shared.uncertain),
        more=len(remarks) - len(chosen),
    )


def _weight(shared: Shared) -> float:
    """Rounded, so that a turned plan is told alike."""
    return round(shared.remark.weight, 2)

"""Standard and maximum course times."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

__all__ = ["Times"]


@dataclass(frozen=True, slots=True)
class Times:
    """The times of one height class.

    Attributes:
        height: the height class.
        length_m: the length they were reckoned from, or None.
        speed_mps: the speed behind the SCT, or None.
        sct_s: standard course time, or None. sct_rule: how it was found. sct_why_not: why it could not be given.
        mct_s: maximum course time, or None. mct_rule, mct_why_not: likewise.
        notes: cautions, such as a speed outside the rulebook's range.
    """

    height: str
    length_m: Decimal | None
    speed_mps: Decimal | None
    sct_s: Decimal | None
    mct_s: Decimal | None
    sct_rule: str = ""
    mct_rule: str = ""
    sct_why_not: str = ""
    mct_why_not: str = ""
    notes: tuple[str, ...] = ()

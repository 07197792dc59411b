"""The withers that a height class is for, as rulebooks write them."""

from __future__ import annotations

import math
import re

from coursecheck.language import say

__all__ = ["withers_range"]

_FORMS = (
    re.compile(r"<(?P<with_high>=?)(?P<high>\d+(\.\d+)?)"),
    re.compile(r"(?P<above_low>>?)(?P<low>\d+(\.\d+)?)-<(?P<with_high>=?)(?P<high>\d+(\.\d+)?)"),
    re.compile(r">(?P<with_low>=?)(?P<low>\d+(\.\d+)?)"),
)


def withers_range(text: str) -> tuple[float, float]:
    """From (inclusive) and to (exclusive), in cm: "<35" is 0 to 35, "35-<43" is 35 to 43, ">=43" is 43 and more.

    Bodies that count the limit to the class below write "<=28", ">28-<=36" and ">36": the range then begins or ends
    at the next number that a computer knows after the limit.

    Raises:
        ValueError: the text is none of these, or from is not below to.
    """
    for form in _FORMS:
        match = form.fullmatch(text)
        if match:
            ends = match.groupdict()
            low, high = float(ends.get("low") or 0), float(ends.get("high") or math.inf)
            if low < high:
                above = ends.get("above_low") == ">" or ends.get("with_low") == ""
                return _past(low, past=above), _past(high, past=ends.get("with_high") == "=")
    raise ValueError(say("{text!r} is no range of withers", text=text))


def _past(limit_cm: float, *, past: bool) -> float:
    return math.nextafter(limit_cm, math.inf) if past else limit_cm

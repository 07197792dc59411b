"""The withers that a height class is for, as rulebooks write them."""

from __future__ import annotations

import math
import re

__all__ = ["withers_range"]

_FORMS = (
    re.compile(r"<(?P<high>\d+(\.\d+)?)"),
    re.compile(r"(?P<low>\d+(\.\d+)?)-<(?P<high>\d+(\.\d+)?)"),
    re.compile(r">=(?P<low>\d+(\.\d+)?)"),
)


def withers_range(text: str) -> tuple[float, float]:
    """From (inclusive) and to (exclusive), in cm: "<35" is 0 to 35, "35-<43" is 35 to 43, ">=43" is 43 and more.

    Raises:
        ValueError: the text is none of these, or from is not below to.
    """
    for form in _FORMS:
        match = form.fullmatch(text)
        if match:
            ends = match.groupdict()
            low, high = float(ends.get("low") or 0), float(ends.get("high") or math.inf)
            if low < high:
                return low, high
    raise ValueError(f"{text!r} is no range of withers")

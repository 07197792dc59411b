"""What to watch for at each kind of obstacle.

In the trade's own words, from memory and common practice, no source: rulebook files carry no rows on refusals, so the
card says that the rulebook in force decides.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from coursecheck.language import to_say

__all__ = ["REFUSALS"]

_CROSSED = to_say("stops or turns away in front; runs past the line of the bar; goes under the bar or through a wing")
_CLIMBED = to_say("stops or turns away; runs past the foot; leaves before all four paws were on the far ramp")

REFUSALS: Mapping[str, str] = MappingProxyType(
    {
        "jump": _CROSSED,
        "spread": _CROSSED,
        "wall": to_say("stops or turns away in front; runs past the line of the wall"),
        "long-jump": to_say("runs past the first unit; enters or leaves over a side; walks on the units"),
        "tyre": to_say("runs past the line of the frame; passes between tyre and frame; goes under or over"),
        "tunnel": to_say("runs past the mouth; turns round inside and comes out by the mouth it went in"),
        "weaves": to_say(
            "runs past the line of the first pole; enters elsewhere than between the first and the second pole"
        ),
        "a-frame": _CLIMBED,
        "dog-walk": _CLIMBED,
        "seesaw": to_say("stops or turns away; runs past the foot; leaves before the plank tips"),
        "table": to_say("stops or turns away; runs past the far edge"),
    }
)
"""By kind, what is called as a refusal or run-out."""

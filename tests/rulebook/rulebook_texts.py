"""Small rulebooks to read, whole and in rows."""

from __future__ import annotations

from collections.abc import Callable

from coursecheck.rulebook.model import Limit, Place, Rulebook, Selectors

HEAD = """\
format = 1
[rulebook]
id = "club"
title = "A club"
edition = "1"
source = "common practice, no source"
[disciplines]
agility = ["1", "2"]
jumping = ["1", "open"]
[[height]]
id = "small"
withers_cm = "<35"
jump_cm = [25, 30]
runner = { turn_radius_m = 1.0, takeoff_m = 0.8, landing_m = 0.7 }
[[height]]
id = "large"
runner = { turn_radius_m = 1.5, takeoff_m = 1.3, landing_m = 1.1 }
"""

LIMIT = """\
[[limit]]
id = "spacing"
about = "Room to land and to take off."
measure = "leg-distance"
metric = "line"
min = 5.0
severity = "must"
basis = "practice"
source = "common practice, no source"
"""

TIME = """\
[[time]]
sct = { how = "speed" }
mct = { how = "factor-of-sct", factor = 2 }
basis = "practice"
source = "common practice, no source"
"""

Read = Callable[..., Rulebook]


def limit_row(line: int, where: Selectors, *, bound: float = 5.0, book: str = "base", reason: str = "") -> Limit:
    """A limit on distances as it was read."""
    return Limit(
        id="spacing",
        measure="leg-distance",
        metric="line",
        about="",
        where=where,
        severity="must",
        clause="",
        basis="practice",
        source="",
        place=Place(book, f"{book}.toml", "limit[0]", {"limit[0]": line}),
        min=bound,
        reason=reason,
        written=f"min {bound:g}",
    )

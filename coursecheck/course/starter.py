"""A commented course to start drawing from."""

from __future__ import annotations

import math
from collections.abc import Sequence

from coursecheck.course.plain import spell_value
from coursecheck.documents.comments import commented, say_comments
from coursecheck.language import say

__all__ = ["starter_text"]

# The circle that the first obstacles stand on: its radius, and its distance to the edge where there is room.
_TIGHTEST_M, _WIDEST_M, _FROM_EDGE_M = 3.8, 9.0, 4.0

_TEXT = commented("""\
# A course for coursecheck. Lengths are in metres (or feet, see units); x runs to the right along the bottom side of
# the ring, y up the plan, from its bottom-left corner. A bearing is degrees clockwise from up the plan: 90 is to
# the right.
format = 1

[course]
title = {title}
rulebook = {rulebook}    # the name of a shipped rulebook, or a path beside this file
discipline = {discipline}
grade = {grade}
heights = {heights}    # the height classes that run it
# speed_mps = 3.8    # your speed in metres per second, where the rulebook lets the judge choose
units = "m"    # "m" or "ft": of every length in this file

[ring]
size = {size}    # x, y
# solid = ["top", "left"]    # sides that are walls or boards
# indoor = true
entrance = [[0.0, 1.0], [0.0, 3.0]]    # its two ends
exit = {exit}

# Where nobody can run: a pillar, a tent, a drain. Remove the # to use it.
# [[ring.blocked]]
# name = {pillar}
# centre = [6.0, 6.0]
# radius = 0.3

# Other rings beside this one: how far from edge to edge, and whether a wall or a closed fence stands between.
# [[ring.beside]]
# name = {other}
# gap = 8.0
# fence = true

# The obstacles. kind is one of: jump spread wall long-jump tyre tunnel weaves a-frame dog-walk seesaw table.
# at is the centre on the ground; of a tunnel it is the mouth by which it is entered. Sizes such as bar, wing or
# length may be left out: the rulebook then says how big it is.
{obstacles}
# The order. Behind an id: reverse for the other way over it; left or right where the dog shall turn the long way
# round after it. An obstacle that is not named here stands in the ring all the same.
[sequence]
run = {run}
start_line = 1.0    # before the first obstacle
finish_line = 1.0    # after the last one

# What the club owns. With it, asking for more than that is a finding.
# [store]
# jump = 16
# tunnel = {{ count = 2, lengths = [5.0, 4.0] }}
""")

_JUMP = """
[[obstacle]]
id = "{id}"
kind = "jump"
at = {at}
bearing = {bearing}
"""

_TUNNEL = commented("""
[[obstacle]]
id = "{id}"
kind = "tunnel"
at = {at}
bearing = {bearing}
length = {length}
bend = {bend}    # degrees to the right over its whole length; negative: to the left
""")


def starter_text(
    *,
    title: str,
    rulebook: str,
    discipline: str,
    grade: str,
    width_m: float,
    height_m: float,
    heights: Sequence[str],
) -> str:
    """The text of a starter course: three jumps and a tunnel on a curve, 5.7 or 6 m apart along the dog's way.

    Its comments are in the language that is spoken.

    Args:
        title: as printed on the papers.
        rulebook: the name of a shipped rulebook, or a path.
        discipline: as the rulebook lists it.
        grade: as the rulebook lists it.
        width_m: the ring along x, 12 m or more.
        height_m: the ring along y, 12 m or more.
        heights: the height classes, at least one.
    """
    return say_comments(
        _TEXT,
        title=spell_value(title),
        rulebook=spell_value(rulebook),
        discipline=spell_value(discipline),
        grade=spell_value(grade),
        heights=spell_value(list(heights)),
        size=spell_value([float(width_m), float(height_m)]),
        exit=spell_value([[float(width_m), 1.0], [float(width_m), 3.0]]),
        pillar=spell_value(say("pillar")),
        other=spell_value(say("ring 1")),
        obstacles=_obstacles(width_m, height_m),
        run=spell_value(["a", "b", "T", "c"]),
    )


def _obstacles(width_m: float, height_m: float) -> str:
    """Obstacles clockwise on a circle round the middle of the ring, from its leftmost point."""
    radius = min(_WIDEST_M, max(_TIGHTEST_M, min(width_m, height_m) / 2 - _FROM_EDGE_M))
    spacing, tunnel = (5.7, 3.0) if radius < 5.0 else (6.0, 5.0)

    def stand(way_m: float) -> dict[str, object]:
        """Place and bearing so far along the circle, as a judge would write them."""
        turned = way_m / radius
        x, y = width_m / 2 - radius * math.cos(turned), height_m / 2 + radius * math.sin(turned)
        return {"at": spell_value([round(x, 1), round(y, 1)]), "bearing": round(math.degrees(turned))}

    bend = round(math.degrees(tunnel / radius))
    return "".join(
        [
            _JUMP.format(id="a", **stand(0.0)),
            _JUMP.format(id="b", **stand(spacing)),
            say_comments(_TUNNEL, id="T", **stand(2 * spacing), length=tunnel, bend=bend),
            _JUMP.format(id="c", **stand(3 * spacing + tunnel)),
        ]
    )

"""Obstacles that are cleared in flight: jump, spread, wall, long jump, tyre."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shapely.geometry import Polygon

from coursecheck.course.kinds import Size
from coursecheck.course.model import Obstacle
from coursecheck.equipment.outlines import disc, rectangle
from coursecheck.equipment.shape import Kind, Portal, Shape, Way
from coursecheck.geometry.frames import Frame, Point

__all__ = ["JUMPS"]

PRACTICE = "common practice, no source"
FCI_2012 = "FCI regulations 2012, published summaries"

PANEL_M = 0.10  # ground depth of the solid panel of a wing; common practice, no source
POST_RADIUS_M = 0.03  # corner posts of a long jump; common practice, no source

# Directions in which a bar may be crossed. A jump takes wide angles, the others ask for a straight take-off
# (FCI 2012 for long jump, tyre and double); the figures are common practice, no source.
WIDE_CONE_DEG = 60.0
NARROW_CONE_DEG = 25.0


def _shape(
    kind: Kind,
    obstacle: Obstacle,
    sizes: Mapping[str, float],
    *,
    depth_m: float,
    opening_m: float,
    reach_m: float,
    foot_m: float,
    cone_deg: float,
    solids: list[Polygon],
    uprights: tuple[str, str],
    crossed: list[tuple[float, float]],
) -> Shape:
    """A shape that is crossed straight, with an opening between two uprights and a depth along the way.

    `reach_m` is half the overall width, `foot_m` the overall ground depth, `crossed` the along-coordinates and
    half widths of the bars.
    """
    frame = obstacle.frame
    half = opening_m / 2

    def way(direction: Frame) -> Way:
        front, rear = direction.place(-depth_m / 2, 0.0), direction.place(depth_m / 2, 0.0)
        return Way(
            "flight",
            Portal(front, half, direction.bearing_deg, cone_deg),
            Portal(rear, half, direction.bearing_deg, cone_deg),
        )

    return Shape(
        obstacle=obstacle,
        kind=kind,
        sizes=sizes,
        footprint=rectangle(frame, (-foot_m / 2, foot_m / 2), (-reach_m, reach_m)),
        solids=tuple(solids),
        bars=tuple((frame.place(along, -width), frame.place(along, width)) for along, width in crossed),
        marks=((uprights[0], frame.place(0.0, -half)), (uprights[1], frame.place(0.0, half))),
        forwards=way(frame),
        reverse=way(frame.turned()),
        centre=obstacle.at,
    )


def _sides(frame: Frame, along: Point, inner_m: float, outer_m: float) -> list[Polygon]:
    """The same solid rectangle on the left and on the right of the opening."""
    return [rectangle(frame, along, (-outer_m, -inner_m)), rectangle(frame, along, (inner_m, outer_m))]


def _jump(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    half, outer = sizes["bar"] / 2, sizes["bar"] / 2 + sizes["wing"]
    return _shape(
        kind,
        obstacle,
        sizes,
        depth_m=0.0,
        opening_m=sizes["bar"],
        reach_m=outer,
        foot_m=sizes["foot"],
        cone_deg=WIDE_CONE_DEG,
        solids=_sides(obstacle.frame, (-PANEL_M / 2, PANEL_M / 2), half, outer),
        uprights=("left upright", "right upright"),
        crossed=[(0.0, half)],
    )


def _spread(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    half, outer, depth = sizes["bar"] / 2, sizes["bar"] / 2 + sizes["wing"], sizes["depth"]
    along = (-(depth + PANEL_M) / 2, (depth + PANEL_M) / 2)
    return _shape(
        kind,
        obstacle,
        sizes,
        depth_m=depth,
        opening_m=sizes["bar"],
        reach_m=outer,
        foot_m=depth + sizes["foot"],
        cone_deg=NARROW_CONE_DEG,
        solids=_sides(obstacle.frame, along, half, outer),
        uprights=("left uprights", "right uprights"),
        crossed=[(-depth / 2, half), (depth / 2, half)],
    )


def _wall(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    half, outer, depth = sizes["bar"] / 2, sizes["bar"] / 2 + sizes["pillar"], sizes["depth"]
    foot = max(depth, sizes["pillar"])
    return _shape(
        kind,
        obstacle,
        sizes,
        depth_m=depth,
        opening_m=sizes["bar"],
        reach_m=outer,
        foot_m=foot,
        cone_deg=NARROW_CONE_DEG,
        solids=_sides(obstacle.frame, (-foot / 2, foot / 2), half, outer),
        uprights=("left pillar", "right pillar"),
        crossed=[(-depth / 2, half), (depth / 2, half)],
    )


def _long_jump(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    half, depth, frame = sizes["bar"] / 2, sizes["depth"], obstacle.frame
    reach = half + 2 * POST_RADIUS_M
    corners = [
        frame.place(along, right)
        for along in (-depth / 2, depth / 2)
        for right in (-half - POST_RADIUS_M, half + POST_RADIUS_M)
    ]
    shape = _shape(
        kind,
        obstacle,
        sizes,
        depth_m=depth,
        opening_m=sizes["bar"],
        reach_m=reach,
        foot_m=depth + 2 * POST_RADIUS_M,
        cone_deg=NARROW_CONE_DEG,
        solids=[disc(corner, POST_RADIUS_M, obstacle.bearing_deg) for corner in corners],
        uprights=("left middle", "right middle"),
        crossed=[(-depth / 2, half), (depth / 2, half)],
    )
    # The units lie on the ground between the posts: nobody runs across them from the side either.
    ends = (-depth / 2, depth / 2)
    flanks = tuple((frame.place(ends[0], side), frame.place(ends[1], side)) for side in (-half, half))
    names = ("front left post", "front right post", "rear left post", "rear right post")
    return replace(shape, bars=shape.bars + flanks, marks=tuple(zip(names, corners, strict=True)))


def _tyre(kind: Kind, obstacle: Obstacle, sizes: Mapping[str, float], _tunnel_line: str) -> Shape:
    half, outer = sizes["aperture"] / 2, sizes["frame"] / 2
    return _shape(
        kind,
        obstacle,
        sizes,
        depth_m=0.0,
        opening_m=sizes["aperture"],
        reach_m=outer,
        foot_m=sizes["foot"],
        cone_deg=NARROW_CONE_DEG,
        solids=_sides(obstacle.frame, (-PANEL_M / 2, PANEL_M / 2), half, outer),
        uprights=("left end of the frame", "right end of the frame"),
        crossed=[(0.0, half)],
    )


_BAR = Size(1.2, "m", "bar width between the uprights", "FCI 2012: 1.20 to 1.50 m; Kennel Club 2016: 1.2 m or more")
_WING = Size(0.5, "m", "width of each wing", f"{FCI_2012}: 0.40 to 0.60 m")
_FOOT = Size(0.45, "m", "ground depth of the feet", PRACTICE)

JUMPS: tuple[Kind, ...] = (
    Kind(
        "jump",
        "jump",
        "jump",
        ("hurdle", "single", "bar-jump", "barjump"),
        {"bar": _BAR, "wing": _WING, "foot": _FOOT},
        _jump,
    ),
    Kind(
        "spread",
        "spread",
        "jump",
        ("double", "oxer", "triple", "spread-jump"),
        {
            "bar": _BAR,
            "wing": _WING,
            "depth": Size(
                0.55, "m", "from the front to the rear bar", "FCI 2002-2012 and Kennel Club, large: at most 0.55"
            ),
            "foot": _FOOT,
        },
        _spread,
    ),
    Kind(
        "wall",
        "wall",
        "jump",
        ("viaduct", "brick-wall", "panel"),
        {
            "bar": Size(1.2, "m", "width between the pillars", "FCI 2002-2012: 1.20 m or more"),
            "depth": Size(0.2, "m", "thickness", "FCI 2002-2012: about 0.20 m"),
            "pillar": Size(0.4, "m", "width of each pillar", PRACTICE),
        },
        _wall,
    ),
    Kind(
        "long-jump",
        "long jump",
        "jump",
        ("broad-jump", "broadjump", "longjump", "broad"),
        {
            "bar": Size(1.2, "m", "width of the units", "FCI 2002-2022: 1.20 m"),
            "depth": Size(1.2, "m", "overall length along the jump", "FCI 2002-2022, large: 1.20 to 1.50 m"),
        },
        _long_jump,
    ),
    Kind(
        "tyre",
        "tyre",
        "jump",
        ("tire", "hoop", "ring", "lollipop"),
        {
            "aperture": Size(
                0.55, "m", "clear opening", "FCI, edition not stated: 0.45 to 0.60; Kennel Club: 0.533 or more"
            ),
            "frame": Size(2.0, "m", "overall width on the ground", "published club measures: base about 2 m wide"),
            "foot": Size(0.6, "m", "ground depth of the base", PRACTICE),
        },
        _tyre,
    ),
)

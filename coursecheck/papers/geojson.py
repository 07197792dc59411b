"""The plan as GeoJSON: in metres of the ring, or laid on the earth in WGS 84 as RFC 7946 has it."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from typing import Any

import shapely
from shapely.geometry.polygon import orient

from coursecheck.errors import UsageError
from coursecheck.geometry.frames import Frame, Point
from coursecheck.language import say
from coursecheck.measures.scene import Scene
from coursecheck.papers import PaperOptions
from coursecheck.papers.features import Feature, features
from coursecheck.verdict.model import Verdict

__all__ = ["on_earth", "render"]

# WGS 84, NIMA TR8350.2: semi-major axis in metres and flattening.
AXIS_M, FLATTENING = 6378137.0, 1 / 298.257223563
MOST_LATITUDE_DEG = 85.0  # beyond, meridians meet too fast for a plane ring

LOCAL = "metres from the ring's bottom left, x to the right and y up the plan; not WGS 84"
EARTH = "WGS 84, longitude and latitude in degrees"


def render(verdict: Verdict, options: PaperOptions) -> str:
    """A feature collection: one feature for each piece of the plan.

    Areas follow the right-hand rule of RFC 7946: outlines run counter-clockwise.

    Raises:
        UsageError: an origin that is nowhere on the earth, or a ring across the 180th meridian.
    """
    scene = verdict.scenes[options.height_of(verdict)]
    placed = _millimetres if options.origin is None else on_earth(options.origin, options.north_deg)
    written = [_feature(piece, scene, placed) for piece in features(scene, line=options.line)]
    whole = {
        "type": "FeatureCollection",
        "title": verdict.course.title,
        "frame": LOCAL if options.origin is None else EARTH,
        "height": options.height_of(verdict),
        "features": written,
    }
    return json.dumps(whole, ensure_ascii=True, indent=1, allow_nan=False) + "\n"


def _millimetres(point: Point) -> Point:
    return round(point[0], 3) + 0.0, round(point[1], 3) + 0.0


def on_earth(origin: tuple[float, float], north_deg: float) -> Callable[[Point], Point]:
    """Lays the ring on the earth.

    A metre east or north of the origin is taken by the radii of curvature of the ellipsoid there; over a ring of
    100 m that is true to about a millimetre.

    Args:
        origin: latitude and longitude of the ring's origin, in degrees.
        north_deg: the true bearing of up the plan.

    Returns:
        What makes longitude and latitude in degrees (to 0.1 mm) of a point of the ring.

    Raises:
        UsageError: an origin that is nowhere on the earth, or too near to a pole.
    """
    latitude, longitude = origin
    if not (abs(latitude) <= MOST_LATITUDE_DEG and abs(longitude) <= 180.0 and math.isfinite(north_deg)):
        raise UsageError(
            say(
                "no ring can lie at latitude {latitude}, longitude {longitude}, north {north}; give a latitude "
                "within {most} degrees, a longitude within 180, and a bearing",
                latitude=f"{latitude:g}",
                longitude=f"{longitude:g}",
                north=f"{north_deg:g}",
                most=f"{MOST_LATITUDE_DEG:g}",
            )
        )
    squared = FLATTENING * (2 - FLATTENING)
    bulge = 1 - squared * math.sin(math.radians(latitude)) ** 2
    northwards_m, eastwards_m = AXIS_M * (1 - squared) / bulge**1.5, AXIS_M / math.sqrt(bulge)
    # Up the plan runs by the bearing, so the plan's right is the frame's right.
    frame = Frame((0.0, 0.0), north_deg)

    def place(point: Point) -> Point:
        east, north = frame.place(point[1], point[0])
        east_deg = math.degrees(east / (eastwards_m * math.cos(math.radians(latitude))))
        placed = (longitude + east_deg, latitude + math.degrees(north / northwards_m))
        if abs(placed[0]) > 180.0:
            raise UsageError(say("the ring lies across the 180th meridian, which GeoJSON cannot draw in one piece"))
        return round(placed[0], 9) + 0.0, round(placed[1], 9) + 0.0

    return place


def _feature(piece: Feature, scene: Scene, placed: Callable[[Point], Point]) -> dict[str, Any]:
    points = [placed(point) for point in piece.points]
    properties: dict[str, Any] = {"part": piece.part}
    if piece.name:
        properties["name"] = piece.name
    if piece.name in scene.shapes:
        properties["kind"] = scene.shapes[piece.name].kind.name
    if piece.numbers:
        properties["numbers"] = list(piece.numbers)
    if piece.words:
        properties["words"] = piece.words
    return {"type": "Feature", "properties": properties, "geometry": _geometry(piece, points)}


def _geometry(piece: Feature, points: list[Point]) -> dict[str, Any]:
    if piece.form == "point":
        return {"type": "Point", "coordinates": list(points[0])}
    if piece.form == "area":
        ring = orient(shapely.Polygon(points), 1.0).exterior.coords
        return {"type": "Polygon", "coordinates": [[[x, y] for x, y in ring]]}
    return {"type": "LineString", "coordinates": [list(point) for point in points]}

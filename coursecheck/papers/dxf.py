"""The plan as a DXF drawing in metres, by ezdxf: true arcs, a layer for each part, a group for each obstacle."""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING, Any

from coursecheck.errors import MissingPackageError
from coursecheck.geometry.segments import Segment
from coursecheck.language import say
from coursecheck.papers import PaperOptions
from coursecheck.papers.features import Feature, features
from coursecheck.reports.wording import printable
from coursecheck.verdict.model import Verdict

if TYPE_CHECKING:
    from ezdxf.document import Drawing

__all__ = ["LAYERS", "render"]

METRES = 6  # the code of the header variable $INSUNITS

# Part -> layer and its colour by the index of AutoCAD: 7 black or white, 5 blue, 8 grey.
LAYERS = {
    "ring": ("RING", 7),
    "wall": ("RING-WALLS", 7),
    "entrance": ("RING-GATES", 8),
    "exit": ("RING-GATES", 8),
    "blocked": ("RING-BLOCKED", 8),
    "footprint": ("OBSTACLES", 7),
    "solid": ("OBSTACLES-SOLID", 7),
    "bar": ("OBSTACLES-BARS", 7),
    "mark": ("SETTING-OUT", 8),
    "number": ("NUMBERS", 7),
    "start": ("START-FINISH", 7),
    "finish": ("START-FINISH", 7),
    "line": ("DOGS-LINE", 5),
}
TEXT_M = 0.5
MARK_M = 0.05


def render(verdict: Verdict, options: PaperOptions) -> bytes:
    """A DXF of version R2010, units metres, the same bytes for the same input.

    Raises:
        MissingPackageError: ezdxf is not installed.
    """
    try:
        import ezdxf
        from ezdxf import options as settings
    except ImportError as error:
        raise MissingPackageError(say("DXF needs the package ezdxf: pip install 'coursecheck[cad]'")) from error

    scene = verdict.scenes[options.height_of(verdict)]
    fixed = settings.write_fixed_meta_data_for_testing
    settings.write_fixed_meta_data_for_testing = True  # else the file holds the time of day and random numbers
    try:
        document = ezdxf.new("R2010")
        document.units = METRES
        for name, colour in dict(LAYERS.values()).items():
            document.layers.add(name, color=colour)
        grouped: dict[str, list[Any]] = {}
        for piece in features(scene, line=options.line):
            drawn = _draw(piece, document)
            if piece.name in scene.shapes and piece.part != "line":
                grouped.setdefault(piece.name, []).extend(drawn)
        for name, members in grouped.items():
            kind = scene.shapes[name].kind.title
            document.groups.new(f"obstacle-{name}", description=f"{name}: {kind}").extend(members)
        return _written(document)
    finally:
        settings.write_fixed_meta_data_for_testing = fixed


def _written(document: Drawing) -> bytes:
    for kind in sorted(document.entitydb.dxf_types_in_use()):  # else they stand in the order of a set
        document.classes.add_class(kind)
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode("utf-8")  # the encoding of DXF from version R2007 on


def _draw(piece: Feature, document: Drawing) -> list[Any]:
    """Puts a piece into the model space; what was drawn for it."""
    space = document.modelspace()
    look = {"layer": LAYERS[piece.part][0]}
    if piece.form == "area":
        drawn: list[Any] = [space.add_lwpolyline(piece.points, close=True, dxfattribs=look)]
        if piece.part == "blocked":
            middle = piece.points[0]
            drawn.append(_words(document, piece.name, middle, look))
        return drawn
    if piece.form == "stroke":
        return [space.add_lwpolyline(piece.points, dxfattribs=look)]
    if piece.form == "track":
        return [space.add_lwpolyline(_with_bulges(piece.segments), format="xyb", dxfattribs=look)]
    if piece.part == "mark":
        return [space.add_point(piece.points[0], dxfattribs=look), space.add_circle(piece.points[0], MARK_M, look)]
    return [_words(document, piece.words, piece.points[0], look)]


def _words(document: Drawing, words: str, at: tuple[float, float], look: dict[str, str]) -> Any:
    text = document.modelspace().add_text(printable(words), height=TEXT_M, dxfattribs=look)
    return text.set_placement(at)


def _with_bulges(segments: tuple[Segment, ...]) -> list[tuple[float, float, float]]:
    """Vertices with the bulge of the piece that follows: the tangent of a quarter of its turn, left positive.

    An arc of half a turn or more is cut in two, since a bulge says little about nearly whole circles.
    """
    vertices = []
    for segment in segments:
        cuts = max(1, math.ceil(abs(segment.turn_rad) / (math.pi - 1e-9)))
        for i in range(cuts):
            x, y = segment.at(segment.length_m * i / cuts).point
            vertices.append((x, y, math.tan(segment.turn_rad / cuts / 4)))
    return [*vertices, (*segments[-1].end.point, 0.0)]

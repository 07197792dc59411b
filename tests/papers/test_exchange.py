import csv
import io
import json
import math
import os
import subprocess
import sys
from itertools import pairwise

import ezdxf
import pytest
import shapely
from ezdxf import recover
from hostile_names import HOSTILE
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import shape as geometry_of
from sheets import corners, parse

from coursecheck.errors import MissingPackageError, UsageError
from coursecheck.papers import FORMATS, PAPERS, PaperOptions, make_papers
from coursecheck.papers.geojson import on_earth
from coursecheck.resources import sample

MM = 1e-3
EXCHANGE = [("plan", form) for form in PAPERS["plan"].formats if form != "html"]


def made(verdict, form, **options):
    ((_, content),) = make_papers(verdict, PaperOptions(**options), ["plan"], [form])
    return content


def collection(verdict, **options):
    return json.loads(made(verdict, "geojson", **options))["features"]


def drawing(content):
    document, auditor = recover.read(io.BytesIO(content))
    assert auditor.errors == []
    assert auditor.fixes == []
    return document


# --- DXF


def test_a_dxf_reads_back_without_an_error_or_a_fix(verdict):
    document = drawing(made(verdict, "dxf"))
    auditor = document.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert document.units == 6  # metres
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert {"RING", "OBSTACLES", "NUMBERS", "DOGS-LINE"} <= used <= {layer.dxf.name for layer in document.layers}


def test_the_footprints_of_a_dxf_are_those_of_the_plan_to_the_millimetre(verdict):
    document = drawing(made(verdict, "dxf"))
    scene = list(verdict.scenes.values())[-1]
    groups = {name: group for name, group in document.groups if name.startswith("obstacle-")}
    assert set(groups) == {f"obstacle-{name}" for name in scene.shapes}
    for name, shape in scene.shapes.items():
        (outline,) = [e for e in groups[f"obstacle-{name}"] if e.dxf.layer == "OBSTACLES"]
        drawn = shapely.Polygon(outline.get_points("xy"))
        assert drawn.symmetric_difference(shape.footprint).area < MM**2


def test_the_line_of_a_dxf_keeps_its_exact_arcs_and_its_length(verdict):
    document = drawing(made(verdict, "dxf"))
    scene = list(verdict.scenes.values())[-1]
    total = 0.0
    for piece in document.modelspace().query('LWPOLYLINE[layer=="DOGS-LINE"]'):
        points = piece.get_points("xyb")
        for (x0, y0, bulge), (x1, y1, _) in pairwise(points):
            chord, turn = math.dist((x0, y0), (x1, y1)), 4 * math.atan(bulge)
            total += chord if abs(turn) < 1e-12 else chord * (turn / 2) / math.sin(turn / 2)
    assert total == pytest.approx(sum(s.length_m for s in scene.line.segments()), abs=MM)


def test_a_plan_without_the_line_has_none_in_any_format(judged):
    verdict = judged("saltmarsh")
    assert not drawing(made(verdict, "dxf", line=False)).modelspace().query('*[layer=="DOGS-LINE"]')
    assert "line" not in {f["properties"]["part"] for f in collection(verdict, line=False)}


def test_without_ezdxf_the_message_says_what_to_install(judged, monkeypatch):
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    with pytest.raises(MissingPackageError, match=r"coursecheck\[cad\]"):
        made(judged("meadow"), "dxf")


def test_writing_a_dxf_leaves_the_settings_of_ezdxf_as_they_were(judged):
    before = ezdxf.options.write_fixed_meta_data_for_testing
    made(judged("meadow"), "dxf")
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


# --- SVG


def test_an_svg_has_a_group_for_each_obstacle_with_its_footprint_in_metres(verdict):
    drawing = parse(made(verdict, "svg").decode())
    scene = list(verdict.scenes.values())[-1]
    groups = {g.attrs["id"].removeprefix("obstacle-"): g for g in drawing.find("g", "obstacle")}
    assert set(groups) == set(scene.shapes)
    for name, shape in scene.shapes.items():
        title, description = (groups[name].find(tag)[0].text for tag in ("title", "desc"))
        assert title.startswith(f"{name}: {shape.kind.title}, ")
        assert f"Bearing {shape.obstacle.bearing_deg:g} degrees" in description
        (outline,) = groups[name].find("polygon", "footprint")
        drawn = shapely.Polygon([(x, -y) for x, y in corners(outline)])
        assert shapely.hausdorff_distance(drawn, shape.footprint) < MM


def test_an_svg_prints_at_1_to_200_and_leaves_nothing_outside(verdict):
    drawing = parse(made(verdict, "svg").decode())
    x, y, wide, high = map(float, drawing.attrs["viewBox"].split())
    assert float(drawing.attrs["width"].removesuffix("mm")) == pytest.approx(wide * 5)
    assert float(drawing.attrs["height"].removesuffix("mm")) == pytest.approx(high * 5)
    page = shapely.box(x, y, x + wide, y + high)
    assert all(page.covers(shapely.Polygon(corners(p))) for p in drawing.find("polygon"))
    for text in drawing.find("text"):
        assert page.covers(shapely.Point(float(text.attrs["x"]), float(text.attrs["y"])))


def test_an_svg_has_a_title_a_description_and_names_nothing_outside_itself(judged):
    source = made(judged("saltmarsh"), "svg").decode()
    drawing = parse(source)
    assert [e.tag for e in drawing.inside[:2]] == ["title", "desc"]
    assert drawing.attrs["aria-labelledby"].split() == [e.attrs["id"] for e in drawing.inside[:2]]
    assert "http" not in source.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert drawing.find("path", "run")
    assert not parse(made(judged("saltmarsh"), "svg", line=False).decode()).find("path", "run")


def test_a_picture_of_the_plan_has_200_dots_an_inch(judged):
    verdict = judged("saltmarsh")
    content = made(verdict, "png")
    assert content[:8] == b"\x89PNG\r\n\x1a\n"
    wide, high = (int.from_bytes(content[at : at + 4], "big") for at in (16, 20))
    assert (wide, high) == pytest.approx((170 / 25.4 * 200, 227 / 25.4 * 200), abs=1)


# --- GeoJSON


@pytest.mark.parametrize("origin", [None, (52.3, 4.9)])
def test_every_geometry_is_valid_and_outlines_run_counter_clockwise(verdict, origin):
    for feature in collection(verdict, origin=origin, north_deg=30.0):
        geometry = geometry_of(feature["geometry"])
        assert geometry.is_valid
        assert not geometry.is_empty
        if geometry.geom_type == "Polygon":
            assert geometry.exterior.is_ccw


def test_the_local_frame_is_that_of_the_plan(verdict):
    scene = list(verdict.scenes.values())[-1]
    drawn = {
        f["properties"]["name"]: geometry_of(f["geometry"])
        for f in collection(verdict)
        if f["properties"]["part"] == "footprint"
    }
    assert set(drawn) == set(scene.shapes)
    for name, shape in scene.shapes.items():
        assert shapely.hausdorff_distance(drawn[name], shape.footprint) < MM


@given(
    latitude=st.floats(-84.0, 84.0),
    longitude=st.floats(-179.0, 179.0),
    north=st.floats(-360.0, 360.0),
    x=st.floats(-60.0, 60.0),
    y=st.floats(-60.0, 60.0),
)
def test_points_on_earth_lie_as_far_and_in_the_direction_that_the_plan_says(latitude, longitude, north, x, y):
    """Against the exact way through geocentric coordinates (WGS 84)."""

    def geocentric(point):
        lon, lat = map(math.radians, point)
        squared = 0.00669437999014  # first eccentricity squared of WGS 84, as published
        n = 6378137.0 / math.sqrt(1 - squared * math.sin(lat) ** 2)
        return (
            n * math.cos(lat) * math.cos(lon),
            n * math.cos(lat) * math.sin(lon),
            n * (1 - squared) * math.sin(lat),
        )

    place = on_earth((latitude, longitude), north)
    a, b = geocentric(place((0.0, 0.0))), geocentric(place((x, y)))
    d = [q - p for p, q in zip(a, b, strict=True)]
    lon, lat = math.radians(longitude), math.radians(latitude)
    east = -math.sin(lon) * d[0] + math.cos(lon) * d[1]
    up_north = -math.sin(lat) * math.cos(lon) * d[0] - math.sin(lat) * math.sin(lon) * d[1] + math.cos(lat) * d[2]
    turn = math.radians(north)
    assert east == pytest.approx(x * math.cos(turn) + y * math.sin(turn), abs=0.01)
    assert up_north == pytest.approx(-x * math.sin(turn) + y * math.cos(turn), abs=0.01)


@pytest.mark.parametrize("origin", [(91.0, 0.0), (89.0, 0.0), (0.0, 181.0), (math.nan, 0.0), (10.0, 179.99999)])
def test_an_origin_where_no_ring_can_lie_is_refused(judged, origin):
    with pytest.raises(UsageError):
        collection(judged("meadow"), origin=origin)


# --- CSV


def test_the_csv_names_every_mark_of_every_obstacle(verdict):
    rows = list(csv.DictReader(io.StringIO(made(verdict, "csv").decode())))
    scene = list(verdict.scenes.values())[-1]
    given = {(row["name"], row["point"]): (float(row["x_m"]), float(row["y_m"])) for row in rows}
    for name, shape in scene.shapes.items():
        for words, point in (*shape.marks, ("middle", shape.centre)):
            assert math.dist(given[name, words], point) < MM


# --- all of them


@pytest.mark.parametrize(("paper", "form"), EXCHANGE)
def test_the_same_plan_gives_the_same_bytes(judged, paper, form):
    one, two = (dict(make_papers(judged("granary"), PaperOptions(), [paper], [form])) for _ in range(2))
    assert one == two


def test_another_process_gives_the_same_dxf(tmp_path):
    """Strings hash otherwise in each process, and sets of them stand in another order."""
    made_by = []
    for seed in ("3", "4"):
        asked = [sample("granary"), "-o", tmp_path / seed, "--format", "dxf"]
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        subprocess.run([sys.executable, "-m", "coursecheck", "papers", *asked], env=environment, check=True)
        made_by.append((tmp_path / seed / "plan.dxf").read_bytes())
    assert made_by[0] == made_by[1]


def test_hostile_names_break_no_format(hostile):
    drawn = parse(made(hostile, "svg").decode())
    assert not drawn.find("script")
    assert drawn.inside[0].text.startswith("Plan of </title><script>")
    document = drawing(made(hostile, "dxf"))
    words = [text.dxf.text for text in document.modelspace().query("TEXT")]
    assert any("<script>" in text and "\n" not in text for text in words)
    names = [f["properties"].get("name") for f in collection(hostile)]
    assert HOSTILE in names
    assert all(len(row) == 7 for row in csv.reader(io.StringIO(made(hostile, "csv").decode())))


def test_an_unknown_height_class_is_refused(judged):
    with pytest.raises(UsageError, match="no height class"):
        made(judged("meadow"), "csv", height="giant")


def test_every_paper_can_be_made_in_each_of_its_own_formats(judged):
    for name, paper in PAPERS.items():
        for form in paper.formats:
            ((file, content),) = make_papers(judged("meadow"), PaperOptions(), [name], [form])
            assert file == f"{name}.{form}"
            assert content
        assert set(paper.forms) <= set(FORMATS)
        assert len(set(paper.forms)) == len(paper.forms)


def test_papers_and_formats_that_are_not_there_are_refused(judged):
    with pytest.raises(UsageError, match="there is no paper"):
        list(make_papers(judged("meadow"), PaperOptions(), ["plans"]))
    with pytest.raises(UsageError, match="cannot be had"):
        list(make_papers(judged("meadow"), PaperOptions(), ["setting-out"], ["dxf"]))
    with pytest.raises(UsageError, match="there is no format 'docx'"):
        list(make_papers(judged("meadow"), PaperOptions(), ["plan"], ["html", "docx"]))

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
import shapely
from crowded import crowded_scene
from sheets import corners, drawings, page_count, parse, pictures, printed, word_boxes
from shown import words_of

from coursecheck.papers import SIZES_MM, PaperOptions
from coursecheck.papers.plan_sheet import BLOCK_MM, EDGE_MM, render
from coursecheck.reports.drawing import Look, draw_plan
from coursecheck.reports.svg import SCALES


def plan_of(verdict, **options):
    (drawing,) = drawings(render(verdict, PaperOptions(**options)))
    return drawing


def mm_per_m(drawing, verdict):
    """The scale as drawn, from the ring's edge."""
    (edge,) = drawing.find("polygon", "edge")
    drawn, real = shapely.Polygon(corners(edge)), shapely.Polygon(verdict.course.ring.outline)
    return drawn.length / real.length


@pytest.mark.parametrize("paper", sorted(SIZES_MM))
def test_the_drawing_has_a_round_scale_that_it_names_and_fits_the_paper(verdict, paper):
    page = render(verdict, PaperOptions(paper=paper))
    (drawing,) = drawings(page)
    scale = 1000 / mm_per_m(drawing, verdict)
    assert scale == pytest.approx(round(scale), rel=1e-5)
    assert round(scale) in SCALES
    assert f"1 : {round(scale)} when printed on {paper.capitalize()} at full size" in drawing.words()
    _, _, width, height = map(float, drawing.attrs["viewBox"].split())
    assert (drawing.attrs["width"], drawing.attrs["height"]) == (f"{width:.1f}mm", f"{height:.1f}mm")
    wide, high = (float(side) for side in page.split("@page { size: ")[1].split(";")[0].replace("mm", "").split())
    assert {wide, high} == set(SIZES_MM[paper])
    assert width <= wide - 2 * EDGE_MM
    assert height + BLOCK_MM <= high - 2 * EDGE_MM


def test_no_larger_scale_fits_the_paper(judged):
    verdict = judged("saltmarsh")  # a ring of 30 m by 40 m
    assert mm_per_m(plan_of(verdict), verdict) == pytest.approx(5.0)  # at 1:150 it would be 267 mm high
    assert mm_per_m(plan_of(verdict, paper="a3"), verdict) == pytest.approx(8.0)  # at 1:100, 400 mm


def test_no_word_stands_on_another(verdict):
    for line in (True, False):
        words = word_boxes(plan_of(verdict, line=line))
        clashes = [(a, b) for (a, one), (b, two) in combinations(words, 2) if one.intersection(two).area > 0.01]
        assert clashes == []


def test_no_number_or_name_stands_on_an_obstacle_or_on_the_line(verdict):
    drawing = plan_of(verdict)
    (edge,) = drawing.find("polygon", "edge")
    mm, (x0, y0), (gx, gy) = mm_per_m(drawing, verdict), corners(edge)[0], verdict.course.ring.outline[0]
    to_sheet = [mm, 0, 0, -mm, x0 - gx * mm, y0 + gy * mm]
    scene = list(verdict.scenes.values())[-1]
    ground = shapely.union_all([s.footprint for s in scene.shapes.values()])
    line = shapely.LineString([p.at(p.length_m * i / 20).point for p in scene.line.segments() for i in range(21)])
    words = word_boxes(drawing, ("number", "name"))
    drawn = [shapely.affinity.affine_transform(g, to_sheet) for g in (ground, line)]
    assert [w for w, area in words if area.intersection(drawn[0]).area > 0.1] == []
    assert [w for w, area in words if area.intersection(drawn[1]).length > 0.3] == []


def test_the_plan_for_competitors_shows_no_line(judged):
    verdict = judged("saltmarsh")
    assert plan_of(verdict).find("path", "run")
    without = plan_of(verdict, line=False)
    assert not without.find("path", "run")
    assert "line, class" not in without.words()


def test_the_line_is_that_of_the_class_asked_for(judged):
    verdict = judged("saltmarsh")
    tracks = {h: str(plan_of(verdict, height=h).find("path", "run")) for h in verdict.scenes}
    assert len(set(tracks.values())) == len(tracks)
    assert "line, class small" in plan_of(verdict, height="small").words()


def test_printed_by_a_browser_it_is_one_page_of_that_size_at_the_scale_it_names(judged, tmp_path):
    """1:200 on A4: the edge of a ring of 30 m by 40 m is 150 mm by 200 mm on the paper."""
    pdf = printed(render(judged("saltmarsh"), PaperOptions(line=False)), tmp_path)
    assert page_count(pdf) == 1
    dots = 10
    (picture,) = pictures(pdf, dots)
    assert picture.shape == (pytest.approx(2970, abs=2), pytest.approx(2100, abs=2))
    ink = picture < 128
    upright = strokes(ink.sum(axis=0) > 1000)  # columns with 100 mm of ink: only the sides of the ring
    across = strokes(ink[:2300].sum(axis=1) > 1000)  # above the title block
    assert (upright[-1] - upright[0]) / dots == pytest.approx(150.0, abs=0.2)
    assert (across[-1] - across[0]) / dots == pytest.approx(200.0, abs=0.2)


def strokes(inked):
    """The middle of every run of neighbouring rows or columns."""
    where = np.flatnonzero(inked)
    return [run.mean() for run in np.split(where, np.flatnonzero(np.diff(where) > 1) + 1)]


def test_every_sample_is_one_page_when_printed(hostile, judged, tmp_path):
    for i, verdict in enumerate((hostile, judged("granary"))):
        folder = tmp_path / str(i)
        folder.mkdir()
        assert page_count(printed(render(verdict, PaperOptions(paper="letter")), folder)) == 1


def test_a_hostile_title_stays_a_title(hostile):
    page = render(hostile, PaperOptions())
    assert "<script" not in page
    assert "\u202e" not in page
    assert len(parse(page[page.index("<h1") : page.index("</h1>") + 5]).text) <= 80


def test_the_same_plan_gives_the_same_bytes(judged):
    one, two = (render(judged("granary"), PaperOptions()) for _ in range(2))
    assert one == two


@pytest.mark.parametrize("seed", range(8))
def test_in_a_crowded_ring_no_word_stands_on_another_or_on_an_obstacle(seed):
    scene = crowded_scene(seed)
    drawing = parse(draw_plan(scene, title="x", look=Look(named=True)))
    words = word_boxes(drawing)
    assert [(a, b) for (a, one), (b, two) in combinations(words, 2) if one.intersection(two).area > 0.01] == []
    (edge,) = drawing.find("polygon", "edge")
    mm = shapely.Polygon(corners(edge)).length / scene.ring.length
    ground = shapely.union_all([s.footprint for s in scene.shapes.values()])
    drawn = shapely.affinity.affine_transform(ground, [mm, 0, 0, -mm, *corners(edge)[0]])
    assert [w for w, area in words if area.intersection(drawn).area > 0.3] == []


def test_the_edition_is_never_cut_off_for_a_long_title(judged):
    verdict = judged("saltmarsh")
    book = replace(verdict.rulebook, title="Rules of a body with a name " * 5, edition="2010 to 2016")
    assert "…, edition 2010 to 2016" in words_of(render(replace(verdict, rulebook=book), PaperOptions()))

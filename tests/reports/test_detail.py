"""The place of a finding at a larger scale: what is drawn is true to the ground and to the figures."""

import math
import re
from dataclasses import replace

import pytest
from gorse import make_course, make_finding, make_verdict
from pages import Page

from coursecheck.checking import check
from coursecheck.measures.model import Witness
from coursecheck.plans import load_plan
from coursecheck.reports.detail import SIZE_MM, draw_detail
from coursecheck.reports.grouping import entries_of
from coursecheck.reports.html import render_html
from coursecheck.reports.strip import draw_strip
from coursecheck.resources import sample

RUN_OUT = {"passes": (1,), "obstacles": ("a",), "witness": Witness("segment", ((5.0, 5.0), (5.0, 0.62)))}
RUN_OUT |= {"measured": 4.38, "min": 5.0, "margin": -0.62, "metric": "ring"}


def detail(course=None, **changes):
    """The drawing of a finding on the plan of Gorse Hill, parsed."""
    scene = make_verdict(course).scenes["large"]
    return Page(draw_detail(scene, make_finding(**changes), 1, "what it is"))


def scale_of(page):
    (words,) = [e.text for e in page.find("text", "scale")]
    return int(words.removeprefix("1 : "))


def length_mm(line):
    x1, y1, x2, y2 = (float(line.attrs[key]) for key in ("x1", "y1", "x2", "y2"))
    return math.dist((x1, y1), (x2, y2))


def test_what_has_no_length_but_float_noise_gets_no_dimension_line():
    touching = Witness("segment", ((5.0, 5.0), (5.0, 5.0 + 1e-15)))
    page = detail(**{**RUN_OUT, "measured": 0.0, "margin": -5.0, "witness": touching})
    assert not page.find("line", "needed")[1:]  # the sample below the drawing alone
    assert not page.find("path", "helper")


def test_measured_and_asked_stand_beside_a_straight_as_dimension_lines_to_scale():
    page = detail(**RUN_OUT)
    mm = 1000 / scale_of(page)
    assert length_mm(page.find("line", "measured")[0]) == pytest.approx(4.38 * mm, abs=0.01)
    assert length_mm(page.find("line", "needed")[0]) == pytest.approx(5.0 * mm, abs=0.01)
    words = [e.text for e in page.find("text")]
    assert words.count("4.38") == words.count("5.00") == 1
    assert "measured 4.38 m" in words


@pytest.mark.parametrize("points", [((5.0, 5.0), (6.0, 8.0), (5.0, 10.7)), ((5.0, 5.0), (5.0, 12.0))])
def test_a_length_along_a_curve_or_beyond_what_was_measured_is_drawn_out_straight_below(points):
    page = detail(witness=Witness("path", points), measured=4.62, min=5.0)
    mm = 1000 / scale_of(page)
    (measured,), (needed,) = page.find("line", "measured"), page.find("line", "needed")
    assert length_mm(measured) == pytest.approx(4.62 * mm, abs=0.01)
    assert length_mm(needed) == pytest.approx(5.0 * mm, abs=0.01)


def test_the_scale_is_larger_than_that_of_the_plan_and_the_drawing_fits():
    page = detail(**RUN_OUT)
    (svg,) = page.find("svg")
    _, _, width, height = map(float, svg.attrs["viewbox"].split())
    assert scale_of(page) < 200
    assert width <= SIZE_MM[0] + 2
    assert height <= SIZE_MM[1] + 12
    assert float(svg.attrs["width"].removesuffix("mm")) == width


def test_an_angle_shows_the_directions_that_are_allowed():
    witness = Witness("segment", ((20.0, 28.0), (25.5, 23.5)))
    page = detail(
        witness=witness, unit="deg", measured=50.0, min=None, max=45.0, passes=(5, 6), obstacles=("walk", "d"),
        expected="at most 45°",
    )  # fmt: skip
    assert len(page.find("line", "needed")) == 3  # both bounds and the sample beside the words
    assert "measured 50.0°" in page.root.words()


def test_lengths_are_in_the_units_of_the_plan():
    page = detail(make_course(units="ft"), **RUN_OUT, expected="at least 16.40 ft")
    assert "measured 14.37 ft" in page.root.words()
    assert "14.37" in [e.text for e in page.find("text", "measured-words")]


def test_every_word_stands_on_the_drawing():
    verdict = check(*load_plan(sample("draft-with-faults")))
    drawn = 0
    for entry in entries_of(verdict):
        finding = entry.worst
        if finding.witness is None or not entry.has_place:
            continue
        drawn += 1
        page = Page(draw_detail(verdict.scenes[finding.height or "large"], finding, entry.number, ""))
        (svg,) = page.find("svg")
        _, _, width, height = map(float, svg.attrs["viewbox"].split())
        for text in page.find("text"):
            x, y = float(text.attrs["x"]), float(text.attrs["y"])
            reach = 1.55 * len(text.text) if "from-left" in text.attrs["class"] else 0.75 * len(text.text)
            assert x >= 0, text.text
            assert x + reach <= width, text.text
            assert 0 <= y <= height, text.text
    assert drawn == 9


def test_the_report_has_a_detail_for_every_finding_that_has_a_place():
    verdict = check(*load_plan(sample("draft-with-faults")))
    page = Page(render_html(verdict))
    ids = page.by_id()
    for entry in entries_of(verdict):
        drawings = [e for e in ids[f"finding-{entry.number}"].all() if e.tag == "svg"]
        assert len(drawings) == (entry.has_place and entry.worst.witness is not None)


def test_a_finding_without_a_witness_cannot_be_drawn():
    with pytest.raises(ValueError, match="no place"):
        detail(witness=None)


def test_hostile_words_stay_words():
    page = detail(expected="<script>", **RUN_OUT)
    assert page.find("script") == []


# --- the strip


@pytest.fixture(scope="module")
def run():
    return check(*load_plan(sample("saltmarsh"))).scenes["large"]


def test_the_strip_shows_every_pass_and_the_highest_speed_where_the_profile_has_it(run):
    page = Page(draw_strip(run, "large"))
    assert [e.text for e in page.find("text", "number")] == [str(i) for i in range(1, 21)]
    (curve,) = page.find("path", "speed")
    points = [tuple(map(float, pair.split())) for pair in re.split("[ML]", curve.attrs["d"])[1:]]
    left, top = min(points, key=lambda point: point[1])
    fastest, _ = run.profile.extremes()
    share = run.profile.distance_m[fastest] / run.profile.distance_m[-1]
    assert (left - points[0][0]) / (points[-1][0] - points[0][0]) == pytest.approx(share, abs=0.01)
    assert top < points[0][1]


def test_the_strip_turns_to_the_side_that_the_line_turns_to(run):
    page = Page(draw_strip(run, "large"))
    (axis, *_) = page.find("line", "axis")
    middle = float(axis.attrs["y1"])
    blocks = [[float(p.split(",")[1]) for p in e.attrs["points"].split()] for e in page.find("polygon", "turn")]
    arcs = [piece for piece in run.line.segments() if piece.curvature]
    assert [min(ys) < middle for ys in blocks] == [piece.curvature > 0 for piece in arcs]
    assert all(abs(max(ys, key=lambda y: abs(y - middle)) - middle) <= 9.0 for ys in blocks)


def test_without_a_pace_there_is_no_strip(run):
    assert draw_strip(replace(run, pace=None), "large") is None

import math
import re
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sheets import drawings, page_count, parse, pictures, printed, word_boxes

from coursecheck.checking import check
from coursecheck.papers import PaperOptions
from coursecheck.papers.baselines import Baseline
from coursecheck.papers.rounding import STEP_M, effects, rounded_course
from coursecheck.papers.setting_out import BUILD_ORDER, render, setting_out_baseline
from coursecheck.units import FOOT_M
from coursecheck.verdict.model import Wording

TAPE_M = 0.005  # a tape is printed to the centimetre


def table(page):
    """The printed list: obstacle, along, off, and the tapes to its points."""
    (source,) = re.findall(r'<table class="build">.*?</table>', page, re.DOTALL)
    rows = []
    for body in parse(source.replace("<br>", "<br/>")).find("tbody"):
        cells = [[cell.words().strip() for cell in row.inside] for row in body.find("tr")]
        first = cells[0]
        tapes = {row[-3]: (float(row[-2]), float(row[-1])) for row in cells}
        rows.append((body.find("b")[0].text, float(first[4]), float(first[5]), tapes))
    return rows


def found_by_tapes(baseline, p, q):
    """The point to the left of the base line that lies p from P and q from Q: the cosine rule."""
    along = (p * p - q * q + baseline.length_m**2) / (2 * baseline.length_m)
    return baseline.place(along, math.sqrt(max(0.0, p * p - along * along)))


def largest(verdict):
    return list(verdict.scenes.values())[-1]


def test_the_printed_tapes_find_every_point_of_the_plan_within_the_rounding(verdict):
    scene = largest(verdict)
    baseline = setting_out_baseline(scene)
    rows = table(render(verdict, PaperOptions()))
    assert {name for name, *_ in rows} == set(scene.shapes)
    for name, _, _, tapes in rows:
        marks = dict(scene.shapes[name].marks)
        assert set(tapes) == set(marks)
        for words, (p, q) in tapes.items():
            error = 2 * TAPE_M / math.sin(math.radians(baseline.cross_deg(marks[words])))
            reach = STEP_M["m"] / math.sqrt(2) + error
            assert math.dist(found_by_tapes(baseline, p, q), marks[words]) <= reach


def test_along_and_off_are_round_and_find_every_obstacle_within_half_a_step(verdict):
    scene = largest(verdict)
    baseline = setting_out_baseline(scene)
    for name, along, off, _ in table(render(verdict, PaperOptions())):
        assert {round(value * 20, 6) % 1 for value in (along, off)} == {0.0}
        exact = baseline.locate(scene.shapes[name].obstacle.at)
        assert max(abs(along - exact[0]), abs(off - exact[1])) <= 0.025 + 1e-9


def test_what_is_heavy_is_built_first_and_each_kind_in_the_order_of_running(judged):
    scene = largest(judged("saltmarsh"))
    built = [name for name, *_ in table(render(judged("saltmarsh"), PaperOptions()))]
    kinds = [scene.shapes[name].kind.name for name in built]
    assert kinds == sorted(kinds, key=BUILD_ORDER.index)
    jumps = [min(scene.numbers(name)) for name in built if scene.shapes[name].kind.name == "jump"]
    assert jumps == sorted(jumps)


def test_sizes_that_change_between_classes_are_listed_for_each_of_them(judged):
    page = render(judged("saltmarsh"), PaperOptions())
    scenes = judged("saltmarsh").scenes
    for name in ("c", "j"):  # the spread and the long jump
        (row,) = re.findall(rf'<tr><th scope="row">{name} \(.*?</tr>', page)
        assert re.findall(r"<td>(.*?)</td>", row) == [
            f"{s.shapes[name].sizes['depth']:.2f}\u00a0m" for s in scenes.values()
        ]
    (bars,) = re.findall(r'<tr><th scope="row">bars of jumps.*?</tr>', page)
    assert bars.count("cm</td>") == len(scenes)


def test_no_word_of_the_diagram_stands_on_another(verdict):
    (drawing,) = drawings(render(verdict, PaperOptions()))
    words = word_boxes(drawing)
    clashes = [(a, b) for (a, one), (b, two) in combinations(words, 2) if one.intersection(two).area > 0.01]
    assert clashes == []
    assert {"P", "Q"} <= {word for word, _ in words}


# --- the effect of rounding


def unround(verdict):
    """The verdict of a plan whose first obstacle stands 13 mm beside the round figures."""
    first, *others = verdict.course.obstacles
    moved = replace(first, at=(first.at[0] + 0.013, first.at[1]))
    course = replace(verdict.course, obstacles=(moved, *others))
    scenes = {height: replace(scene, course=course) for height, scene in verdict.scenes.items()}
    return replace(verdict, course=course, scenes=scenes)


def test_the_rounded_plan_is_what_is_judged_again(judged):
    verdict = unround(judged("granary"))
    seen = []

    def rejudge(course):
        seen.append(course)
        return verdict

    page = render(verdict, PaperOptions(rejudge=rejudge))
    baseline = setting_out_baseline(largest(verdict))
    assert seen == [rounded_course(verdict.course, baseline, STEP_M["m"])]
    assert "Every limit keeps its outcome" in page
    assert "was not checked" in render(verdict, PaperOptions())


def test_a_plan_that_stands_at_round_figures_is_not_judged_again(judged):
    verdict = judged("granary")
    page = render(verdict, PaperOptions(rejudge=lambda _: pytest.fail("judged again")))
    assert "Every limit keeps its outcome" in page
    assert "The course length changes by less than 0.01" in page


def test_a_limit_that_rounding_breaks_is_named_with_both_outcomes(judged):
    verdict = unround(judged("granary"))
    good = next(f for f in verdict.findings if f.outcome == "met" and f.passes)
    worse = good._replace(outcome="breach", words=Wording(good.title, good.expected, "too near"))
    after = replace(verdict, findings=tuple(worse if f is good else f for f in verdict.findings))
    assert [(e.before, e.after) for e in effects(verdict, after)] == [("met", worse)]
    assert list(effects(after, verdict)) == []
    page = render(verdict, PaperOptions(rejudge=lambda _: after))
    assert "met as drawn, breach as rounded" in page
    assert "too near" in page


def test_rounding_a_real_plan_by_a_lot_is_found_out(judged):
    """To whole metres the courses do not stay what they were."""
    verdict = judged("saltmarsh")
    course = rounded_course(verdict.course, setting_out_baseline(largest(verdict)), 2.0)
    assert list(effects(verdict, check(course, verdict.rulebook)))


@given(x=st.floats(0, 40), y=st.floats(0, 30))
def test_a_plan_that_is_round_already_stays_as_it_is(x, y):
    from coursecheck.course.model import Course, Obstacle, Ring

    ring = Ring(((0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)))
    course = Course("t", "r", "agility", "1", ring, (Obstacle("a", "jump", (x, y), 30.0),), ())
    baseline = Baseline((40.0, 30.0), (0.0, 30.0))
    once = rounded_course(course, baseline, 0.05)
    assert rounded_course(once, baseline, 0.05) == once


def test_a_plan_in_feet_is_set_out_in_tenths_of_a_foot(judged):
    verdict = judged("meadow")
    course = replace(verdict.course, units="ft")
    scenes = {height: replace(scene, course=course) for height, scene in verdict.scenes.items()}
    page = render(replace(verdict, course=course, scenes=scenes), PaperOptions())
    baseline = setting_out_baseline(largest(verdict))
    for name, along, off, _ in table(page):
        assert {round(value * 10, 6) % 1 for value in (along, off)} == {0.0}
        exact = baseline.locate(largest(verdict).shapes[name].obstacle.at)
        assert (along * FOOT_M, off * FOOT_M) == pytest.approx(exact, abs=0.05 * FOOT_M + 1e-9)


# --- the pages


def test_printed_by_a_browser_no_page_is_blank_and_the_diagram_keeps_its_scale(judged, tmp_path):
    pdf = printed(render(judged("saltmarsh"), PaperOptions()), tmp_path)
    assert page_count(pdf) <= 4
    pages = pictures(pdf, 10)
    assert all((page < 128).mean() > 0.003 for page in pages)
    assert max(map(longest_run, pages[-1] < 128)) / 10 == pytest.approx(150.0, abs=0.5)  # 30 m at 1:200


def longest_run(inked):
    """The most neighbouring dots of a row that have ink."""
    ends = np.flatnonzero(np.diff(np.concatenate(([0], inked.astype(int), [0]))))
    return max(np.diff(ends)[::2], default=0)


def test_hostile_names_stay_names(hostile):
    page = render(hostile, PaperOptions())
    assert "<script" not in page
    assert "\u202e" not in page
    table(page)


def test_the_same_plan_gives_the_same_bytes(judged):
    one, two = (render(judged("granary"), PaperOptions(rejudge=lambda _: judged("granary"))) for _ in range(2))
    assert one == two

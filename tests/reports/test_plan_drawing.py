import math
import re

import pytest
from gorse import make_course, make_verdict
from hypothesis import given
from hypothesis import strategies as st
from pages import Page
from shapely import Point, box
from shapely.affinity import affine_transform

from coursecheck.course.model import Course, Obstacle, Pass, Ring
from coursecheck.equipment import KINDS, build_shapes
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.measures.model import Witness
from coursecheck.measures.scene import Scene
from coursecheck.path.line import Line
from coursecheck.path.runner import Runner
from coursecheck.reports.drawing import Mark, draw_plan
from coursecheck.reports.svg import SCALES, Sheet, track

NUMBER_MM, FLAG_FIGURE_MM, NAME_MM = 3.5, 2.9, 2.4
LETTER = 0.56  # of the height: the width of a figure in the sans-serif faces that the drawing asks for


@pytest.fixture(scope="module")
def scene(verdict):
    return verdict.scenes["large"]


@pytest.fixture(scope="module")
def marks(verdict):
    witnesses = [f.witness for f in verdict.findings if f.witness is not None]
    placed = [Mark(i, "breach", "words", witness) for i, witness in enumerate(witnesses, 1)]
    return [*placed, Mark(len(placed) + 1, "close", "all of it", None)]


@pytest.fixture(scope="module")
def drawing(scene, marks):
    return Page(draw_plan(scene, marks, title="Plan", linked=True))


def ground_to_sheet(drawing, scene):
    """The plan's place on the sheet, read back from the drawn edge: (millimetres per metre, dx, dy)."""
    (edge,) = drawing.find("polygon", "edge")
    corners = [tuple(map(float, pair.split(","))) for pair in edge.attrs["points"].split()]
    (x0, y0), (x1, _) = corners[0], corners[1]
    (gx0, gy0), (gx1, _) = scene.course.ring.outline[:2]
    mm = (x1 - x0) / (gx1 - gx0)
    return mm, x0 - gx0 * mm, y0 + gy0 * mm


def boxes(drawing):
    """The box of every pass number, flag figure and name, with its words."""
    found = []
    for class_, height in (("number", NUMBER_MM), ("flag-number", FLAG_FIGURE_MM), ("name", NAME_MM)):
        for element in drawing.find("text", class_):
            if "from-left" in element.attrs["class"]:
                continue  # the key and the row above the plan have a fixed place of their own
            x, y = float(element.attrs["x"]), float(element.attrs["y"])
            half_w, half_h = LETTER * height * len(element.text) / 2, 0.36 * height
            if "transform" in element.attrs:
                half_w, half_h = half_h, half_w
            found.append((element.text, box(x - half_w, y - half_h, x + half_w, y + half_h)))
    return found


def test_no_words_stand_on_other_words(drawing):
    placed = boxes(drawing)
    clashes = [(a, b) for i, (a, one) in enumerate(placed) for b, two in placed[i + 1 :] if one.intersects(two)]
    assert clashes == []


def test_no_number_or_flag_stands_on_an_obstacle(drawing, scene):
    mm, dx, dy = ground_to_sheet(drawing, scene)
    ground = [affine_transform(s.footprint, [mm, 0, 0, -mm, dx, dy]) for s in scene.shapes.values()]
    on_ground = [w for w, area in boxes(drawing) for body in ground if area.intersection(body).area > 0.1]
    assert on_ground == []


def test_every_pass_has_its_number_on_the_approach_side(drawing, scene):
    mm, dx, dy = ground_to_sheet(drawing, scene)
    at = {e.text: (float(e.attrs["x"]), float(e.attrs["y"])) for e in drawing.find("text", "number")}
    assert set(at) == {str(run.number) for run in scene.passes}
    for run in scene.passes:
        entry = scene.way(run).entry
        x, y = at[str(run.number)]
        ground = ((x - dx) / mm, (dy - y) / mm)
        along, _ = entry.frame.locate(ground)
        assert math.dist(ground, entry.centre) < 3.5
        if scene.way(run).form != "stop":
            assert along < 0


def test_an_obstacle_taken_twice_the_same_way_shows_both_numbers():
    course = make_course(passes=(Pass(1, "a"), Pass(2, "b"), Pass(3, "a")))
    page = Page(draw_plan(make_verdict(course, findings=()).scenes["large"], title="x"))
    assert {e.text for e in page.find("text", "number")} == {"1, 3", "2"}


def test_obstacles_are_groups_named_by_their_id_with_words(drawing, scene):
    ids = drawing.by_id()
    for name, shape in scene.shapes.items():
        words = ids[f"obstacle-{name}"].words()
        assert words.startswith(f"{name}: {shape.kind.title}, ")
    assert "not in the sequence" in ids["obstacle-loose"].words()


def test_obstacles_are_drawn_at_their_real_size(drawing, scene):
    mm, dx, dy = ground_to_sheet(drawing, scene)
    assert 1000 / mm in SCALES
    ids = drawing.by_id()
    for name, shape in scene.shapes.items():
        reach = affine_transform(shape.footprint, [mm, 0, 0, -mm, dx, dy]).buffer(1.4)
        for element in ids[f"obstacle-{name}"].all():
            for x, y in re.findall(r"(-?[\d.]+)[ ,](-?[\d.]+)", element.attrs.get("points", "")):
                assert reach.covers(Point(float(x), float(y)))


def test_every_mark_has_one_flag_that_links_to_its_finding(drawing, marks):
    ids = drawing.by_id()
    for mark in marks:
        flag = ids[f"mark-{mark.number}"]
        assert flag.attrs["href"] == f"#finding-{mark.number}"
        assert mark.words in flag.attrs["aria-label"]
        assert str(mark.number) in flag.words()


def test_outcomes_differ_in_shape_and_in_words_and_not_in_colour_alone(scene):
    witness = Witness("point", ((15.0, 15.0),))
    outcomes = ("breach", "close", "unmeasurable")
    page = Page(draw_plan(scene, [Mark(i, o, "w", witness) for i, o in enumerate(outcomes, 1)], title="x"))
    key = page.find("g", "key")[0].words()
    assert all(words in key for words in ("breach", "close", "not measurable"))
    corners = {o: len(page.find("g", o)[0].inside[0].attrs["points"].split()) for o in outcomes}
    assert corners["breach"] == 5
    assert corners["close"] == 4
    assert "unmeasurable .cloth { stroke-dasharray" in page.source


def test_a_line_that_no_dog_can_run_is_drawn_apart(drawing):
    (key,) = drawing.find("g", "key") or [drawing]
    assert len(drawing.find("path", "no-line")) == 2  # the leg, and the key
    assert "no clear way" in key.words()


def test_it_has_a_title_a_description_and_names_nothing_outside(drawing):
    svg = drawing.find("svg")[0]
    assert [e.words() for e in svg.inside[:1]] == ["Plan"]
    assert "1 jump a, 2 spread b" in svg.inside[1].words()
    assert "http" not in drawing.source.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert "@import" not in drawing.source


def test_a_plan_without_a_sequence_is_drawn():
    course = make_course(passes=())
    scene = Scene(course, build_shapes(course), Line(Runner(1.0, 1.0, 1.0), (), ()))
    page = Page(draw_plan(scene, title="x"))
    assert page.find("text", "number") == []
    assert "No obstacle has a number yet" in page.source


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_kind_of_obstacle_has_a_drawing(kind):
    square = Ring(((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)))
    course = Course("t", "r", "agility", "1", square, (Obstacle("it", kind, (10.0, 10.0), 30.0),), ())
    scene = Scene(course, build_shapes(course), Line(Runner(1.0, 1.0, 1.0), (), ()))
    group = Page(draw_plan(scene, title="x")).by_id()["obstacle-it"]
    assert len(group.inside) > 2


def test_feet_in_the_file_are_feet_on_the_grid():
    course = make_course(units="ft")
    page = Page(draw_plan(make_verdict(course, findings=()).scenes["large"], title="x"))
    figures = [e.text for e in page.find("text", "figure")]
    assert "90" in figures
    assert "20 ft" in figures


@given(
    turn=st.floats(-12.0, 12.0).filter(lambda t: abs(t) > 1e-3),
    radius=st.floats(0.3, 5.0),
    heading=st.floats(-3.0, 3.0),
)
def test_arcs_are_drawn_by_their_own_radius_to_their_exact_end(turn, radius, heading):
    arc = Segment(Pose(3.0, 4.0, heading), abs(turn) * radius, math.copysign(1 / radius, turn))
    sheet = Sheet(200, 0.0, 40.0)
    (element,) = Page(track([arc], sheet, "run")).find("path")
    commands = re.findall(r"A([\d.]+) [\d.]+ 0 0 ([01]) (-?[\d.]+) (-?[\d.]+)", element.attrs["d"])
    assert len(commands) == max(1, math.ceil(abs(arc.turn_rad) / 3.0))  # of the arc: its turn may be one bit off
    assert [float(command[0]) for command in commands] == pytest.approx([radius * 5] * len(commands), abs=1e-3)
    assert {command[1] for command in commands} == {"0" if turn > 0 else "1"}
    assert tuple(map(float, commands[-1][2:])) == pytest.approx(sheet.at(arc.end.point), abs=1e-3)


def test_the_same_input_gives_the_same_bytes(marks):
    one, two = (draw_plan(make_verdict().scenes["large"], marks, title="x") for _ in range(2))
    assert one == two

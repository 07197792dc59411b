"""A course is written back with everything kept that did not change, and reads back as it was."""

from __future__ import annotations

import difflib
from dataclasses import replace

import pytest
from course_texts import GOOD
from hypothesis import given, settings
from hypothesis import strategies as st

from coursecheck.course.model import Blocked, Course, Neighbour, Obstacle, Pass, Ring, Stock
from coursecheck.course.reading import parse_course
from coursecheck.course.writing import render_course
from coursecheck.equipment import KINDS
from coursecheck.errors import CourseError
from coursecheck.units import FOOT_M

PLAN = parse_course(GOOD, "x", KINDS)
BELOW = "outline = [[25.0, 35.0], [28.0, 35.0], [28.0, 38.0]]\n"


def model(course: Course) -> Course:
    return replace(course, origin=None)


def changed(course: Course, text: str = GOOD) -> tuple[list[str], list[str]]:
    """The lines that went and the lines that came when a course was written into a text."""
    written = render_course(course, KINDS, text)
    assert model(parse_course(written, "x", KINDS)) == model(course)
    lines = [line for line in difflib.ndiff(text.splitlines(), written.splitlines()) if line[2:].strip()]
    return [line[2:] for line in lines if line[0] == "-"], [line[2:] for line in lines if line[0] == "+"]


def with_obstacle(place: int, **changes: object) -> Course:
    obstacles = list(PLAN.obstacles)
    obstacles[place] = replace(obstacles[place], **changes)
    return replace(PLAN, obstacles=tuple(obstacles))


def with_ring(**changes: object) -> Course:
    return replace(PLAN, ring=replace(PLAN.ring, **changes))


CHANGES = [
    (replace(PLAN, title="New"), ['title = "Saltmarsh Spring Show, ring 2"'], ['title = "New"']),
    (replace(PLAN, rulebook="r"), ['rulebook = "club-show"     # the rules'], ['rulebook = "r"     # the rules']),
    (replace(PLAN, heights=()), ['heights = ["small", "large"]'], []),
    (replace(PLAN, heights=("small",)), ['heights = ["small", "large"]'], ['heights = ["small"]']),
    (replace(PLAN, speed_mps=None), ["speed_mps = 3.80"], []),
    (replace(PLAN, finish_line_m=2.5), ["finish_line = 2   # room to stop"], ["finish_line = 2.5   # room to stop"]),
    (replace(PLAN, finish_line_m=0.0), ["finish_line = 2   # room to stop"], []),
    (with_obstacle(0, at=(6.0, 9.0)), ["at = [6.0, 8.0]"], ["at = [6.0, 9.0]"]),
    (with_obstacle(1, bearing_deg=180.0), ["bearing = -90"], ["bearing = 180"]),
    (with_obstacle(0, sizes={"bar": 1.3}), ["wing = 0.50   # narrow wings"], []),
    (with_obstacle(1, sizes={"bar": 1.25}), [], ["bar = 1.25"]),
    (with_obstacle(3, sizes={"poles": 6.0}), ["poles = 12"], ["poles = 6"]),
    (with_ring(indoor=True), [], ["indoor = true"]),
    (with_ring(solid=frozenset({0})), ['solid = ["top", "left"]'], ['solid = ["bottom"]']),
    (with_ring(exit=None), ["exit = [[30.0, 2.0], [30.0, 4.0]]"], []),
    (with_ring(blocked=()), ["[[ring.blocked]]", 'name = "pillar"', "centre = [15.0, 20.0]", "radius = 0.4"], None),
    (replace(PLAN, store={"jump": Stock(17), "tunnel": Stock(3, (5.0, 5.0, 4.0))}), ["jump = 16"], ["jump = 17"]),
    (replace(PLAN, passes=PLAN.passes[:3]), ['  "W-1_x",'], []),
    (replace(PLAN, passes=(*PLAN.passes, Pass(5, "a"))), [], ['  "a",']),
    (
        replace(PLAN, passes=(PLAN.passes[0], Pass(2, "b", turn="right"), *PLAN.passes[2:])),
        ['  "b left",'],
        ['  "b right",'],
    ),
]


@pytest.mark.parametrize(("course", "gone", "come"), CHANGES)
def test_only_what_changed_is_written_anew(course, gone, come):
    went, came = changed(course)
    if come is None:
        assert set(gone) <= set(went)
        assert not came
    else:
        assert (went, came) == (gone, come)


def test_a_removed_obstacle_takes_its_own_remark_with_it_and_no_other():
    went, _ = changed(replace(PLAN, obstacles=PLAN.obstacles[:1] + PLAN.obstacles[2:], passes=()))
    assert "# to the left of it" in went
    assert "# the first one" not in went
    written = render_course(replace(PLAN, obstacles=PLAN.obstacles[1:], passes=()), KINDS, GOOD)
    assert "# the first one" not in written
    assert '# to the left of it\n[[obstacle]]\nid = "b"' in written


def test_a_remark_that_stands_apart_survives_the_obstacle_below_it():
    text = GOOD.replace("# to the left of it\n", "# --- the far side ---\n\n# to the left of it\n")
    written = render_course(replace(PLAN, obstacles=(PLAN.obstacles[0], *PLAN.obstacles[2:]), passes=()), KINDS, text)
    assert "# --- the far side ---" in written
    assert "# to the left of it" not in written


def test_a_new_obstacle_stands_where_the_model_has_it():
    new = Obstacle("n", "tyre", (1.5, 2.0), 45.5, {"aperture": 0.6})
    went, came = changed(replace(PLAN, obstacles=(*PLAN.obstacles[:1], new, *PLAN.obstacles[1:])))
    assert not went
    assert came == [
        "[[obstacle]]",
        'id = "n"',
        'kind = "tyre"',
        "at = [1.5, 2.0]",
        "bearing = 45.5",
        "aperture = 0.6",
    ]


def test_obstacles_take_their_remarks_along_when_their_order_changes():
    written = render_course(replace(PLAN, obstacles=PLAN.obstacles[::-1]), KINDS, GOOD)
    assert '# the first one\n[[obstacle]]\nid = "a"' in written
    assert '# to the left of it\n[[obstacle]]\nid = "b"' in written


def test_a_ring_that_is_no_rectangle_any_more_gets_an_outline():
    went, came = changed(with_ring(outline=((0.0, 0.0), (30.0, 0.0), (32.0, 40.0), (0.0, 40.0)), exit=None))
    assert "size = [30.0, 40]   # x, y" in went
    assert "outline = [[0.0, 0.0], [30.0, 0.0], [32.0, 40.0], [0.0, 40.0]]" in came
    assert "solid = [2, 3]" in came


def test_an_outline_stays_one_and_its_walls_keep_to_their_sides():
    clockwise = "outline = [[0, 0], [0, 40], [30, 40], [30, 0]]  # clockwise"
    text = GOOD.replace("size = [30.0, 40]   # x, y", clockwise).replace('["top", "left"]', "[0, 1]")
    before = parse_course(text, "x", KINDS)
    assert changed(replace(before, title="New"), text)[1] == ['title = "New"']
    moved = replace(before, ring=replace(before.ring, solid=frozenset({0})))
    written = render_course(moved, KINDS, text)
    assert model(parse_course(written, "x", KINDS)) == model(moved)
    assert "# clockwise" in written


def test_a_course_may_lose_everything_and_get_it_back():
    empty = replace(PLAN, obstacles=(), passes=(), store=None, ring=replace(PLAN.ring, blocked=()))
    written = render_course(empty, KINDS, GOOD)
    assert model(parse_course(written, "x", KINDS)) == model(empty)
    again = render_course(PLAN, KINDS, written)
    assert model(parse_course(again, "x", KINDS)) == model(PLAN)


LAYOUTS = {
    "inline": GOOD.replace(
        "jump = 16\ntunnel = { count = 3, lengths = [5.0, 5.0, 4.0] }",
        "jump = { count = 16 } # many\ntunnel.count = 3\ntunnel.lengths = [5, 5, 4]",
    ),
    "windows": GOOD.replace("\n", "\r\n"),
    "marked": "\ufeff" + GOOD,
    "no last newline": GOOD.rstrip("\n"),
    "rows": """\
course = { title = "t", rulebook = "r", discipline = "d", grade = "1" } # all in one
format = 1
# the ring
ring.size = [10, 20]  # small
ring.indoor = true
obstacle = [
  { id = "a", kind = "jump", at = [1, 1], bearing = 0 }, # one
  { id = "b", kind = "jump", at = [1, 6], bearing = 0 },
]
""",
    "out of order": """\
[sequence]
run = ["a"] # only one
[[obstacle]]
id = "a"
kind = "jump"
at = [1, 1]
bearing = 0
# end of a
[ring]
size = [10, 20]
[store]
# nothing yet
[course]
title = "t"
grade = "1"
rulebook = "r"
discipline = "d"
[[ring.blocked]]
name = "p"
centre = [3, 3]
radius = 1
[top]
""".replace("[top]\n", "").replace("[sequence]", "format = 1\n[sequence]", 1),
}


@pytest.mark.parametrize("text", LAYOUTS.values(), ids=LAYOUTS.keys())
def test_any_layout_is_kept_byte_for_byte_where_nothing_changed(text):
    assert render_course(parse_course(text, "x", KINDS), KINDS, text) == text


@pytest.mark.parametrize("text", LAYOUTS.values(), ids=LAYOUTS.keys())
def test_any_layout_takes_changes_and_keeps_its_remarks(text):
    before = parse_course(text, "x", KINDS)
    first = replace(before.obstacles[0], at=(2.5, 3.5), sizes={**before.obstacles[0].sizes, "bar": 1.25})
    course = replace(
        before,
        speed_mps=3.25,
        obstacles=(first, *before.obstacles[1:], Obstacle("new", "table", (4.0, 4.0), 0.0)),
        passes=(*before.passes, Pass(len(before.passes) + 1, "new")),
        ring=replace(before.ring, entrance=((0.0, 0.0), (1.0, 0.0))),
        store={"jump": Stock(3), "wall": Stock(1)},
    )
    written = render_course(course, KINDS, text)
    assert model(parse_course(written, "x", KINDS)) == model(course)
    inline = {"# one", "# many"}  # inside a list or a row that is written anew as a whole
    remarks = {line[line.index("#") :].strip() for line in text.splitlines() if "#" in line} - inline
    assert remarks <= {line[line.index("#") :].strip() for line in written.splitlines() if "#" in line}
    assert ("\r\n" in written) == ("\r\n" in text)
    assert written.count("\n") == written.count("\r\n") or "\r\n" not in written
    assert written.startswith("\ufeff") == text.startswith("\ufeff")


def test_feet_are_written_as_feet(good):
    text = good.replace('units = "m"', 'units = "ft"')
    course = parse_course(text, "x", KINDS)
    moved = replace(course, obstacles=(replace(course.obstacles[0], at=(3.048, 6.1 * 0.3048)), *course.obstacles[1:]))
    written = render_course(moved, KINDS, text)
    assert "at = [10.0, 6.1]\n" in written
    assert model(parse_course(written, "x", KINDS)) == model(moved)


def test_the_dust_of_a_computation_is_not_written():
    course = with_obstacle(0, at=(0.1 + 0.2, 8.00000001), bearing_deg=359.99999999)
    written = render_course(course, KINDS, GOOD)
    assert "at = [0.3, 8.0]\nbearing = 0\n" in written


FIGURES = st.integers(-9_999_999, 9_999_999).map(lambda n: n / 1000)
LENGTHS = st.integers(100, 90_000_000).map(lambda n: n / 10_000)
POINTS = st.tuples(FIGURES, FIGURES)
TEXTS = st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1, max_size=20)
IDS = st.text("abXY09_-", min_size=1, max_size=6)


@st.composite
def obstacles(draw: st.DrawFn) -> Obstacle:
    kind = KINDS[draw(st.sampled_from(sorted(KINDS)))]
    sizes = {}
    for name in draw(st.sets(st.sampled_from(sorted(kind.sizes)))):
        size = kind.sizes[name]
        if size.unit == "count":
            sizes[name] = float(draw(st.integers(1, 100)))
        elif size.unit == "m" and kind.name != "tunnel":
            sizes[name] = draw(LENGTHS)
        elif size.unit == "deg":
            sizes[name] = draw(st.integers(-3590, 3590)) / 10
    if kind.slope is not None:  # a plank that is no longer than it is high is refused, also when it is read as feet
        plank, rise, slopes = kind.slope
        length = FOOT_M * sizes[plank] if plank in sizes else kind.sizes[plank].default
        if length <= slopes * sizes.get(rise, kind.sizes[rise].default):
            sizes = {name: size for name, size in sizes.items() if name not in (plank, rise)}
    return Obstacle(draw(IDS), kind.name, draw(POINTS), draw(st.integers(0, 35_999)) / 100, sizes)


@st.composite
def courses(draw: st.DrawFn) -> Course:
    standing = tuple(draw(st.lists(obstacles(), max_size=5, unique_by=lambda obstacle: obstacle.id)))
    ids = [obstacle.id for obstacle in standing]
    one = st.tuples(st.sampled_from(ids or ["a"]), st.booleans(), st.sampled_from([None, "left", "right"]))
    runs = draw(st.lists(one, max_size=6)) if ids else []
    x, y = draw(LENGTHS), draw(LENGTHS)
    if draw(st.booleans()):
        outline = ((0.0, 0.0), (x, 0.0), (x, y), (0.0, y))
    else:
        outline = ((1.5, 0.0), (round(1.5 + x, 4), 0.0), (1.5, y))
    discs = st.builds(
        lambda name, centre, radius: Blocked(name, centre=centre, radius_m=radius), TEXTS, POINTS, LENGTHS
    )
    stock = st.dictionaries(st.sampled_from(sorted(KINDS)), st.integers(0, 99).map(Stock), max_size=3)
    return Course(
        title=draw(TEXTS),
        rulebook=draw(TEXTS),
        discipline=draw(TEXTS),
        grade=draw(TEXTS),
        heights=tuple(draw(st.lists(TEXTS, max_size=3, unique=True))),
        speed_mps=draw(st.none() | st.integers(1, 2000).map(lambda n: n / 100)),
        ring=Ring(
            outline=outline,
            solid=frozenset(draw(st.sets(st.integers(0, len(outline) - 1)))),
            entrance=draw(st.none() | st.just((outline[0], outline[1]))),
            blocked=tuple(draw(st.lists(discs, max_size=3))),
            beside=tuple(
                draw(st.lists(st.builds(Neighbour, TEXTS, st.just(0.0) | LENGTHS, st.booleans()), max_size=3))
            ),
            indoor=draw(st.booleans()),
        ),
        obstacles=standing,
        passes=tuple(Pass(i, *run) for i, run in enumerate(runs, start=1)),
        start_line_m=draw(st.just(0.0) | LENGTHS),
        store=draw(st.none() | stock),
    )


@settings(max_examples=50)
@given(courses())
def test_a_new_file_reads_back_as_the_model_it_was_written_from(course):
    text = render_course(course, KINDS)
    assert model(parse_course(text, "x", KINDS)) == course
    assert render_course(parse_course(text, "x", KINDS), KINDS, text) == text


@settings(max_examples=25)
@given(courses(), courses())
def test_any_course_can_be_written_into_the_file_of_any_other(course, other):
    for text in (render_course(other, KINDS), GOOD):
        written = render_course(course, KINDS, text)
        assert model(parse_course(written, "x", KINDS)) == course


@settings(max_examples=50)
@given(courses())
def test_feet_read_back_as_they_were(course):
    text = render_course(course, KINDS).replace("[course]\n", '[course]\nunits = "ft"\n')
    in_feet = parse_course(text, "x", KINDS)
    assert model(parse_course(render_course(in_feet, KINDS), "x", KINDS)) == model(in_feet)


@pytest.mark.parametrize(
    "course",
    [
        with_obstacle(0, id="two words"),
        with_obstacle(0, id="b"),
        with_obstacle(0, kind="hoop"),
        with_obstacle(0, sizes={"depth": 1.0}),
        with_obstacle(0, sizes={"bar": float("nan")}),
        with_obstacle(0, at=(float("inf"), 0.0)),
        with_obstacle(0, bearing_deg=float("inf")),
        with_ring(outline=((0.0, 0.0), (1.0, 0.0))),
        replace(PLAN, title="\ud800"),
        replace(PLAN, title="two\nlines"),
        replace(PLAN, units="yd"),
        replace(PLAN, passes=(Pass(1, "nobody"),)),
    ],
)
def test_a_model_that_is_no_course_is_not_written(course):
    with pytest.raises(CourseError):
        render_course(course, KINDS, GOOD)
    with pytest.raises(CourseError):
        render_course(course, KINDS)


@pytest.mark.parametrize("there", ["", "format = 1\n", "no TOML at all", GOOD + "[x]\n"])
def test_a_text_that_is_no_course_is_not_written_into(there):
    with pytest.raises(CourseError):
        render_course(PLAN, KINDS, there)

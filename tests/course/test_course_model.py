"""What a course file becomes: the frozen model, in metres."""

from __future__ import annotations

import hashlib
import math

import pytest

from coursecheck.course.model import Blocked, Course, Neighbour, Obstacle, Pass, Ring, Stock
from coursecheck.course.reading import parse_course, read_course
from coursecheck.equipment import KINDS
from coursecheck.errors import CourseError

BARE = """\
format = 1
[course]
title = "t"
rulebook = "r"
discipline = "d"
grade = "1"
"""


def test_a_whole_file_becomes_the_model(good, read):
    course = read(good)
    assert (course.origin.file, course.origin.sha256) == (
        "x.course.toml",
        hashlib.sha256(good.encode()).hexdigest(),
    )
    assert good.split("\n")[course.origin.lines["obstacle[1].at"] - 1] == "at = [12.0, 8.5]"
    assert course == Course(
        title="Saltmarsh Spring Show, ring 2",
        rulebook="club-show",
        discipline="agility",
        grade="2",
        heights=("small", "large"),
        speed_mps=3.8,
        ring=Ring(
            outline=((0.0, 0.0), (30.0, 0.0), (30.0, 40.0), (0.0, 40.0)),
            solid=frozenset({2, 3}),
            entrance=((0.0, 2.0), (0.0, 4.0)),
            exit=((30.0, 2.0), (30.0, 4.0)),
            blocked=(
                Blocked("pillar", centre=(15.0, 20.0), radius_m=0.4),
                Blocked("tent", outline=((25.0, 35.0), (28.0, 35.0), (28.0, 38.0))),
            ),
        ),
        obstacles=(
            Obstacle("a", "jump", (6.0, 8.0), 90.0, {"bar": 1.3, "wing": 0.5}),
            Obstacle("b", "jump", (12.0, 8.5), 270.0),
            Obstacle("T", "tunnel", (20.0, 10.0), 0.0, {"length": 5.0, "bend": 90.0}),
            Obstacle("W-1_x", "weaves", (10.0, 30.0), 5.5, {"poles": 12.0}),
        ),
        passes=(Pass(1, "a"), Pass(2, "b", turn="left"), Pass(3, "T", reverse=True), Pass(4, "W-1_x")),
        start_line_m=1.0,
        finish_line_m=2.0,
        store={"jump": Stock(16), "tunnel": Stock(3, (5.0, 5.0, 4.0))},
        origin=course.origin,
    )


def test_what_is_left_out_stands_at_its_default(read):
    course = read(BARE + "[ring]\nsize = [10, 20]\n")
    assert course.ring == Ring(((0.0, 0.0), (10.0, 0.0), (10.0, 20.0), (0.0, 20.0)))
    assert (course.heights, course.speed_mps, course.units, course.store) == ((), None, "m", None)
    assert (course.obstacles, course.passes, course.start_line_m, course.finish_line_m) == ((), (), 0.0, 0.0)


def test_a_draft_without_a_sequence_is_read(good, read):
    draft = good[: good.index("[sequence]")]
    assert read(draft).passes == ()
    assert read(draft + "[sequence]\nrun = []\n").passes == ()
    assert len(read(draft).obstacles) == 4


def test_an_obstacle_outside_the_ring_is_read(good, read):
    assert read(good.replace("at = [6.0, 8.0]", "at = [-60.0, 8.0]")).obstacles[0].at == (-60.0, 8.0)


def test_every_kind_is_read_with_all_its_sizes(kind_name, read):
    kind = KINDS[kind_name]
    sizes = "".join(f"{name} = {size.default}\n" for name, size in kind.sizes.items())
    text = f'[ring]\nsize = [9, 9]\n[[obstacle]]\nid = "x"\nkind = "{kind_name}"\nat = [1, 1]\nbearing = 0\n'
    assert read(BARE + text).obstacles[0].sizes == {}
    assert read(BARE + text + sizes).obstacles[0].sizes == {name: size.default for name, size in kind.sizes.items()}


FEET = """\
units = "ft"
[ring]
size = [100, 80.5]
entrance = [[0, 10], [0, 20]]
[[ring.blocked]]
name = "p"
centre = [50, 50]
radius = 1
[[ring.beside]]
name = "ring 1"
gap = 30
[[ring.beside]]
name = "ring 3"
gap = 0
fence = true
[[obstacle]]
id = "T"
kind = "tunnel"
at = [30, 20]
bearing = 45
length = 15
bend = 90
[[obstacle]]
id = "w"
kind = "weaves"
at = [50, 20]
bearing = 45
poles = 6
spacing = 2
[sequence]
run = ["T"]
start_line = 3
finish_line = 4
[store]
tunnel = { count = 1, lengths = [20] }
"""


def test_feet_become_metres_in_every_length_and_in_nothing_else(read):
    course = read(BARE + FEET)
    assert course.units == "ft"
    assert course.ring.outline[2] == (100 * 0.3048, 80.5 * 0.3048)
    assert course.ring.entrance == ((0.0, 3.048), (0.0, 6.096))
    assert course.ring.blocked == (Blocked("p", centre=(15.24, 15.24), radius_m=0.3048),)
    assert course.ring.beside == (Neighbour("ring 1", 30 * 0.3048), Neighbour("ring 3", 0.0, fence=True))
    assert course.obstacles[0] == Obstacle("T", "tunnel", (30 * 0.3048, 6.096), 45.0, {"length": 4.572, "bend": 90.0})
    assert course.obstacles[1].sizes == {"poles": 6.0, "spacing": 0.6096}
    assert (course.start_line_m, course.finish_line_m) == (3 * 0.3048, 4 * 0.3048)
    assert course.store == {"tunnel": Stock(1, (6.096,))}


SQUARE = ["[0, 0]", "[10, 0]", "[10, 20]", "[0, 20]"]


@pytest.mark.parametrize("wall", range(4))
@pytest.mark.parametrize("start", range(4))
def test_walls_stay_where_they_are_whichever_way_round_the_outline_is_given(read, wall, start):
    def walls(corners: list[str], side: int) -> set[frozenset[tuple[float, float]]]:
        ring = read(BARE + f"[ring]\noutline = [{', '.join(corners)}]\nsolid = [{side}]\n").ring
        area = sum(ax * by - bx * ay for (ax, ay), (bx, by) in ring.sides())
        assert area > 0
        return {frozenset(ends) for i, ends in enumerate(ring.sides()) if i in ring.solid}

    round_it = SQUARE[start:] + SQUARE[:start]
    ends = {round_it[wall], round_it[(wall + 1) % 4]}
    clockwise = round_it[::-1]
    side = next(i for i in range(4) if {clockwise[i], clockwise[(i + 1) % 4]} == ends)
    assert walls(round_it, wall) == walls(clockwise, side)


@pytest.mark.parametrize(
    ("bearing", "kept"), [("0", 0.0), ("360", 0.0), ("-90", 270.0), ("725.5", 5.5), ("-1e-17", 0.0), ("-0.0", 0.0)]
)
def test_a_bearing_is_brought_within_the_full_circle(good, read, bearing, kept):
    assert read(good.replace("bearing = 90", f"bearing = {bearing}")).obstacles[0].bearing_deg == kept


@pytest.mark.parametrize(
    ("word", "run"),
    [
        ("a", Pass(1, "a")),
        ("a left", Pass(1, "a", turn="left")),
        ("a reverse", Pass(1, "a", reverse=True)),
        ("a reverse right", Pass(1, "a", reverse=True, turn="right")),
        ("  a  right\\treverse ", Pass(1, "a", reverse=True, turn="right")),
        ("reverse left", Pass(1, "reverse", turn="left")),
    ],
)
def test_a_word_of_the_sequence_is_an_id_and_how_it_is_taken(good, read, word, run):
    text = good.replace('"a", # away', f'"{word}", # away').replace('id = "b"', 'id = "reverse"')
    assert read(text.replace('"b left"', '"a"')).passes[0] == run


@pytest.mark.parametrize(("bend", "fits"), [(359.9, True), (-359.9, True), (360, False), (-361, False)])
def test_a_tunnel_may_be_bent_until_its_mouths_meet(good, read, bend, fits):
    text = good.replace("bend = 90", f"bend = {bend}")
    if fits:
        assert read(text).obstacles[2].sizes["bend"] == bend
    else:
        with pytest.raises(CourseError, match="crosses itself"):
            read(text)


@pytest.mark.parametrize(("diameter", "fits"), [(6.366, True), (6.367, False)])
def test_a_tunnel_may_be_bent_until_its_inner_side_has_no_radius(good, read, diameter, fits):
    # 5 m bent by a quarter turn have the radius 10 / pi = 3.1831 m along the middle.
    text = good.replace("bend = 90", f"bend = 90\ndiameter = {diameter}")
    if fits:
        assert read(text).obstacles[2].sizes["diameter"] == diameter
    else:
        with pytest.raises(CourseError, match="crosses itself"):
            read(text)


def test_a_tunnel_whose_inner_side_is_a_point_is_refused(good, read):
    # 1 m bent by one radian has the radius 1 m along the middle, which is half the diameter.
    text = good.replace("length = 5.0\nbend = 90", f"length = 1.0\nbend = {math.degrees(1)}\ndiameter = 2.0")
    with pytest.raises(CourseError, match="crosses itself"):
        read(text)


@pytest.mark.parametrize(
    ("kind", "sizes", "fits"),
    [
        ("a-frame", "ramp = 1.75", True),
        ("a-frame", "ramp = 1.70", False),
        ("a-frame", "apex = 2.70", False),
        ("dog-walk", "plank = 1.20", False),
        ("dog-walk", "plank = 1.25", True),
        ("seesaw", "plank = 1.25", True),
        ("seesaw", "plank = 1.20", False),
        ("seesaw", "plank = 4.00\nheight = 2.10", False),
    ],
)
def test_a_plank_is_longer_than_it_is_high(good, read, kind, sizes, fits):
    text = good.replace('kind = "jump"\nat = [12', f'kind = "{kind}"\n{sizes}\nat = [12')
    if fits:
        assert read(text).obstacles[1].kind == kind
    else:
        with pytest.raises(CourseError, match=r"too short for \d\.\d\d m up"):
            read(text)


def test_a_file_is_read_like_its_text(good, read, tmp_path):
    path = tmp_path / "x.course.toml"
    path.write_text(good)
    course = read_course(path, KINDS)
    assert course.origin.file == str(path)
    assert course.origin.sha256 == read(good).origin.sha256
    assert course.obstacles == read(good).obstacles
    assert parse_course(good.encode(), "x.course.toml", KINDS) == read(good)

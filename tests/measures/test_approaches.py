"""Angles of approach, run-ups and the room ahead."""

import math

import pytest
from shapely import Polygon

from coursecheck.course.model import Blocked, Ring
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.line import LegLine, Line, PassLine

HALL = Ring(((0.0, 0.0), (20.0, 0.0), (20.0, 40.0), (0.0, 40.0)), solid=frozenset({2, 3}))


@pytest.mark.parametrize(("x", "degrees"), [(0, 0), (6, 45), (-6, 45)])
def test_the_angle_from_exit_to_entry(bench, take, x, degrees):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", x, 6, 0))
    (value,) = take(scene, "approach-angle", "centres")
    assert value.measured == pytest.approx(degrees)
    assert value.passes == (1, 2)


def test_the_angle_at_a_bend_of_a_tunnel_counts_from_its_mouth(bench, take):
    scene = bench(("a", "jump", 0, 0, 0), ("t", "tunnel", 0, 6, 30))
    assert take(scene, "approach-angle", "centres")[0].measured == pytest.approx(30.0)


def test_taken_in_reverse_the_angle_is_off_the_other_direction(bench, take):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 180), run=["a", "b reverse"])
    assert take(scene, "approach-angle", "centres")[0].measured == pytest.approx(0.0)


def test_a_table_is_met_from_anywhere_so_it_has_no_angle(bench, take):
    assert take(bench(("a", "jump", 0, 0, 0), ("t", "table", 3, 6, 0)), "approach-angle", "centres") == []


def test_a_straight_leg_counts_from_the_last_bar_to_the_next_take_off(bench, take):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 8, 0))
    assert take(scene, "run-up", "line")[0].measured == pytest.approx(8.0 - 1.0)
    assert take(scene, "landing-run", "line")[0].measured == pytest.approx(8.0 - 1.0)


@pytest.mark.parametrize(("metric", "metres"), [("ring", 7.0), ("wall", 7.0), ("solid", 7.0)])
def test_ahead_of_the_exit_the_wall(bench, take, metric, metres):
    scene = bench(("a", "jump", 10, 33, 0), ring=HALL)
    assert take(scene, "run-out", metric)[0].measured == pytest.approx(metres)


def test_towards_an_open_side_there_is_no_wall_to_measure_to(bench, take):
    scene = bench(("a", "jump", 10, 33, 180), ring=HALL)
    assert take(scene, "run-out", "wall") == []
    assert take(scene, "run-out", "ring")[0].measured == pytest.approx(33.0)


@pytest.mark.parametrize(
    ("x", "metres"),
    [
        (11.0, 4.0 - 0.05),  # the left wing of the other jump stands in the strip: its near face
        (10.0, 17.0),  # through the middle of its bar the way is free
        (14.0, 17.0),  # well beside
    ],
)
def test_the_next_solid_thing_ahead(bench, take, x, metres):
    scene = bench(("a", "jump", 10, 23, 0), ("b", "jump", x, 27, 0), run=["a"], ring=HALL)
    assert take(scene, "run-out", "solid")[0].measured == pytest.approx(metres)


@pytest.mark.parametrize(
    ("x", "y", "bearing"),
    [
        (11.5, 28.0, 0.0),
        (11.3, 27.0, 30.0),
        (12.0, 29.0, 110.0),
        (10.0, 23.0, 90.0),  # all across the exit
    ],
)
def test_the_strip_ahead_cut_as_a_polygon_would_be(bench, take, x, y, bearing):
    scene = bench(("a", "jump", 10, 23, 20), ("b", "a-frame", x, y, bearing), run=["a"], ring=HALL)
    portal = scene.way(scene.passes[0]).exit
    strip = Polygon(portal.frame.rectangle((0.0, 30.0), (-0.3, 0.3)))
    ahead = [
        portal.frame.locate(point)[0]
        for part in scene.shapes["b"].solids
        for point in strip.intersection(part).exterior.coords
    ]
    assert take(scene, "run-out", "solid")[0].measured == pytest.approx(min(ahead))


def test_a_pillar_ahead_is_solid(bench, take):
    ring = Ring(HALL.outline, HALL.solid, blocked=(Blocked("pillar", centre=(10.0, 30.0), radius_m=0.5),))
    scene = bench(("a", "jump", 10, 23, 0), ring=ring)
    assert take(scene, "run-out", "solid")[0].measured == pytest.approx(7.0 - 0.5, abs=1e-3)


@pytest.mark.parametrize(
    ("turn_deg", "radius", "metres"),
    [
        (9.0, 2.0, 4.0 + math.radians(9.0) * 2.0),  # a slight bend is straight enough
        (90.0, 2.0, math.radians(10.0) * 2.0),  # of a real bend only its last ten degrees
        (-90.0, 2.0, math.radians(10.0) * 2.0),
    ],
)
def test_a_run_up_is_straight_as_long_as_it_bends_by_no_more_than_ten_degrees(bench, take, turn_deg, radius, metres):
    scene = bench(("a", "tunnel", 0, 0, 90, {"length": 3.0}), ("b", "tunnel", 20, 20, 45))
    on = Segment(Pose(3.0, 0.0, 0.0), 4.0)
    bend = Segment(on.end, math.radians(abs(turn_deg)) * radius, math.copysign(1 / radius, turn_deg))
    runs = (PassLine(1, scene.line.passes[0].segments), PassLine(2, scene.line.passes[1].segments))
    scene.__dict__["line"] = Line(scene.line.runner, runs, (LegLine(1, (on, bend)),))
    assert take(scene, "run-up", "line")[0].measured == pytest.approx(metres)


def test_a_leg_of_several_pieces_is_as_straight_as_one(bench, take):
    # added up one by one, 0.1 + 0.4 + 0.1 is less than their sum rounded once
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 2.6, 0))
    pieces, pose = [], scene.line.passes[0].exit
    for length in (0.1, 0.4, 0.1):
        pieces.append(Segment(pose, length))
        pose = pieces[-1].end
    scene.__dict__["line"] = Line(scene.line.runner, scene.line.passes, (LegLine(1, tuple(pieces)),))
    assert take(scene, "run-up", "line")[0].measured == pytest.approx(1.6)
    assert take(scene, "landing-run", "line")[0].measured == pytest.approx(1.6)


@pytest.mark.parametrize("metric", ["ring", "wall", "solid"])
@pytest.mark.parametrize("bearing", [0.0, 30.0, 60.0])
def test_askew_to_the_wall_the_run_out_scatters_more(bench, take, metric, bearing):
    # first order: 7 m off the wall and turned by t, a jump 2.2 m wide is off sideways and turned
    t = math.radians(bearing)
    ring = Ring(((-50.0, 0.0), (50.0, 0.0), (50.0, 40.0), (-50.0, 40.0)), solid=frozenset({2}))
    (value,) = take(bench(("a", "jump", 0, 33, bearing), ring=ring), "run-out", metric)
    assert value.measured == pytest.approx(7.0 / math.cos(t))
    turned = 7.0 / math.cos(t) * math.tan(t) * math.sqrt(2) / 2.2
    assert value.spread == pytest.approx(math.hypot(1 / math.cos(t), turned))
    (room,) = take(bench(("a", "jump", 0, 33, bearing), ring=ring), "finish-room", "ring")
    assert room.spread == pytest.approx(value.spread)


def test_a_run_out_to_something_solid_scatters_with_both(bench, take):
    scene = bench(("a", "jump", 10, 23, 0), ("b", "a-frame", 10, 30, 0), run=["a"], ring=HALL)
    assert take(scene, "run-out", "solid")[0].spread == pytest.approx(math.sqrt(2))
    reverse = {v.obstacles: v.spread for v in take(scene, "off-course-run-out", "solid")}
    assert reverse["a",] == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("name", "metric"), [("approach-angle", "centres"), ("run-up", "line"), ("leg-distance", "line")]
)
def test_between_two_passes_over_one_obstacle_nothing_scatters(bench, take, name, metric):
    scene = bench(("a", "spread", 0, 0, 0), run=["a", "a"])
    assert take(scene, name, metric)[0].spread == 0.0

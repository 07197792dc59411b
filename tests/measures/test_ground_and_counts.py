"""Gaps, shared ground, ring sizes, counts, the course length and the store."""

import math

import pytest

from coursecheck.course.model import Blocked, Neighbour, Ring, Stock
from coursecheck.geometry.segments import Pose, Segment
from coursecheck.measures.counts import course_length
from coursecheck.path.line import LegLine, LengthRule, Line

ROW = (("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("t", "tunnel", 0, 12, 0), ("c", "jump", 0, 24, 0))


@pytest.mark.parametrize(("x", "gap"), [(3.2, 1.0), (5.2, 3.0)])
def test_the_passage_between_two_wings(bench, take, x, gap):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", x, 0, 0))
    (value,) = take(scene, "passage", "solid")
    assert value.measured == pytest.approx(gap)
    assert value.obstacles == ("a", "b")


@pytest.mark.parametrize("x", [2.2, 5.3])
def test_wings_that_touch_or_stand_far_apart_leave_no_passage(bench, take, x):
    assert take(bench(("a", "jump", 0, 0, 0), ("b", "jump", x, 0, 0)), "passage", "solid") == []


@pytest.mark.parametrize(("x", "area"), [(1.2, 1.0 * 0.45), (0.0, 2.2 * 0.45)])
def test_shared_ground(bench, take, x, area):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", x, 0, 0))
    assert take(scene, "overlap", "ground")[0].measured == pytest.approx(area)


@pytest.mark.parametrize(("x", "areas"), [(1.0, [0.1 * 0.45]), (1.1, [0.0]), (1.2, [])])
def test_a_wing_on_a_drain(bench, take, x, areas):
    drain = Blocked("drain", outline=((x, -1.0), (x + 1.0, -1.0), (x + 1.0, 1.0), (x, 1.0)))
    ring = Ring(((-9.0, -9.0), (9.0, -9.0), (9.0, 9.0), (-9.0, 9.0)), blocked=(drain,))
    values = take(bench(("a", "jump", 0, 0, 0), ring=ring), "blocked-ground", "ground")
    assert [value.measured for value in values] == pytest.approx(areas)
    assert all((value.passes, value.obstacles, value.note) == ((1,), ("a",), "drain") for value in values)


def test_a_pair_is_seen_from_either_side(bench, take):
    scene = bench(("t", "tunnel", 0, 0, 0), ("w", "dog-walk", 0, 2, 90))
    kinds = {(f["from"], f["to"]) for f in take(scene, "overlap", "ground")[0].facets}
    assert kinds == {("tunnel", "dog-walk"), ("dog-walk", "tunnel")}


@pytest.mark.parametrize(("metric", "size"), [("long", 40.0), ("short", 24.0), ("area", 960.0)])
def test_the_size_of_a_ring_whichever_way_it_lies(bench, take, metric, size):
    turned = [(x * 0.6 - y * 0.8, x * 0.8 + y * 0.6) for x, y in ((0, 0), (40, 0), (40, 24), (0, 24))]
    for outline in ([(0.0, 0.0), (24.0, 0.0), (24.0, 40.0), (0.0, 40.0)], turned):
        scene = bench(("a", "jump", 5, 5, 0), ring=Ring(tuple(outline)))
        assert take(scene, "ring-size", metric)[0].measured == pytest.approx(size)


@pytest.mark.parametrize(
    ("metric", "gaps"), [("all", [("ring 1", 8.0), ("ring 3", 12.5)]), ("open", [("ring 3", 12.5)])]
)
def test_a_fence_between_two_rings_does_away_with_the_distance(bench, take, metric, gaps):
    beside = (Neighbour("ring 1", 8.0, fence=True), Neighbour("ring 3", 12.5))
    scene = bench(("a", "jump", 5, 5, 0), ring=Ring(((0, 0), (24, 0), (24, 40), (0, 40)), beside=beside))
    assert [(value.note, value.measured) for value in take(scene, "neighbour-gap", metric)] == gaps


@pytest.mark.parametrize(
    ("name", "of", "count"),
    [
        ("passes", (), 5),
        ("passes", ("jump",), 4),
        ("passes", ("tunnel", "weaves"), 1),
        ("obstacles", (), 4),
        ("obstacles", ("jump",), 3),
        ("succession", ("jump",), 2),
        ("succession", ("weaves",), 0),
        ("repeats", ("jump",), 2),
        ("repeats", (), 2),
        ("repeats", ("weaves",), 0),
    ],
)
def test_counts(bench, take, name, of, count):
    scene = bench(*ROW, run=["a", "b", "t", "c", "b reverse"])
    (value,) = take(scene, name, "all", of)
    assert value.measured == count


def test_first_and_last_kind(bench, take):
    scene = bench(*ROW[1:], run=["t", "b"])
    assert take(scene, "first-kind", "pass")[0].measured == "tunnel"
    assert take(scene, "last-kind", "pass")[0].measured == "jump"


def test_a_plan_without_a_sequence_has_no_first_obstacle(bench, take):
    assert take(bench(*ROW, run=[]), "first-kind", "pass") == []


@pytest.mark.parametrize(
    ("rule", "metres"),
    [
        (LengthRule("line"), 24.0),
        (LengthRule("line", "start-line", "finish-line"), 24.0 + 1.0 + 0.5),
        (LengthRule("centres"), 6.0 + 8.5 + 9.5),
        (LengthRule("centres", "start-line"), 6.0 + 8.5 + 9.5 + 1.0),
    ],
)
def test_the_course_length(bench, rule, metres):
    scene = bench(*ROW, start_line_m=1.0, finish_line_m=0.5)
    assert course_length(scene, rule).measured == pytest.approx(metres)


def test_round_a_corner_straight_between_centres_is_the_sum_of_the_straights(bench):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 45), ("c", "jump", 8, 6, 90))
    assert course_length(scene, LengthRule("centres")).measured == pytest.approx(14.0)


def test_with_a_leg_missing_the_line_has_no_length_but_the_centres_have(bench):
    scene = bench(*ROW, problem="the wall stands in the way")
    value = course_length(scene, LengthRule("line"))
    assert value.measured is None
    assert "1 to 2" in value.why_not
    assert course_length(scene, LengthRule("centres")).measured == pytest.approx(24.0)


def test_a_shift_of_two_free_ends_of_a_straight_scatters_the_length_by_root_two(bench):
    # first order: an inner point of a straight row does not change the length, each end changes it by its shift
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("c", "jump", 0, 12, 0))
    assert course_length(scene, LengthRule("centres")).spread == pytest.approx(math.sqrt(2))


def test_an_obstacle_that_is_passed_twice_scatters_as_one(bench):
    # there and back: the shift of either end along the straight counts twice
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), run=["a", "b", "a reverse"])
    assert course_length(scene, LengthRule("centres")).spread == pytest.approx(2 * math.sqrt(2))


def test_sizes_as_they_stand_in_the_plan(bench, take):
    scene = bench(("a", "jump", 0, 0, 0, {"bar": 1.1}), ("b", "jump", 0, 6, 0), ("w", "weaves", 9, 9, 0))
    assert [v.measured for v in take(scene, "equipment-size", "bar")] == [1.1, 1.2]
    assert [v.measured for v in take(scene, "equipment-size", "poles")] == [12]


STORE = {"jump": Stock(2), "tunnel": Stock(2, (5.0, 4.0))}


@pytest.mark.parametrize(
    ("obstacles", "lacking"),
    [
        ([("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0)], {"jump": 0}),
        (ROW, {"jump": 1, "tunnel": 0}),
        ([("t", "tunnel", 0, 0, 0, {"length": 6.0})], {"tunnel": 1}),
        ([("t", "tunnel", 0, 0, 0), ("u", "tunnel", 9, 0, 0)], {"tunnel": 1}),
        ([("w", "wall", 0, 0, 0)], {"wall": 1}),
    ],
)
def test_what_the_club_lacks(bench, take, obstacles, lacking):
    values = take(bench(*obstacles, store=STORE), "store-shortage", "all")
    assert {v.facets[0]["kind"]: v.measured for v in values} == lacking


def test_what_is_lacking_once_has_its_number(bench, take):
    scene = bench(("a", "jump", 0, 0, 0), ("w", "wall", 0, 6, 0), ("s", "seesaw", 6, 0, 0), run=["a", "w"], store={})
    values = take(scene, "store-shortage", "all")
    assert {v.obstacles: v.passes for v in values} == {("a",): (1,), ("w",): (2,), ("s",): ()}


def test_without_a_store_nothing_is_said_about_it(bench, take):
    assert take(bench(*ROW), "store-shortage", "all") == []


def test_a_line_that_crosses_itself(bench, take):
    cross = (("a", "jump", 0, 0, 90), ("b", "jump", 10, 0, 0), ("c", "jump", 10, 8, 270), ("d", "jump", 4, -8, 180))
    assert take(bench(*cross), "self-crossings", "line")[0].measured == 1.0
    assert take(bench(*ROW), "self-crossings", "line")[0].measured == 0.0


def test_a_tunnel_that_is_run_there_and_back_crosses_nothing_in_it(bench, take):
    tunnel = ("t", "tunnel", 0, 6, 0, {"length": 5.0, "bend": 95.0})
    scene = bench(("a", "jump", 0, 0, 0), tunnel, ("c", "jump", 10, 9, 0), run=["a", "t", "c", "t reverse"])
    assert take(scene, "self-crossings", "line")[0].measured == 0.0


def test_ways_that_share_an_arc_to_and_from_a_tunnel_cross_nothing_on_it(bench, take):
    obstacles = ("a", "jump", -5, -5, 0), ("t", "tunnel", 0, 0, 0), ("b", "jump", -9, 9, 0)
    run = ["a", "t", "t reverse", "b"]
    drawn = bench(*obstacles, run=run).line
    low = math.radians(-70.0)
    to = Segment(Pose(1.4 * math.cos(low) - 1.4, 1.4 * math.sin(low), low + math.pi / 2), -low * 1.4, 1 / 1.4)
    off = Segment(Pose(0.0, 0.0, -math.pi / 2), math.radians(83.0) * 1.4, -1 / 1.4)
    legs = (LegLine(1, (to,)), drawn.legs[1], LegLine(3, (off,)))
    scene = bench(*obstacles, run=run, line=Line(drawn.runner, drawn.passes, legs))
    assert take(scene, "self-crossings", "line")[0].measured == 0.0


@pytest.mark.parametrize("kind", ["tunnel", "dog-walk", "weaves"])
@pytest.mark.parametrize("bearing", [0.0, 33.0, 71.3])
@pytest.mark.parametrize("word", ["t", "t reverse"])
def test_tracks_along_each_other_do_not_cross(bench, take, kind, bearing, word):
    sizes = {"bend": -137.0} if kind == "tunnel" else {}
    scene = bench(("t", kind, 10, 20, bearing, sizes), run=["t", word])
    scene.__dict__["line"] = Line(scene.line.runner, scene.line.passes, (LegLine(1, ()),))
    assert take(scene, "self-crossings", "line")[0].measured == 0.0


@pytest.mark.parametrize(("turn_deg", "count"), [(300, 1.0), (180, 0.0)])
def test_a_loop_within_a_leg_crosses_itself(bench, take, turn_deg, count):
    scene = bench(("t", "tunnel", 0, 0, 90, {"length": 4.0}), ("u", "tunnel", 12, 0, 90))
    on = Segment(Pose(4.0, 0.0, 0.0), 4.0)
    loop = Segment(on.end, math.radians(turn_deg) * 1.5, 1 / 1.5)
    leg = LegLine(1, (on, loop, Segment(loop.end, 4.0)))
    scene.__dict__["line"] = Line(scene.line.runner, scene.line.passes, (leg,))
    assert take(scene, "self-crossings", "line")[0].measured == count


@pytest.mark.parametrize("name", ["self-crossings", "side-changes"])
def test_along_a_line_with_a_gap_nothing_is_counted(bench, take, name):
    (value,) = take(bench(*ROW, problem="the wall stands in the way"), name, "line")
    assert value.measured is None
    assert "the wall stands in the way" in value.why_not

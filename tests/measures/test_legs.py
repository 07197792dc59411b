"""Distances and turns between obstacles come out as a tape, a wheel and a protractor would give them."""

import math

import pytest

from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.line import LegLine, Line, PassLine
from coursecheck.path.runner import Runner


@pytest.mark.parametrize(
    ("metric", "metres"), [("line", 6.0), ("centres", 6.0), ("edges", 6.0 - 0.45), ("flight", 4.0)]
)
def test_two_jumps_in_a_row(bench, take, metric, metres):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0))
    (value,) = take(scene, "leg-distance", metric)
    assert value.measured == pytest.approx(metres)
    assert value.passes == (1, 2)
    assert value.obstacles == ("a", "b")
    assert value.facets[0]["from"] == value.facets[0]["to"] == "jump"


def test_a_leg_that_ends_where_it_begins_still_has_a_place(bench, take):
    """The dog takes off where it landed, as where there was room for no longer flight."""
    landing = Pose(3.0, 4.0, 0.0)
    runs = PassLine(1, (Segment(landing, 0.0),)), PassLine(2, (Segment(landing, 0.0),))
    line = Line(Runner(1.5, 1.0, 1.0), runs, (LegLine(1, ()),))
    scene = bench(("a", "jump", 3, 4, 90), ("b", "jump", 3, 4, 90), line=line)
    assert scene.track(scene.passes[0]) == ((3.0, 4.0), (3.0, 4.0))
    (value,) = take(scene, "leg-distance", "line")
    assert value.measured == 0.0
    assert value.witness.points == ((3.0, 4.0), (3.0, 4.0))


@pytest.mark.parametrize(("metric", "metres"), [("line", 6.0 - 0.5), ("centres", 6.0), ("flight", 3.5)])
def test_a_spread_shortens_the_way_but_not_the_distance_of_centres(bench, take, metric, metres):
    scene = bench(("a", "spread", 0, 0, 0, {"depth": 0.5}), ("b", "spread", 0, 6, 0, {"depth": 0.5}))
    assert take(scene, "leg-distance", metric)[0].measured == pytest.approx(metres)


def test_a_leg_without_a_line_is_not_measured_along_it_but_is_between_centres(bench, take):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), problem="a pillar stands in the way")
    along, across = take(scene, "leg-distance", "line")[0], take(scene, "leg-distance", "centres")[0]
    assert along.measured is None
    assert along.why_not == "a pillar stands in the way"
    assert across.measured == pytest.approx(6.0)
    assert take(scene, "missing-line", "line")[0].measured == 1.0


@pytest.mark.parametrize(("x", "y", "degrees"), [(0, 6, 0), (6, 6, 45), (6, 0, 90), (0, -6, 180)])
def test_the_turn_between_centres_is_off_the_way_out(bench, take, x, y, degrees):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", x, y, 0))
    assert take(scene, "leg-turn", "centres")[0].measured == pytest.approx(degrees)


@pytest.fixture
def curved(bench):
    """A tunnel to a tunnel by a quarter circle to the left, a straight, and an eighth to the right."""
    scene = bench(("a", "tunnel", 0, 0, 90, {"length": 3.0}), ("b", "tunnel", 20, 20, 45))
    left = Segment(Pose(3.0, 0.0, 0.0), 2.0 * math.pi / 2, 1 / 2.0)
    on = Segment(left.end, 4.0)
    right = Segment(on.end, 3.0 * math.pi / 4, -1 / 3.0)
    legs = (LegLine(1, (left, on, right)),)
    runs = (PassLine(1, scene.line.passes[0].segments), PassLine(2, scene.line.passes[1].segments))
    scene.__dict__["line"] = Line(scene.line.runner, runs, legs)
    return scene


def test_along_the_line_all_turning_is_added_up(curved, take):
    assert take(curved, "leg-turn", "line")[0].measured == pytest.approx(135.0)


def test_the_tightest_arc_counts(curved, take):
    assert take(curved, "leg-radius", "line")[0].measured == pytest.approx(2.0)


def test_a_straight_leg_has_no_radius(bench, take):
    assert take(bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0)), "leg-radius", "line") == []


def test_the_length_of_the_curve_is_the_sum_of_its_pieces(curved, take):
    expected = math.pi + 4.0 + 0.75 * math.pi
    assert take(curved, "leg-distance", "line")[0].measured == pytest.approx(expected)


def test_a_left_and_a_right_turn_are_one_change(curved, take):
    assert take(curved, "side-changes", "line")[0].measured == 1.0


def test_a_line_through_a_bar_that_is_not_next_is_noticed(bench, take):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 12, 0), ("x", "jump", 0, 6, 0), run=["a", "b"])
    (value,) = take(scene, "line-through", "line")
    assert value.measured == 1.0
    assert "x" in value.obstacles


def test_a_line_beside_a_jump_goes_through_nothing(bench, take):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 12, 0), ("x", "jump", 3, 6, 0), run=["a", "b"])
    assert take(scene, "line-through", "line")[0].measured == 0.0


def test_a_first_and_only_obstacle_has_no_legs(bench, take):
    scene = bench(("a", "jump", 0, 0, 0))
    for name, metric in (("leg-distance", "line"), ("leg-turn", "centres"), ("run-up", "line")):
        assert take(scene, name, metric) == []


def test_a_turn_scatters_with_the_straight_and_with_the_way_out(bench, take):
    # both are set out by two points: 6 m and the 2.2 m of the jump apart
    (value,) = take(bench(("a", "jump", 0, 0, 0), ("b", "jump", 6, 0, 0)), "leg-turn", "centres")
    assert value.spread == pytest.approx(math.degrees(math.hypot(math.sqrt(2) / 6, math.sqrt(2) / 2.2)))

"""Every kind of obstacle stands on the ground at its real size, and a dog goes through it the way it should."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursecheck import load_plan
from coursecheck.course.model import Obstacle
from coursecheck.equipment import KINDS, MOST_UNUSED, build_shape, build_shapes
from coursecheck.equipment.weaves import SHOULDER_M
from coursecheck.resources import sample

kinds = pytest.mark.parametrize("kind", sorted(KINDS))
places = st.tuples(st.floats(-50, 50), st.floats(-50, 50))
bearings = st.floats(0, 359.9)


def shape(kind, *, at=(0.0, 0.0), bearing=0.0, tunnel_line="centre", ruled=None, **sizes):
    def given_by_rulebook(kind, size):
        return (ruled or {}).get((kind, size))

    return build_shape(Obstacle("x", kind, at, bearing, sizes), given_by_rulebook, tunnel_line)


def test_the_words_of_the_trade_are_all_here():
    words = "jump spread wall long-jump tyre tunnel weaves a-frame dog-walk seesaw table"
    assert sorted(KINDS) == sorted(words.split())


@kinds
def test_every_size_says_where_its_default_comes_from(kind):
    for size in KINDS[kind].sizes.values():
        assert size.source
        assert size.about
        assert size.unit in ("m", "deg", "count")


@kinds
def test_solid_parts_and_marks_lie_on_the_footprint(kind):
    built = shape(kind, at=(3.0, 4.0), bearing=30.0)
    ground = built.footprint.buffer(0.02)  # a pole's or post's corner reaches a hair over the base
    assert built.footprint.is_valid
    assert all(part.is_valid and ground.covers(part) for part in built.solids)


@kinds
@given(at=places, bearing=bearings)
def test_moving_and_turning_an_obstacle_moves_all_of_it(kind, at, bearing):
    fixed, moved = shape(kind), shape(kind, at=at, bearing=bearing)
    frame = moved.obstacle.frame
    assert moved.footprint.area == pytest.approx(fixed.footprint.area)
    for way, base in ((moved.forwards, fixed.forwards), (moved.reverse, fixed.reverse)):
        assert frame.locate(way.entry.centre)[::-1] == pytest.approx(base.entry.centre, abs=1e-9)
        assert frame.locate(way.exit.centre)[::-1] == pytest.approx(base.exit.centre, abs=1e-9)
    for (name, point), (base_name, base_point) in zip(moved.marks, fixed.marks, strict=True):
        assert name == base_name
        assert frame.locate(point)[::-1] == pytest.approx(base_point, abs=1e-9)


@kinds
def test_the_way_in_of_one_direction_is_the_way_out_of_the_other(kind):
    built = shape(kind, at=(1.0, 2.0), bearing=77.0)
    if kind == "weaves":  # beside the row, on the side that the rule asks for: see below
        return
    assert built.reverse.entry.centre == pytest.approx(built.forwards.exit.centre)
    turned = (built.reverse.entry.bearing_deg - built.forwards.exit.bearing_deg) % 360
    assert turned == pytest.approx(180.0)


@kinds
def test_the_line_runs_from_portal_to_portal(kind):
    way = shape(kind, at=(1.0, 2.0), bearing=77.0).forwards
    if way.form == "track":
        assert way.track[0].start.point == pytest.approx(way.entry.centre)
        assert way.track[-1].end.point == pytest.approx(way.exit.centre)


def test_weaves_are_entered_with_the_first_pole_at_the_left_shoulder_both_ways():
    built = shape("weaves")
    first, last = (dict(built.marks)[name] for name in ("first pole", "last pole"))
    assert built.forwards.entry.frame.locate(first) == pytest.approx((0.0, -SHOULDER_M))
    assert built.reverse.entry.frame.locate(last) == pytest.approx((0.0, -SHOULDER_M))


@pytest.mark.parametrize(("poles", "spacing"), [(12, 0.6), (6, 0.6096), (8, 0.5)])
def test_a_row_of_poles_has_one_gap_less_than_poles(poles, spacing):
    built = shape("weaves", poles=poles, spacing=spacing)
    assert built.forwards.track[0].length_m == pytest.approx((poles - 1) * spacing)
    assert len(built.solids) == poles


@pytest.mark.parametrize("bend", [-180.0, -90.0, 0.0, 35.0, 90.0, 270.0])
def test_a_bent_tunnel_keeps_its_length_and_turns_by_its_bend(bend):
    way = shape("tunnel", length=5.0, bend=bend).forwards
    assert way.track[0].length_m == pytest.approx(5.0)
    assert (way.exit.bearing_deg - bend) % 360 == pytest.approx(0.0, abs=1e-9)


def test_a_bend_to_the_right_takes_the_exit_to_the_right():
    radius = 5.0 / (math.pi / 2)
    assert shape("tunnel", length=5.0, bend=90.0).forwards.exit.centre == pytest.approx((radius, radius))


@pytest.mark.parametrize("bend", [-90.0, 90.0])
def test_outside_a_bent_tunnel_the_way_is_longer_by_half_a_diameter_times_the_bend(bend):
    outer = shape("tunnel", length=5.0, bend=bend, tunnel_line="outside").forwards.track[0]
    assert outer.length_m == pytest.approx(5.0 + 0.3 * math.pi / 2)


def test_a_straight_tunnel_has_no_outside():
    assert shape("tunnel", tunnel_line="outside").forwards.track[0].length_m == pytest.approx(5.0)


def test_the_judges_size_goes_before_the_rulebooks_and_that_before_the_default():
    ruled = {("spread", "depth"): 0.30}
    assert shape("spread").sizes["depth"] == 0.55
    assert shape("spread", ruled=ruled).sizes["depth"] == 0.30
    assert shape("spread", ruled=ruled, depth=0.40).sizes["depth"] == 0.40


def test_a_spread_is_entered_at_its_front_bar_and_left_at_its_rear_bar():
    way = shape("spread", depth=0.5).forwards
    assert way.entry.centre == pytest.approx((0.0, -0.25))
    assert way.exit.centre == pytest.approx((0.0, 0.25))


def test_a_jump_leaves_its_bar_free_between_the_wings():
    built = shape("jump", bar=1.3, wing=0.5)
    gap = built.solids[0].distance(built.solids[1])
    assert gap == pytest.approx(1.3)
    assert built.forwards.entry.half_width_m == pytest.approx(0.65)


def test_a_table_is_left_in_any_direction():
    way = shape("table").forwards
    assert way.form == "stop"
    assert way.entry.cone_deg == 180.0


def test_shapes_of_obstacles_that_were_moved_on_are_let_go():
    course, _ = load_plan(sample("saltmarsh"))
    built = {}
    for step in range(3 * MOST_UNUSED):
        moved = replace(course.obstacles[7], bearing_deg=step / 10)
        plan = replace(course, obstacles=(*course.obstacles[:7], moved, *course.obstacles[8:]))
        shapes = build_shapes(plan, built=built)
        assert len(built) <= len(plan.obstacles) + MOST_UNUSED
        assert shapes[moved.id].footprint == build_shape(moved).footprint
        assert all(build_shapes(plan, built=built)[name] is shape for name, shape in shapes.items())

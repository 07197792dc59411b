"""Figures of remarks against what is known of a scene, and scenes in which nothing is to be said."""

from dataclasses import replace

import pytest
import shapely

from coursecheck.course.model import Blocked, Obstacle
from coursecheck.walk.passages import passages_between_solids
from coursecheck.walk.start import facing_at_start
from tests.walk.conftest import facts_of, plan_of, scene_of
from tests.walk.scenes import (
    AHEAD,
    ALONG_THE_WING,
    AT_A_WALL,
    BESIDE_A_WRAP,
    FACING_OUT,
    HIDDEN,
    IN_THE_AIR,
    INTO_A_WALL,
    NARROW,
    ON_THE_FLAT,
    ONE_WAY_THROUGH,
    OPEN_GAP,
    OUT_OF_A_TUNNEL,
    PULLED_THROUGH,
    SERPENTINE,
    TIGHT_START,
    WEAVES_RIGHT,
    WRAPPED_START,
)


def with_more(course, *obstacles):
    made = tuple(Obstacle(o[0], o[1], (o[2], o[3]), o[4], o[5] if len(o) > 5 else {}) for o in obstacles)
    return replace(course, obstacles=course.obstacles + made)


def test_nothing_is_said_of_jumps_in_a_straight_row_with_room(remarks):
    assert remarks(plan_of(*[(f"o{i}", "jump", 0, 6 * i, 0) for i in range(5)])) == []


def test_straight_on_is_measured_from_the_landing_to_the_bar(remarks):
    (made,) = remarks(AHEAD, "off-course-ahead")
    facts = facts_of(made)
    assert facts["distance"] == pytest.approx(12.0 - 7.0)
    assert facts["off the straight on"] == pytest.approx(0.0)
    assert facts["right obstacle off the straight on"] == pytest.approx(68.1986, abs=1e-3)  # atan2(5, 2)
    assert "trap" in made.obstacles


@pytest.mark.parametrize(
    "between",
    [
        ("x", "tunnel", -2.0, 9.5, 90, {"length": 4.0}),
        ("x", "wall", 0.0, 10.0, 0),
    ],
)
def test_what_stands_behind_something_else_draws_nobody(remarks, between):
    made = remarks(with_more(AHEAD, between), "off-course-ahead")
    assert all("trap" not in one.obstacles for one in made)


def test_what_stands_behind_a_blocked_place_is_told_as_hidden_and_weighs_less(remarks):
    assert remarks(HIDDEN, "off-course-ahead") == []
    (seen,), (hidden,) = remarks(AHEAD, "off-course-ahead"), remarks(HIDDEN, "off-course-hidden")
    assert "hidden behind the tent" in hidden.sentence
    assert facts_of(hidden) == facts_of(seen)
    assert 0.0 < hidden.weight < seen.weight


def test_what_stands_behind_a_jump_is_not_the_first_thing_met_and_not_told(remarks):
    between = with_more(AHEAD, ("x", "jump", 0.0, 10.0, 0))
    assert [made.obstacles[-1] for made in remarks(between, "off-course-ahead", "off-course-hidden")] == ["x"]


def test_what_is_hidden_comes_after_what_is_seen(remarks):
    more = with_more(HIDDEN, ("y", "jump", -1.9, 12.5, 0))
    kinds = [made.kind for made in remarks(more) if made.passes == (2, 3) and made.kind.startswith("off-course")]
    assert kinds.index("off-course-ahead") < kinds.index("off-course-hidden")


@pytest.mark.parametrize(("y", "counts"), [(15.99, True), (16.01, False)])
def test_reach_ends_nine_metres_from_the_landing(remarks, y, counts):
    moved = tuple(replace(o, at=(0.0, y)) if o.id == "trap" else o for o in AHEAD.obstacles)
    assert bool(remarks(replace(AHEAD, obstacles=moved), "off-course-ahead")) == counts


def test_a_trap_is_none_where_the_right_obstacle_lies_just_as_straight(remarks):
    course = plan_of(
        ("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("trap", "jump", 0, 15, 0), ("c", "jump", 1.2, 12, 0),
        run=["a", "b", "c"],
    )  # fmt: skip
    assert all("trap" not in made.obstacles for made in remarks(course, "off-course-ahead"))


def test_an_obstacle_shown_from_the_side_is_not_open(remarks):
    turned = tuple(replace(o, bearing_deg=90.0) if o.id == "trap" else o for o in AHEAD.obstacles)
    assert remarks(replace(AHEAD, obstacles=turned), "off-course-ahead") == []


def test_a_gap_is_as_wide_as_the_two_stand_apart(remarks):
    (made,) = remarks(NARROW, "narrow-gap")
    assert facts_of(made)["width"] == pytest.approx(1.6, abs=1e-3)
    assert "post" in made.sentence
    assert "tree" in made.sentence


def test_a_dog_is_pulled_through_between_two_jumps_that_it_could_take(remarks):
    (made,) = remarks(PULLED_THROUGH, "pull-through", "narrow-gap")
    facts = facts_of(made)
    posts = scene_of(PULLED_THROUGH).shapes
    assert facts["width"] == pytest.approx(posts["x"].footprint.distance(posts["y"].footprint), abs=1e-6)
    assert facts["angle to that bar"] == pytest.approx(0.0, abs=3.0)
    assert made.sentence.startswith("Pull-through from jump 1 to jump 2")


def test_jumps_shown_from_the_side_or_taken_are_no_pull_through(remarks):
    turned = tuple(replace(o, bearing_deg=90.0) if o.id in "xy" else o for o in PULLED_THROUGH.obstacles)
    assert remarks(replace(PULLED_THROUGH, obstacles=turned), "pull-through") == []
    assert remarks(BESIDE_A_WRAP, "pull-through") == []


def test_an_open_gap_is_measured_from_the_landing_to_its_middle(remarks):
    (made,) = remarks(OPEN_GAP, "open-gap")
    facts = facts_of(made)
    assert facts["width"] == pytest.approx(1.2)
    assert facts["distance"] == pytest.approx(8.8 - 7.0)
    assert facts["angle to the gap"] == pytest.approx(0.0, abs=1e-6)
    assert facts["right obstacle off the straight on"] == pytest.approx(68.1986, abs=1e-3)  # atan2(5, 2)


def test_between_sides_alongside_each_other_a_gap_has_its_middle_halfway():
    stands = [
        Blocked("long stand", outline=((0, 3), (1, 3), (1, 9), (0, 9))),
        Blocked("short stand", outline=((3, 3), (4, 3), (4, 7), (3, 7))),
    ]
    for blocked in (stands, stands[::-1]):
        (passage,) = passages_between_solids(scene_of(plan_of(("a", "jump", 0, -9, 0), blocked=blocked)), 2.5)
        assert passage.middle == pytest.approx((2.0, 5.0))
        assert passage.width_m == pytest.approx(2.0)


def test_where_two_places_are_as_narrow_a_gap_is_at_one_of_them():
    comb = Blocked("comb", outline=((0, 0), (10, 0), (10, 3), (9, 1), (1, 1), (0, 3)))
    bank = Blocked("bank", outline=((-1, 5), (11, 5), (11, 6), (-1, 6)))
    (passage,) = passages_between_solids(scene_of(plan_of(("a", "jump", 0, -9, 0), blocked=(comb, bank))), 2.5)
    assert passage.width_m == pytest.approx(2.0)
    assert passage.middle in [pytest.approx((0.0, 4.0)), pytest.approx((10.0, 4.0))]


@pytest.mark.parametrize(
    "figure",
    [
        {"open_gap": 1.21},
        {"gap_no_more": 1.19},
        {"gap_near": 1.0},
        {"off_course_reach": 1.7},
        {"off_course_margin": 69},
    ],
    ids=str,
)
def test_each_figure_of_an_open_gap_makes_it_go(remarks, figure):
    assert remarks(OPEN_GAP, "open-gap", **figure) == []


def test_a_gap_with_something_in_it_is_none(remarks):
    post = Blocked("third post", centre=(0.0, 8.8), radius_m=0.1)
    ring = replace(OPEN_GAP.ring, blocked=(*OPEN_GAP.ring.blocked, post))
    assert remarks(replace(OPEN_GAP, ring=ring), "open-gap") == []


def test_a_gap_behind_something_draws_nobody(remarks):
    stone = Blocked("stone", centre=(0.0, 8.0), radius_m=0.15)
    ring = replace(OPEN_GAP.ring, blocked=(*OPEN_GAP.ring.blocked, stone))
    assert remarks(replace(OPEN_GAP, ring=ring), "open-gap") == []


def test_the_gap_that_the_line_runs_through_is_not_taken_by_mistake(remarks):
    assert remarks(NARROW, "open-gap", off_course_margin=0.001) == []


@pytest.mark.parametrize(("most", "told"), [(0.81, True), (0.79, False)])
def test_a_gap_that_all_have_to_get_through_is_told_where_it_is_narrow_for_a_handler(remarks, most, told):
    made = remarks(ONE_WAY_THROUGH, "handler-gap", handler_gap=most)
    assert [one.passes for one in made] == ([(2, 3)] if told else [])
    for one in made:
        assert facts_of(one)["width"] == pytest.approx(0.8)
        assert "slow or middling or fast handler" in one.sentence


def test_where_there_is_room_to_go_elsewhere_no_handler_has_to_get_through(remarks):
    assert remarks(NARROW, "handler-gap", handler_gap=1.7) == []


def test_after_a_long_jump_there_is_room_on_the_flat_or_there_is_not(remarks):
    (flat,) = remarks(ON_THE_FLAT, "turn-on-the-flat")
    (air,) = remarks(IN_THE_AIR, "turn-in-the-air")
    assert facts_of(flat)["straight room"] > 2.0 > facts_of(air)["straight room"]
    assert not remarks(ON_THE_FLAT, "turn-in-the-air")


def test_a_serpentine_needs_three_jumps(remarks):
    two = replace(SERPENTINE, passes=SERPENTINE.passes[:2])
    assert remarks(two, "serpentine") == []


def test_a_serpentine_is_none_where_the_jumps_stand_too_far_apart(remarks):
    assert remarks(SERPENTINE, "serpentine", in_a_row=4.9) == []


def test_room_behind_the_first_jump_is_measured_to_the_edge(remarks):
    (made,) = remarks(TIGHT_START, "setting-up")
    assert facts_of(made)["room behind"] == pytest.approx(2.0)


def with_ring(course, **changed):
    return replace(course, ring=replace(course.ring, **changed))


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({}, "the open top side, 8.0 m ahead"),
        ({"entrance": ((14.0, 30.0), (17.0, 30.0))}, "the entrance, 8.0 m ahead"),
        ({"exit": ((12.0, 30.0), (14.0, 30.0))}, "the exit, 8.2 m ahead"),
        ({"exit": ((2.0, 30.0), (5.0, 30.0))}, "the open top side, 8.0 m ahead"),
        ({"solid": frozenset({0, 1, 3})}, "the open top side, 8.0 m ahead"),
    ],
)
def test_a_start_that_faces_out_of_the_ring_says_where_and_how_far(remarks, changed, says):
    (made,) = remarks(with_ring(FACING_OUT, **changed), "start-facing-out")
    assert says in made.sentence
    assert (made.passes, made.witness.points[0]) == ((1,), (15.0, 22.0))
    assert facts_of(made)["distance"] == pytest.approx(8.0, abs=0.3)


def test_nobody_is_seen_through_a_wall_or_far_away(remarks, figures):
    assert remarks(with_ring(FACING_OUT, solid=frozenset({2})), "start-facing-out") == []
    assert remarks(FACING_OUT, "start-facing-out", start_open=7.9) == []
    facing = facing_at_start(scene_of(with_ring(FACING_OUT, solid=frozenset({2}))), figures)
    assert (facing.side, facing.what, facing.distance_m) == ("top side", "wall", pytest.approx(8.0))


def test_sides_of_a_ring_that_is_no_upright_rectangle_are_numbered(figures):
    ring = with_ring(FACING_OUT, outline=((0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (15.0, 33.0), (0.0, 30.0)))
    assert facing_at_start(scene_of(ring), figures).side in ("side 3", "side 4")


def test_a_wrapped_start_says_what_it_costs_in_length(remarks, walked):
    (made,) = remarks(WRAPPED_START, "wrapped-start")
    leg = walked(WRAPPED_START).legs[0]
    straight = ((19 - 15) ** 2 + (1 - 6) ** 2) ** 0.5
    assert facts_of(made)["longer than straight"] == pytest.approx(leg.length_m - straight)
    assert facts_of(made)["longer than straight"] > 1.0


def test_the_stopping_distance_is_v_squared_over_twice_the_brakes(remarks):
    (made,) = remarks(INTO_A_WALL, "finish-at-a-wall")
    facts = facts_of(made)
    assert facts["stopping distance"] == pytest.approx(facts["speed"] ** 2 / 12.0)
    assert facts["angle to the wall"] == pytest.approx(45.0, abs=1.0)
    assert "at a slant" in made.sentence
    assert facts["room"] < facts["stopping distance"]


def test_a_wall_ahead_counts_where_a_dog_that_is_not_turned_cannot_stop(remarks, walked):
    (made,) = remarks(AT_A_WALL, "wall-ahead")
    facts = facts_of(made)
    assert facts["room"] == pytest.approx(26.6 - 24.0)
    assert facts["speed"] == pytest.approx(walked(AT_A_WALL).legs[2].motion.fastest_mps)
    assert facts["stopping distance"] == pytest.approx(facts["speed"] ** 2 / 12.0)
    assert remarks(with_ring(AT_A_WALL, solid=frozenset()), "wall-ahead") == []


def test_beside_a_wrap_the_gap_is_as_wide_as_the_two_jumps_stand_apart(remarks):
    (made,) = remarks(BESIDE_A_WRAP, "jump-beside-wrap")
    assert facts_of(made)["gap"] == pytest.approx(4.4 - 2 * (0.6 + 0.5), abs=0.05)
    assert 0.0 < facts_of(made)["off the line"] < 2.0
    farther = tuple(replace(o, at=(7.5, 6.0)) if o.id == "x" else o for o in BESIDE_A_WRAP.obstacles)
    assert remarks(replace(BESIDE_A_WRAP, obstacles=farther), "jump-beside-wrap") == []
    turned = tuple(replace(o, bearing_deg=90.0) if o.id == "x" else o for o in BESIDE_A_WRAP.obstacles)
    assert remarks(replace(BESIDE_A_WRAP, obstacles=turned), "jump-beside-wrap") == []


SPRINTERS = {"handler_slow": 9.0, "handler_middling": 9.0, "handler_fast": 9.0, "handler_acceleration": 20.0}


def test_a_dog_out_of_a_tunnel_looks_for_who_is_far_behind_it_and_for_nobody_else(remarks):
    (made,) = remarks(OUT_OF_A_TUNNEL, "tunnel-look")
    assert facts_of(made)["between handler and right obstacle"] >= 90.0
    assert facts_of(made)["handler's distance"] >= 2.5
    assert remarks(OUT_OF_A_TUNNEL, "tunnel-look", **SPRINTERS) == []


def test_an_edge_that_is_no_wall_stops_nobody(remarks):
    ring = replace(INTO_A_WALL.ring, solid=frozenset())
    assert remarks(replace(INTO_A_WALL, ring=ring), "finish-at-a-wall", "near-wall") == []


def test_a_weave_entry_is_measured_from_the_last_bar_to_the_first_gap(remarks):
    (made,) = remarks(WEAVES_RIGHT, "weave-entry")
    # first pole at (0, -3.3), the dog 0.25 m to its right: from (5, -8.3) 4.75 m across and 5 m along
    assert facts_of(made)["angle"] == pytest.approx(-43.53, abs=0.01)


def test_a_jump_met_along_its_wing_shows_the_cosine_of_its_bar(remarks):
    (made,) = remarks(ALONG_THE_WING, "along-the-wing")
    assert facts_of(made)["angle"] == pytest.approx(71.565, abs=1e-3)  # atan2(6, 2)
    assert "shows 32 % of its bar" in made.sentence


def test_a_plan_in_sight_all_the_way_is_seen_in_time(walked):
    one = walked(plan_of(*[(f"o{i}", "jump", 0, 6 * i, 0) for i in range(4)]))
    for sight, leg in zip(one.sights, one.legs, strict=True):
        assert sight.seen_s >= leg.motion.time_s - 1e-9
    assert one.sights[1].whole


def test_in_a_tunnel_a_dog_sees_nothing(walked):
    course = plan_of(("a", "jump", 0, -6, 0), ("t", "tunnel", 0, 0, 0, {"length": 5.0}), ("b", "jump", 0, 11, 0))
    one = walked(course)
    assert not one.sights[1].whole
    assert one.sights[1].seen_s == pytest.approx(one.legs[1].motion.time_s, abs=0.05)


def test_over_an_a_frame_a_dog_sees_what_comes_next_from_the_top_on(walked):
    course = plan_of(("a", "jump", 0, -8, 0), ("f", "a-frame", 0, 0, 0), ("b", "jump", 0, 9, 0))
    one = walked(course)
    start, end = one.scene.spans[1]
    down_s = one.scene.profile.time_at(end) - one.scene.profile.time_at((start + end) / 2)
    assert one.sights[1].seen_s == pytest.approx(one.legs[1].motion.time_s + down_s, abs=1e-3)
    assert not one.sights[1].whole


def test_an_a_frame_in_between_hides_what_stands_behind_it_until_the_dog_is_past(walked):
    course = plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 0, 14, 0), ("f", "a-frame", 0, 7, 90), run=["a", "b"])
    (free,), (hidden,) = walked(replace(course, obstacles=course.obstacles[:2])).sights, walked(course).sights
    assert free.whole
    assert not hidden.whole
    look = shapely.LineString((hidden.point, (0.0, 14.0)))
    (frame,) = scene_of(course).shapes["f"].solids
    assert look.distance(frame) == pytest.approx(0.0, abs=0.01)


def test_a_leg_without_a_line_is_said_so_and_the_rest_is_walked(walked):
    walls = tuple(
        Blocked(f"fence {i}", outline=ends)
        for i, ends in enumerate(
            [
                ((-39.9, 10.0), (39.9, 10.0), (39.9, 10.2), (-39.9, 10.2)),
            ]
        )
    )
    course = plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("c", "jump", 0, 16, 0), blocked=walls)
    assert scene_of(course).line.problems
    one = walked(course)
    assert one.legs[1].problem
    assert one.sights == (None, None)
    assert all(made.kind not in ("wrap", "backside") for made in one.remarks if made.leg == 2)


@pytest.mark.parametrize("passes", [0, 1])
def test_a_plan_with_little_or_no_sequence_is_walked_too(walked, passes):
    one = walked(replace(AHEAD, passes=AHEAD.passes[:passes]))
    assert one.legs == ()

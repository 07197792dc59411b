"""The handling plan: the cheapest of all, by trying every one, on free ground; who is faster is never worse off."""

import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

import coursecheck
from coursecheck.course.model import Blocked
from coursecheck.resources import sample
from coursecheck.walk.handler import plans_of, steps_of, stretches
from coursecheck.walk.handler_ground import Ground, grounds_of, places_of
from coursecheck.walk.handler_motion import least_time_s
from coursecheck.walk.legs import legs_of
from tests.plans import mirrored, moved
from tests.walk.conftest import facts_of, plan_of, scene_of
from tests.walk.scenes import ONE_WAY_THROUGH, OUTRUN

SMALL = {
    "row": plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("c", "jump", 0, 12, 0)),
    "turn": plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 3, 6, 50), ("c", "jump", 4, 1, 190)),
    "tunnel": plan_of(("a", "jump", 0, -6, 0), ("t", "tunnel", 0, 0, 0, {"bend": 120.0}), ("c", "jump", 7, 0, 150)),
}
S_BEND = plan_of(
    ("a", "jump", 0, 0, 0), ("b", "jump", 2, 6, 60), ("c", "jump", 8, 7, 120), ("d", "jump", 10, 1.5, 120),
    ("e", "jump", 16, 1, 40), ("f", "jump", 18, 7, 0),
)  # fmt: skip


def plans(course, figures, *handlers):
    scene = scene_of(course)
    return plans_of(
        scene, Ground.of(scene), legs_of(scene, figures), figures, handlers or ("slow", "middling", "fast")
    )


def unit(start, end):
    far = math.dist(start, end)
    return ((end[0] - start[0]) / far, (end[1] - start[1]) / far) if far else (0.0, 0.0)


def with_the_dog(way, bearing_deg):
    """Whether a way leads within 60 degrees of the dog's."""
    heading = (math.sin(math.radians(bearing_deg)), math.cos(math.radians(bearing_deg)))
    return way[0] * heading[0] + way[1] * heading[1] >= 0.5 - 1e-9


def least_s(way, rests, speed, push):
    """Written out case by case: from rest to rest, with one end at rest, and running at both."""
    if rests == 2:
        return way / speed + speed / push if way >= speed**2 / push else 2 * math.sqrt(way / push)
    if rests == 1:
        return way / speed + speed / push / 2 if way >= speed**2 / push / 2 else math.sqrt(2 * way / push)
    return way / speed


def price(a, b, way, seconds, speed, leg, figures):
    """What a leg costs, reckoned apart from the program, from place to place, each with whether it runs there."""
    (start, off), (end, on) = a, b
    push = figures["handler-acceleration"]
    front = start.side != end.side and end.along_m >= 0
    rear = start.side != end.side and end.along_m < 0
    points = figures["cost-front-cross"] * front + figures["cost-rear-cross"] * rear
    turn = leg.right_deg - leg.left_deg
    if abs(turn) >= 45.0 and end.side != ("right" if turn > 0 else "left"):
        points += figures["cost-outside"]
    points += figures["cost-far"] * end.far + figures["cost-behind"] * max(0.0, -end.along_m) / 2.5

    rests, direction = 2 - off - on, unit(start.point, end.point)
    can = not off or with_the_dog(direction, start.bearing_deg)
    can = can and (not on or with_the_dog(direction, end.bearing_deg))
    if rests == 1:
        can = can and way >= 1.5**2 / (2 * push)
    if rests == 0:
        can = can and (way >= 1.5 * seconds or least_s(way, 2, speed, push) <= seconds)
    turning = figures["handler-turn-round"] * front
    if can and (needs := least_s(way, rests, speed, push) + turning) <= seconds + 1e-9:
        return points + (needs / seconds) ** 2
    stops = off and not on and least_s(way, 2, speed, push) + turning <= seconds + 1e-9
    return points + 1.0 if stops else math.inf


@pytest.mark.parametrize("name", SMALL)
@pytest.mark.parametrize("handler", ["slow", "fast"])
def test_no_plan_at_all_is_cheaper(figures, name, handler):
    scene = scene_of(SMALL[name])
    legs = legs_of(scene, figures)
    speed = figures[f"handler-{handler}"]
    prices = []
    for step, leg in zip(steps_of(scene, Ground.of(scene), legs, figures), legs, strict=True):
        starts, ends = (
            [(place, runs) for place in row for runs in (False, True)] for row in (step.starts, step.ends)
        )
        ways = step.ways.repeat(2, axis=0).repeat(2, axis=1)
        rows = [
            [price(a, b, w, step.time_s, speed, leg, figures) for b, w in zip(ends, row, strict=True)]
            for a, row in zip(starts, ways, strict=True)
        ]
        prices.append(np.array(rows))
    one, other = prices
    every = one[::2, :, None] + other[None]  # the handler begins standing
    (plan,) = plans(SMALL[name], figures, handler)
    assert np.isfinite(every.min())
    assert plan.cost == pytest.approx(every.min(), abs=1e-6)


LONG = plan_of(
    *[(f"o{i}", "jump", 0, 6.5 * i, 0) for i in range(12)], ring=((-40, -40), (40, -40), (40, 90), (-40, 90))
)


def test_who_is_outrun_falls_behind_by_what_the_best_of_all_plans_is_late(figures):
    """Every plan at once: the least lateness to get to each place, reckoned pass by pass with plain loops."""
    scene = scene_of(LONG)
    legs, speed, push = legs_of(scene, figures), 2.0, figures["handler-acceleration"]
    slow = figures.changed({"handler-slow": speed}, "a test")
    least = {}
    for step in steps_of(scene, Ground.of(scene), legs, slow):
        states = least or {(place.point, False): 0.0 for place in step.starts}
        after = {}
        for i, start in enumerate(step.starts):
            for j, end in enumerate(step.ends):
                way, direction = float(step.ways[i, j]), unit(start.point, end.point)
                front = figures["handler-turn-round"] * (start.side != end.side and end.along_m >= 0)
                for off, on in itertools.product((False, True), repeat=2):
                    if (start.point, off) not in states:
                        continue
                    rests = 2 - off - on
                    goes = (not off or with_the_dog(direction, start.bearing_deg)) and (
                        not on or with_the_dog(direction, end.bearing_deg)
                    )
                    goes = goes and (rests != 1 or way >= 1.5**2 / (2 * push))
                    goes = goes and (
                        rests != 0 or way >= 1.5 * step.time_s or least_s(way, 2, speed, push) <= step.time_s
                    )
                    needs = [least_s(way, rests, speed, push)] * goes + [least_s(way, 2, speed, push)] * (not on)
                    for needed in needs:
                        late = states[start.point, off] + max(0.0, needed + front - step.time_s)
                        after[end.point, on] = min(late, after.get((end.point, on), math.inf))
        least = after
    (plan,) = plans_of(scene, Ground.of(scene), legs, slow, ["slow"])
    assert math.fsum(leg.short_s for leg in plan.legs) == pytest.approx(min(least.values()), abs=1e-6)
    assert min(least.values()) > 1.0


ONE_OUTRUN = {"handler_slow": 2.0, "handler_middling": 8.0, "handler_fast": 9.0}


def test_where_one_falls_behind_is_told_as_one_stretch_with_what_would_change_it(remarks):
    (made,) = remarks(LONG, "handler-late", **ONE_OUTRUN)
    assert made.passes[-1] == 12
    assert made.passes == tuple(range(made.passes[0], 13))
    assert facts_of(made)["too late"] > 1.0
    assert "slow handler (2.0 m/s) falls behind" in made.sentence
    assert set(made.hangs_on) == {"handler-slow", "handler-acceleration", "handler-turn-round", "handler-behind"}
    assert made.uncertain == ()
    (close,) = remarks(LONG, "handler-late", **ONE_OUTRUN, handler_behind=facts_of(made)["too late"] - 0.1)
    assert "handler-behind" in close.uncertain
    assert "handler-slow" in close.uncertain


def test_by_less_than_a_step_nobody_falls_behind(remarks):
    (made,) = remarks(LONG, "handler-late", **ONE_OUTRUN)
    more = facts_of(made)["too late"] + 0.01
    assert remarks(LONG, "handler-late", **ONE_OUTRUN, handler_behind=more) == []


@pytest.mark.parametrize(
    ("way", "rests", "seconds"),
    [
        (10.0, 2, 10 / 4 + 4 / 3),
        (1.0, 2, 2 * math.sqrt(1 / 3)),
        (16 / 3, 2, 2 * math.sqrt(16 / 9)),
        (10.0, 1, 10 / 4 + 4 / 6),
        (1.0, 1, math.sqrt(2 / 3)),
        (10.0, 0, 2.5),
        (0.0, 2, 0.0),
        (math.inf, 2, math.inf),
    ],
)
def test_from_rest_to_rest_takes_the_way_and_the_time_to_get_to_speed(way, rests, seconds):
    assert least_time_s(np.array([way]), rests, 4.0, 3.0)[0] == pytest.approx(seconds)


@given(way=st.floats(0.01, 50), speed=st.floats(1, 7), push=st.floats(0.5, 8), rests=st.integers(0, 2))
def test_who_stands_is_never_faster_and_who_is_faster_never_slower(way, speed, push, rests):
    ways = np.array([way, way + 0.5])
    times = least_time_s(ways, rests, speed, push)
    assert times[0] <= times[1]
    assert np.all(times >= ways / speed - 1e-9)
    assert np.all(least_time_s(ways, rests, 1.1 * speed, push) <= times + 1e-9)
    assert np.all(least_time_s(ways, rests, speed, 1.1 * push) <= times + 1e-9)
    if rests:
        assert np.all(least_time_s(ways, rests - 1, speed, push) <= times + 1e-9)


def test_who_comes_running_comes_the_way_that_the_dog_goes(figures):
    legs = [
        leg for course in (*SMALL.values(), S_BEND, OUTRUN) for plan in plans(course, figures) for leg in plan.legs
    ]
    running = [leg for leg in legs if leg.runs_in]
    assert 0 < len(running) < len(legs)
    for leg in running:
        assert with_the_dog(unit(leg.start.point, leg.end.point), leg.end.bearing_deg)


@pytest.mark.parametrize("name", SMALL)
def test_a_handler_stands_on_free_ground_alone(figures, name):
    scene = scene_of(SMALL[name])
    for plan in plans(SMALL[name], figures):
        for leg in plan.legs:
            for place in (leg.start, leg.end):
                at = shapely.Point(place.point)
                assert scene.ring.covers(at)
                assert all(shape.footprint.distance(at) >= 0.2 - 1e-9 for shape in scene.shapes.values())


def test_a_faster_handler_is_never_worse_off(figures):
    for course in (*SMALL.values(), S_BEND):
        costs = [plan.cost for plan in plans(course, figures)]
        assert costs == sorted(costs, reverse=True)


def test_in_a_straight_row_nobody_changes_sides_and_a_fast_handler_is_in_time(figures):
    for plan in plans(SMALL["row"], figures):
        assert plan.changes == ()
    assert stretches(plans(SMALL["row"], figures, "fast")[0], figures) == ()


def test_a_row_is_handled_as_well_from_either_side(figures):
    (here,), (there,) = plans(SMALL["turn"], figures, "middling"), plans(mirrored(SMALL["turn"]), figures, "middling")
    assert here.cost == pytest.approx(there.cost, abs=1e-3)
    swap = {"left": "right", "right": "left"}
    assert [swap[leg.end.side] for leg in here.legs] == [leg.end.side for leg in there.legs]


def test_a_turned_plan_is_handled_alike(figures):
    (here,), (there,) = (
        plans(S_BEND, figures, "middling"),
        plans(moved(S_BEND, 73.0, (1.0, 2.0)), figures, "middling"),
    )
    assert here.cost == pytest.approx(there.cost, abs=1e-2)


def test_a_turn_is_handled_from_its_inside(figures):
    (plan,) = plans(SMALL["turn"], figures, "fast")
    assert plan.legs[-1].end.side == "right"


@pytest.mark.parametrize(("y", "longer"), [(0.0, 2 * math.hypot(4.0, 2.0)), (5.0, 8.0)])
def test_the_way_round_a_wall_is_the_shortest_one(y, longer):
    # from (-4, y) to (4, y) with a thin wall from (0, -2) to (0, 2) in between: round its end, or straight past it
    scene = scene_of(
        plan_of(
            ("a", "jump", 0, 20, 0),
            blocked=(Blocked("fence", outline=((-0.01, -2), (0.01, -2), (0.01, 2), (-0.01, 2))),),
        )
    )
    (ways,) = Ground.of(scene).ways([[(-4.0, y)], [(4.0, y)]])
    assert ways[0, 0] == pytest.approx(longer, abs=0.35)  # a body's width is kept
    assert ways[0, 0] >= longer - 1e-9


@pytest.mark.parametrize("name", ["saltmarsh", "granary", "draft-with-faults"])
def test_what_is_known_of_other_classes_changes_no_way(figures, name):
    course, rulebook = coursecheck.load_plan(sample(name))
    scenes = coursecheck.measure_course(course, rulebook, list(rulebook.heights))
    for height, ground in grounds_of(scenes).items():
        alone = Ground.of(scenes[height])
        rows = [[place.point for place in row] for row in places_of(scenes[height], alone, figures)]
        for one, other in zip(ground.ways(rows), alone.ways(rows), strict=True):
            assert np.array_equal(one, other)


@pytest.mark.parametrize("name", [*SMALL, "fences"])
def test_the_route_is_as_long_as_the_way_and_goes_over_nothing(figures, name):
    scene = scene_of({**SMALL, "fences": ONE_WAY_THROUGH}[name])
    ground = Ground.of(scene)
    rows = [[place.point for place in row] for row in places_of(scene, ground, figures)]
    bent = 0
    for (starts, ends), ways in zip(itertools.pairwise(rows), ground.ways(rows), strict=True):
        for start, row in zip(starts[::3], ways[::3], strict=True):
            for end, way in zip(ends[::3], row[::3], strict=True):
                route = ground.route(start, end)
                assert (route[0], route[-1]) == (start, end)
                assert shapely.LineString(route).length == pytest.approx(way, abs=1e-6)
                assert not ground.taken.buffer(-1e-6).intersects(shapely.LineString(route))
                bent += len(route) > 2
    assert bent


def test_where_there_is_no_way_the_way_is_endless_and_there_is_no_route():
    fence = Blocked("fence", outline=((-40, 0), (40, 0), (40, 0.1), (-40, 0.1)))
    scene = scene_of(plan_of(("a", "jump", 0, 20, 0), blocked=(fence,)))
    (ways,) = Ground.of(scene).ways([[(0.0, -5.0)], [(0.0, 5.0)]])
    assert np.isinf(ways[0, 0])
    assert Ground.of(scene).route((0.0, -5.0), (0.0, 5.0)) == ()


def test_a_handler_who_is_shut_in_falls_behind_without_endless_figures(remarks):
    fence = Blocked("fence", outline=((-40, 3), (40, 3), (40, 3.1), (-40, 3.1)))
    tunnel = ("t", "tunnel", 0, 0, 0, {"length": 6.0})
    course = plan_of(("a", "jump", 0, -6, 0), tunnel, ("b", "jump", 0, 12, 0), blocked=(fence,))
    made = remarks(course, "handler-late")
    (one,) = made
    assert "fast handler" in one.sentence
    assert all(math.isfinite(fact.value) for fact in one.facts)

"""The handling plan: the cheapest of all, by trying every one, on free ground; who is faster is never worse off."""

import itertools
import math

import numpy as np
import pytest
import shapely

from coursecheck.course.model import Blocked
from coursecheck.walk.handler import HandlerLeg, HandlingPlan, handler_remarks, plans_of
from coursecheck.walk.handler_ground import Ground, Place, places_of
from coursecheck.walk.legs import legs_of, pass_spans_m
from tests.plans import mirrored, moved
from tests.walk.conftest import plan_of, scene_of
from tests.walk.scenes import ONE_WAY_THROUGH

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
    return plans_of(scene, legs_of(scene, figures), figures, handlers or ("slow", "middling", "fast"))


def price(start, end, way, seconds, speed, leg, figures):
    """What a leg costs, reckoned apart from the program."""
    front = start.side != end.side and end.along_m >= 0
    rear = start.side != end.side and end.along_m < 0
    share = min(50.0, (way / speed + (figures["handler-turn-round"] if front else 0.0)) / seconds)
    points = share**2 if share <= 1.15 else 20.0 * share
    points += figures["cost-front-cross"] * front + figures["cost-rear-cross"] * rear
    turn = leg.right_deg - leg.left_deg
    if abs(turn) >= 45.0 and end.side != ("right" if turn > 0 else "left"):
        points += figures["cost-outside"]
    return points + figures["cost-far"] * end.far + figures["cost-behind"] * max(0.0, -end.along_m) / 2.5


@pytest.mark.parametrize("name", SMALL)
@pytest.mark.parametrize("handler", ["slow", "fast"])
def test_no_plan_at_all_is_cheaper(figures, name, handler):
    scene = scene_of(SMALL[name])
    legs, ground = legs_of(scene, figures), Ground.of(scene)
    places = places_of(scene, ground, figures)
    ways = ground.ways([[place.point for place in row] for row in places])
    entries = [scene.profile.time_at(start) for start, _ in pass_spans_m(scene)]
    speed = figures[f"handler-{handler}"]
    prices = [
        [
            [
                price(a, b, w, entries[i + 1] - entries[i], speed, leg, figures)
                for b, w in zip(places[i + 1], row, strict=True)
            ]
            for a, row in zip(places[i], ways[i], strict=True)
        ]
        for i, leg in enumerate(legs)
    ]
    cheapest = min(
        sum(prices[i][a][b] for i, (a, b) in enumerate(itertools.pairwise(way)))
        for way in itertools.product(*(range(len(row)) for row in places))
    )
    (plan,) = plans(SMALL[name], figures, handler)
    assert plan.cost == pytest.approx(cheapest, abs=1e-6)


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
    assert plans(SMALL["row"], figures, "fast")[0].late == ()


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


def test_a_leg_that_a_slow_handler_cannot_keep_up_with_is_said_with_its_figures(remarks):
    fast_line = plan_of(*[(f"o{i}", "jump", 0, 7 * i, 0) for i in range(5)])
    made = remarks(fast_line, "handler-late", handler_slow=0.8, handler_middling=4.0)
    assert made
    assert all("slow handler (0.8 m/s)" in one.sentence for one in made)
    assert all("handler-slow" in one.hangs_on for one in made)


def test_a_handler_who_is_shut_in_gets_nowhere_and_that_is_said_without_endless_figures(figures):
    scene = scene_of(plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0)))
    start, end = (Place(n, "left", far=False, along_m=0.0, point=(-3.0, 6.0 * n)) for n in (1, 2))
    stuck = HandlerLeg(start, end, math.inf, 1.2, "", -math.inf, late=True)
    plan = HandlingPlan("fast", 5.0, (stuck,), 1000.0)
    (made,) = handler_remarks(scene, legs_of(scene, figures), [plan], figures)
    assert "no way at all" in made.sentence
    assert made.facts
    assert all(math.isfinite(fact.value) for fact in made.facts)

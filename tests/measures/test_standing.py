"""Where the judge can stand: what is called free to see is free, and nothing that has to be seen is left out."""

import math
from dataclasses import replace

import pytest
import shapely

from coursecheck.checking import measure_course
from coursecheck.course.model import Blocked, Course, Obstacle, Pass, Ring
from coursecheck.equipment import build_shapes
from coursecheck.measures.scene import Scene
from coursecheck.measures.standing import SIGHT_M, standing_places, targets, views_from
from coursecheck.path.line import Line
from coursecheck.path.runner import Runner
from coursecheck.plans import load_plan
from coursecheck.resources import sample

RING = Ring(((0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)))


def scene_of(*obstacles, blocked=()):
    """Obstacles in a bare ring, one pass over each, without a line."""
    passes = tuple(Pass(i, obstacle.id) for i, obstacle in enumerate(obstacles, 1))
    course = Course("t", "club-show", "agility", "1", replace(RING, blocked=blocked), obstacles, passes)
    return Scene(course, build_shapes(course), Line(Runner(1.0, 0.8, 0.8), (), ()))


FRAME = Obstacle("frame", "a-frame", (15.0, 15.0), 0.0)
WALK = Obstacle("walk", "dog-walk", (15.0, 15.0), 0.0)
POLES = Obstacle("poles", "weaves", (15.0, 15.0), 0.0)


@pytest.fixture(scope="module", params=["saltmarsh", "granary", "draft-with-faults"])
def scenes(request):
    return measure_course(*load_plan(sample(request.param)))


def test_nothing_solid_lies_between_the_judge_and_what_is_seen(scenes):
    places, _ = standing_places(scenes)
    scene = list(scenes.values())[-1]
    of = {target.point: target.obstacle for target in targets(scene)}
    for place in places:
        for view in place.views:
            sight = shapely.LineString([place.place, view.point])
            assert sight.length == pytest.approx(view.distance_m)
            assert sight.length <= SIGHT_M
            for name, shape in scene.shapes.items():
                if name != of[view.point] and shape.kind.family != "weaves":
                    assert not any(sight.intersects(solid) for solid in shape.solids), (view.words, name)


def test_a_place_is_inside_the_ring_and_off_the_line_of_every_class(scenes):
    for place in standing_places(scenes)[0]:
        spot = shapely.Point(place.place)
        for scene in scenes.values():
            assert scene.ring.contains(spot)
            line = shapely.LineString(
                [p.at(p.length_m * i / 9).point for p in scene.line.segments() for i in range(10)]
            )
            assert spot.distance(line) >= 1.99
            assert all(shape.footprint.distance(spot) >= 0.49 for shape in scene.shapes.values())


def test_every_contact_zone_and_weave_entry_is_seen_or_named_as_unseen(scenes):
    places, unseen = standing_places(scenes)
    said = [view.words for place in places for view in place.views] + list(unseen)
    assert sorted(said) == sorted(target.words for target in targets(list(scenes.values())[-1]))


def test_a_plank_has_an_up_and_a_down_contact_and_the_weaves_an_entry_between_the_first_two_poles():
    found = [(target.words, target.point) for target in targets(scene_of(WALK, replace(POLES, at=(5.0, 15.0))))]
    (up, low), (down, high), (entry, gap) = found
    assert (up, down, entry) == ("1 dog walk: up contact", "1 dog walk: down contact", "2 weave poles: entry")
    assert low[1] < 15.0 < high[1]
    assert gap == pytest.approx((5.0, 15.0 - 11 * 0.6 / 2 + 0.3))


def test_a_zone_that_two_passes_use_is_named_once_for_both():
    scene = scene_of(WALK)
    again = replace(scene.course, passes=(Pass(1, "walk"), Pass(4, "walk", reverse=True)))
    assert [t.words for t in targets(replace(scene, course=again))] == ["1, 4 dog walk: contact"] * 2


def test_the_apex_of_an_a_frame_hides_its_far_side():
    scene = scene_of(FRAME)
    assert [view.words for view in views_from(scene, (15.0, 25.0))] == ["1 A-frame: down contact"]
    assert [view.words for view in views_from(scene, (15.0, 5.0))] == ["1 A-frame: up contact"]
    assert len(views_from(scene, (20.0, 15.0))) == 2


def test_a_tent_in_between_hides_and_so_does_a_wing():
    tent = Blocked("tent", outline=((17.0, 12.0), (18.0, 12.0), (18.0, 18.0), (17.0, 18.0)))
    assert views_from(scene_of(FRAME, blocked=(tent,)), (22.0, 15.0)) == ()
    jump = Obstacle("j", "jump", (15.85, 5.0), 0.0)
    assert [v.words for v in views_from(scene_of(POLES, jump), (15.0, 1.0))] == []
    assert len(views_from(scene_of(POLES, jump), (13.0, 1.0))) == 1


def test_one_pole_alone_has_no_entry_to_be_seen():
    assert list(targets(scene_of(replace(POLES, sizes={"poles": 1.0})))) == []


def test_too_far_away_is_not_seen():
    scene = scene_of(POLES)
    assert views_from(scene, (15.0, 15.0 - 3.3 + 0.3 - SIGHT_M - 0.01)) == ()
    assert len(views_from(scene, (15.0, 15.0 - 3.3 + 0.3 - SIGHT_M + 0.01))) == 1


def test_what_no_place_sees_is_said_to_be_unseen():
    walls = Blocked("hall", outline=((14.0, 10.0), (16.0, 10.0), (16.0, 20.0), (14.0, 20.0)))
    places, unseen = standing_places({"large": scene_of(POLES, blocked=(walls,))})
    assert places == ()
    assert unseen == ("1 weave poles: entry",)


def test_few_places_serve_and_each_is_near():
    places, _ = standing_places({"large": scene_of(FRAME)})
    assert len(places) == 1
    assert max(view.distance_m for view in places[0].views) < 4.0
    assert math.dist(places[0].place, (15.0, 15.0)) > 1.0

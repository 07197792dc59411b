"""The judge's walk: every contact zone and weave entry from some stop, in the order of the course, with its times."""

import math

import pytest

import coursecheck
from coursecheck.resources import sample
from coursecheck.walk.handler_ground import Ground
from coursecheck.walk.judge_walk import judge_walk
from tests.walk.conftest import plan_of, scene_of


def of_sample(name, figures):
    course, rulebook = coursecheck.load_plan(sample(name))
    scenes = coursecheck.measure_course(course, rulebook)
    return scenes, judge_walk(scenes, Ground.of(scenes["large"]), figures)


def test_every_contact_and_weave_entry_is_seen_in_the_order_of_the_course(figures):
    scenes, walked = of_sample("saltmarsh", figures)
    judged = [
        r.number for r in scenes["large"].passes if scenes["large"].shape(r).kind.family in ("contact", "weaves")
    ]
    assert [number for stop in walked.stops for number in stop.passes] == judged
    assert walked.unseen == ()


def test_a_way_is_no_shorter_than_the_straight_and_its_time_is_the_dogs(figures):
    scenes, walked = of_sample("saltmarsh", figures)
    first, second = walked.stops
    assert second.way_m >= math.dist(first.place, second.place) - 1e-9
    run_s = min(scene.profile.total_s for scene in scenes.values())
    assert 0.0 < second.time_s < run_s
    assert second.hurried == (second.way_m > 2.0 * second.time_s)
    assert walked.way_m == pytest.approx(second.way_m)


def test_a_judge_who_is_fast_enough_is_not_hurried(figures):
    course, rulebook = coursecheck.load_plan(sample("saltmarsh"))
    scenes = coursecheck.measure_course(course, rulebook)
    brisk = judge_walk(scenes, Ground.of(scenes["large"]), figures.changed({"judge-speed": 6.0}, "a test"))
    assert not any(stop.hurried or stop.uncertain for stop in brisk.stops)


def test_where_there_is_nothing_to_judge_from_near_the_judge_walks_nowhere(figures):
    scene = scene_of(plan_of(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0)))
    walked = judge_walk({"large": scene}, Ground.of(scene), figures)
    assert (walked.stops, walked.way_m) == ((), 0.0)

"""The model dog against what was measured of real ones.

Median of the whole-run mean speed of 745 competition dogs: 4.3 m/s (Inkila et al. 2022, Animals 12(2):212, abstract).
Best dogs of the 2017 world championship: 22 obstacles in under 40 s (CTK, ceskenoviny.cz, October 2017).
Dog walk: 2.26 s on average, standard deviation 1.03, 296 passes (DiMichele et al. 2024, PLoS ONE 19(3):e0299592).
"""

import pytest

import coursecheck
from coursecheck.measures.running import expect
from coursecheck.resources import sample


@pytest.fixture(scope="module")
def scenes():
    found = {}
    for name in ("saltmarsh", "granary", "meadow"):
        course, rulebook = coursecheck.load_plan(sample(name))
        for height, scene in coursecheck.measure_course(course, rulebook).items():
            found[name, height] = scene
    return found


def test_the_mean_speed_of_a_typical_run_is_near_the_median_of_competition_dogs(scenes):
    means = [scene.line.length_m / expect("any", scene).typical_s for scene in scenes.values()]
    assert sum(means) / len(means) == pytest.approx(4.3, abs=0.3)
    assert min(means) > 4.3 * 0.85
    assert max(means) < 4.3 * 1.15


def test_a_fast_dog_runs_twenty_two_obstacles_in_under_forty_seconds(scenes):
    for (name, height), scene in scenes.items():
        fast = expect(height, scene).fast_s
        assert fast / len(scene.passes) * 22 < 40.0, (name, height)


def test_the_dog_walk_takes_as_long_as_it_was_measured(scenes):
    for (name, height), scene in scenes.items():
        for run, (start, end) in zip(scene.passes, scene.spans, strict=True):
            if scene.shape(run).kind.name == "dog-walk":
                seconds = scene.profile.time_at(end) - scene.profile.time_at(start)
                assert seconds == pytest.approx(2.26, abs=0.3), (name, height)


def test_the_weave_poles_take_longer_than_the_best_possible_and_less_than_an_ordinary_good_dog(scenes):
    # 11 gaps of 0.61 m at 36 m in 10 s: 1.9 s, derived from weave racing; an ordinary good dog: under 5 s
    for scene in scenes.values():
        for run, (start, end) in zip(scene.passes, scene.spans, strict=True):
            if scene.shape(run).kind.name == "weaves":
                seconds = scene.profile.time_at(end) - scene.profile.time_at(start)
                assert 1.9 < seconds < 5.0

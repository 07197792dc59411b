"""Expected times follow from the pace of a class, and say where a dog is fastest and slowest."""

import pytest

from coursecheck.measures.running import expect

ROW = (("a", "jump", 0, 0, 0), ("b", "jump", 0, 10, 0), ("w", "weaves", 0, 22, 0), ("c", "jump", 0, 34, 0))


def test_through_the_poles_at_their_own_speed_and_fastest_on_the_straight(bench):
    expected = expect("large", bench(*ROW))
    assert expected.slowest_mps == pytest.approx(2.0)
    assert "3" in expected.slowest_at
    assert expected.fastest_mps == pytest.approx(6.0)
    assert expected.fastest_at == "from 1 to 2"


def test_a_fast_and_a_slow_dog_are_as_far_off_as_the_pace_is_uncertain(bench):
    expected = expect("large", bench(*ROW))
    assert expected.fast_s == pytest.approx(expected.typical_s / 1.2)
    assert expected.slow_s == pytest.approx(expected.typical_s / 0.8)


def test_legs_and_passes_add_up_to_the_run(bench, take):
    scene = bench(*ROW)
    total = take(scene, "run-time", "typical")[0].measured
    legs = sum(value.measured for value in take(scene, "leg-time", "typical"))
    assert 0 < legs < total
    poles = 11 * 0.6 / 2.0
    assert total > legs + poles


def test_a_pause_on_the_table_counts(bench, take):
    without = (("a", "jump", 0, 0, 0), ("b", "jump", 0, 14, 0))
    with_table = (("a", "jump", 0, 0, 0), ("t", "table", 0, 7, 0), ("b", "jump", 0, 14, 0))
    times = [take(bench(*plan), "run-time", "typical")[0].measured for plan in (without, with_table)]
    assert times[1] > times[0] + 5.0


def test_a_table_costs_its_pause_braking_and_a_new_start(bench, take):
    # from 6 m/s to rest at 6 m/s^2 and back at 4: 1 + 1.5 s for the 3 + 4.5 m that take 1.25 s at full speed
    without = (("a", "jump", 0, 0, 0), ("b", "jump", 0, 20, 0))
    with_table = (("a", "jump", 0, 0, 0), ("t", "table", 0, 10, 0), ("b", "jump", 0, 20, 0))
    times = [take(bench(*plan), "run-time", "typical")[0].measured for plan in (without, with_table)]
    assert times[1] - times[0] == pytest.approx(5.0 + 1.0 + 1.5 - 1.25, abs=0.02)


def test_without_a_line_nothing_is_expected(bench, take):
    scene = bench(*ROW, problem="a pillar stands in the way")
    assert expect("large", scene) is None
    (value,) = take(scene, "run-time", "slow")
    assert value.measured is None
    assert "a pillar stands in the way" in value.why_not

"""The speed profile against closed forms of motion under a limited acceleration.

Straight from rest to rest over L: 2 sqrt(L/A). From rest on a circle of radius R with |a| <= A in all directions: the
speed sqrt(A R) is reached after sqrt(A R)/A times 1.3110287771 s (half the lemniscate constant), having turned by
exactly 45 degrees. On a circle at its highest speed: one lap takes 2 pi R / sqrt(A R).
"""

import math

import pytest

from coursecheck.geometry.segments import Pose, Segment
from coursecheck.path.speed import Pace, Stretch, eased, speed_profile

ORIGIN = Pose(0.0, 0.0, 0.0)
HALF_LEMNISCATE = 1.3110287771


def pace(top=1e3, lateral=8.0, accelerate=8.0, brake=8.0):
    return Pace(top, lateral, accelerate, brake)


@pytest.mark.parametrize(("length", "push"), [(10.0, 4.0), (27.432, 3.048), (3.0, 8.0)])
def test_straight_from_rest_to_rest(length, push):
    run = speed_profile([Stretch(Segment(ORIGIN, length))], pace(accelerate=push, brake=push), end_mps=0.0)
    assert run.total_s == pytest.approx(2 * math.sqrt(length / push), rel=1e-4)
    assert max(run.speed_mps) == pytest.approx(math.sqrt(length * push), rel=1e-2)


@pytest.mark.parametrize(("radius", "grip"), [(1.5, 8.0), (4.0, 6.0), (20.0, 12.9)])
def test_on_a_circle_from_rest(radius, grip):
    eighth = Segment(ORIGIN, radius * math.pi / 4, 1 / radius)
    run = speed_profile([Stretch(eighth)], pace(lateral=grip, accelerate=grip))
    assert run.speed_mps[-1] == pytest.approx(math.sqrt(grip * radius), rel=1e-12)
    # time by the trapezium over 5 cm steps: the first steps from rest are the roughest
    expected = math.sqrt(grip * radius) / grip * HALF_LEMNISCATE
    assert run.total_s == pytest.approx(expected, rel=5e-3)


def test_before_an_eighth_of_the_circle_the_top_speed_of_the_bend_is_not_reached():
    radius, grip = 2.0, 8.0
    run = speed_profile([Stretch(Segment(ORIGIN, radius * math.pi / 4 * 0.99, 1 / radius))], pace())
    assert run.speed_mps[-1] < math.sqrt(grip * radius)


@pytest.mark.parametrize(
    ("radius", "grip", "speed"), [(1.0, 6.0, 2.4), (1.5, 8.0, 3.5), (5.0, 10.0, 7.1), (3.0, 12.9, 6.2)]
)
def test_the_speed_of_a_bend(radius, grip, speed):
    # table of sqrt(a R), derived, printed to one decimal
    lap = Segment(ORIGIN, 2 * math.pi * radius, 1 / radius)
    run = speed_profile([Stretch(lap)], pace(lateral=grip), start_mps=1e3)
    assert run.speed_mps[0] == pytest.approx(speed, abs=0.05)
    assert run.total_s == pytest.approx(lap.length_m / math.sqrt(grip * radius))


def test_braking_before_a_bend_and_pushing_after_it_are_mirror_images():
    straight = Segment(ORIGIN, 10.0)
    bend = Segment(straight.end, 3.0, 1 / 1.5)
    on = Segment(bend.end, 10.0)
    run = speed_profile([Stretch(p) for p in (straight, bend, on)], pace(top=7.0), start_mps=7.0)
    assert run.speed_mps == pytest.approx(run.speed_mps[::-1], abs=1e-9)
    assert min(run.speed_mps) == pytest.approx(math.sqrt(8.0 * 1.5))


def test_nothing_is_pushed_in_the_air_and_a_pause_is_a_stop():
    before, flight = Segment(ORIGIN, 4.0), Segment(ORIGIN.ahead(4.0), 2.0)
    after = Segment(flight.end, 4.0)
    run = speed_profile([Stretch(before, stop_s=5.0), Stretch(flight), Stretch(after, grounded=False)], pace(top=6.0))
    assert 0.0 in run.speed_mps
    assert run.total_s > 5.0
    landing = run.speed_mps[-1]
    assert all(speed == landing for speed, at in zip(run.speed_mps, run.distance_m, strict=True) if at > 6.0 + 1e-9)


@pytest.mark.parametrize("factor", [0.5, 2.0])
def test_more_grip_is_never_slower(factor):
    pieces = [Stretch(Segment(ORIGIN, 6.0)), Stretch(Segment(ORIGIN.ahead(6.0), 4.0, 0.6))]
    base, other = pace(top=6.0), pace(top=6.0, lateral=8.0 * factor)
    times = sorted((speed_profile(pieces, p).total_s, p.lateral_mps2) for p in (base, other))
    assert times[0][1] > times[1][1]


@pytest.mark.parametrize("degrees", [0.001, 2.0, 10.0])
def test_a_slight_bend_of_the_line_does_not_slow_a_dog(degrees):
    before = Segment(ORIGIN, 6.0)
    bend = Segment(before.end, 1.5 * math.radians(degrees), 1 / 1.5)
    run = speed_profile(eased((before, bend, Segment(bend.end, 6.0))), pace(top=6.0), start_mps=6.0)
    assert min(run.speed_mps) == pytest.approx(6.0)


def test_an_eased_bend_passes_within_a_hand_of_the_corner_and_no_farther_than_it_has_to():
    # radius c / (1 / cos(t / 2) - 1) with c = 0.1 m: 20 degrees give 6.482 m, 90 degrees less than the line has
    gentle = Segment(ORIGIN, 1.5 * math.radians(20.0), 1 / 1.5)
    assert 1 / eased((gentle,))[0].curvature == pytest.approx(6.482, abs=1e-3)
    square = Segment(ORIGIN, 1.5 * math.pi / 2, 1 / 1.5)
    assert eased((square,))[0].curvature == pytest.approx(1 / 1.5)
    halves = (
        Segment(ORIGIN, square.length_m / 2, 1 / 1.5),
        Segment(square.at(square.length_m / 2), square.length_m / 2, 1 / 1.5),
    )
    assert [stretch.curvature for stretch in eased(halves)] == pytest.approx([1 / 1.5, 1 / 1.5])


def test_every_place_of_a_profile_lies_on_the_line_as_far_along_as_it_says():
    straight = Segment(ORIGIN, 4.25)
    bend = Segment(straight.end, 3.0, 1 / 1.5)
    on = Segment(bend.end, 2.0)
    run = speed_profile([Stretch(straight), Stretch(bend, stop_s=1.0), Stretch(on)], pace())
    for index, distance in enumerate(run.distance_m):
        piece, along = (
            (straight, distance)
            if distance <= 4.25
            else (bend, distance - 4.25)
            if distance <= 7.25
            else (on, distance - 7.25)
        )
        assert run.point(index) == pytest.approx(piece.at(along).point)
    assert run.distance_m[-1] == pytest.approx(9.25)


def test_the_fastest_and_the_slowest_place_are_the_first_of_their_kind_and_the_start_is_left_out():
    # from rest, past the first 5 m, over a bend that holds the speed down to sqrt(8 * 1.5)
    straight = Segment(ORIGIN, 12.0)
    bend = Segment(straight.end, 3.0, 1 / 1.5)
    run = speed_profile([Stretch(straight), Stretch(bend), Stretch(Segment(bend.end, 12.0))], pace(top=6.0))
    fastest, slowest = run.extremes()
    assert run.speed_mps[fastest] == pytest.approx(6.0)
    assert max(run.speed_mps[:fastest]) < run.speed_mps[fastest]
    assert run.speed_mps[slowest] == pytest.approx(math.sqrt(8.0 * 1.5))
    assert 12.0 - 1e-9 <= run.distance_m[slowest] <= 15.0 + 1e-9

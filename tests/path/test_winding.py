"""Curves round wraps end where they should, keep their corners inside, and change as their tension says."""

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from coursecheck.geometry.segments import Pose
from coursecheck.path.curves import words_between
from coursecheck.path.detour import Wrap, solve_route
from coursecheck.path.winding import windings

CLEARANCE_M = 0.25

unhurried = settings(suppress_health_check=[HealthCheck.filter_too_much])

places = st.tuples(st.floats(-0.5, 0.5), st.floats(-1.5, 1.5), st.floats(-0.8, 0.8))
corners = st.tuples(st.floats(-0.7, 0.7), st.floats(-1.0, 1.0), st.sampled_from([0.0, 0.03]))
sides = st.sampled_from([1.0, -1.0])
radii = st.floats(0.5, 1.5)


@st.composite
def routes(draw):
    """One to three wraps in a row, some round two corners that stand close together."""
    wraps = []
    for k in range(draw(st.integers(1, 3))):
        x, y, size = draw(corners)
        found = [(x + 3.0 * k, y, size)]
        if draw(st.booleans()):
            found.append((x + 3.0 * k + draw(st.floats(-0.2, 0.2)), y + draw(st.floats(-0.2, 0.2)), 0.0))
        wraps.append(Wrap(f"o{k}", draw(sides), tuple(found)))
    return tuple(wraps)


def ends_of(route, start, end):
    x, y, heading = end
    return (start[0] - 4.0, *start[1:]), (x + 3.0 * len(route) + 1.0, y, heading)


def settled(winding, radius):
    """Whether every wrap goes round one corner and is needed, so that its centre lies on the bisector of its turn."""
    return (
        winding is not None
        and all(0.05 < turn < math.pi for turn in winding.turns)
        and min(winding.straights_m) > 0.3
        and all(
            len(wrap.corners) == 1
            and yields
            == pytest.approx(math.sin(turn / 2) / 2 * (radius - CLEARANCE_M - wrap.corners[0][2]), rel=1e-9)
            for wrap, turn, yields in zip(winding.route, winding.turns[1:-1], winding.yields_m, strict=True)
        )
    )


@unhurried
@given(start=places, end=places, route=routes(), radius=radii)
def test_a_winding_ends_where_it_should_and_keeps_its_corners_inside(start, end, route, radius):
    start, end = ends_of(route, start, end)
    for winding in windings(start, end, route, radius, CLEARANCE_M):
        if winding is None:
            continue
        segments = winding.curve().segments(Pose(*start))
        assert math.dist(segments[-1].end.point, end[:2]) < 1e-8
        assert abs(math.remainder(segments[-1].end.heading - end[2], 2 * math.pi)) < 1e-8
        for wrap, turn in zip(route, winding.turns[1:-1], strict=True):
            radius_m = wrap.radius_m(radius, CLEARANCE_M)
            arcs = [s for s in segments if s.curvature and s.length_m == pytest.approx(turn * radius_m)]
            for x, y, size in wrap.corners:
                room_m = radius_m - CLEARANCE_M - size
                assert turn == 0.0 or any(math.dist(arc.centre, (x, y)) <= room_m + 1e-6 for arc in arcs)


@unhurried
@given(start=places, end=places, route=routes(), radius=radii)
def test_a_winding_that_settles_is_no_longer_than_what_the_arrays_know(start, end, route, radius):
    start, end = ends_of(route, start, end)
    rough = solve_route(np.array([start]), np.array([end]), route, radius, CLEARANCE_M)
    for k, winding in enumerate(windings(start, end, route, radius, CLEARANCE_M)):
        if settled(winding, radius):
            assert winding.length_m <= rough.lengths_m[k, 0] + 1e-9


@unhurried
@given(start=places, end=places, route=routes() | st.just(()), radius=radii, data=st.data())
def test_the_tension_is_how_the_length_changes(start, end, route, radius, data):
    start, end = ends_of(route, start, end)

    def curve(move):
        moved = (start[0] + move[0], start[1] + move[1], start[2]), (end[0] + move[2], end[1] + move[3], end[2])
        if route:
            return list(windings(*moved, route, radius, CLEARANCE_M))[kind]
        return next((word for word in words_between(*moved, radius) if word.row == kind), None)

    kind = data.draw(st.integers(0, 3 if route else 5))
    made = curve((0.0, 0.0, 0.0, 0.0))
    if route:
        assume(settled(made, radius))
    else:
        assume(made is not None and min(made.first, made.last) > 0.05 and max(made.first, made.last) < 6.0)
        assume(made.middle > (math.pi + 0.2 if kind > 3 else 0.1) and (kind < 4 or made.middle < 2 * math.pi - 0.2))
    pull = made.tension()
    slopes = (-pull.first_x, -pull.first_y, pull.last_x, pull.last_y)
    step = 1e-4
    for axis in range(4):
        move = [0.0] * 4
        move[axis] = step
        further, nearer = curve(move), curve([-part for part in move])
        assert (further.length_m - nearer.length_m) / (2 * step) == pytest.approx(slopes[axis], abs=1e-5, rel=1e-5)
        seen = (further.length_m - 2 * made.length_m + nearer.length_m) / step**2
        side = "first" if axis < 2 else "last"
        bend = sum(getattr(part, side) * getattr(part, f"{side}_{'xy'[axis % 2]}") ** 2 for part in pull.stiffness)
        assert seen == pytest.approx(bend, abs=2e-3, rel=2e-3)


def test_the_room_of_two_corners_ends_where_their_discs_meet():
    wrap = Wrap("wing", 1.0, ((0.0, 0.0, 0.0), (0.6, 0.0, 0.0)))
    discs, meetings = wrap.room(1.0, CLEARANCE_M)
    assert [room for _, room in discs] == [0.75, 0.75]
    for x, y in meetings:
        assert x == pytest.approx(0.3)
        assert abs(y) == pytest.approx(math.sqrt(0.75**2 - 0.3**2))
    assert len(meetings) == 2

"""Start, finish, exit, directions that nobody takes, tunnels beside contacts, long gaps, which way a leg turns."""

import pytest

from coursecheck.course.model import Ring
from coursecheck.geometry.frames import Frame

HALL = Ring(((0.0, 0.0), (20.0, 0.0), (20.0, 40.0), (0.0, 40.0)), frozenset({2, 3}), exit=((20.0, 1.0), (20.0, 3.0)))


def test_start_and_finish_apart(bench, take):
    scene = bench(("a", "jump", 10, 5, 0), ("b", "jump", 10, 11, 0), ("c", "jump", 16, 13, 180))
    assert take(scene, "start-finish", "centres")[0].measured == pytest.approx(10.0)
    assert take(scene, "start-finish", "edges")[0].measured < 10.0
    assert take(scene, "same-obstacle", "pass")[0].measured == 0.0


def test_a_course_that_ends_where_it_began(bench, take):
    scene = bench(("a", "jump", 10, 5, 0), ("b", "jump", 10, 11, 0), run=["a", "b", "a reverse"])
    assert take(scene, "same-obstacle", "pass")[0].measured == 1.0


def test_from_the_last_obstacle_to_the_middle_of_the_exit(bench, take):
    scene = bench(("a", "jump", 10, 5, 0), ("b", "jump", 16, 5, 180), ring=HALL)
    assert take(scene, "gate-distance", "last")[0].measured == pytest.approx(5.0)
    assert take(bench(("a", "jump", 10, 5, 0)), "gate-distance", "last") == []


def test_ahead_of_directions_that_no_number_takes(bench, take):
    scene = bench(("a", "jump", 10, 30, 180), ("x", "jump", 10, 36, 90), run=["a"], ring=HALL)
    values = {(v.obstacles[0], v.note): v.measured for v in take(scene, "off-course-run-out", "wall")}
    assert values[("a", "against its bearing")] == pytest.approx(10.0)
    assert values[("x", "against its bearing")] == pytest.approx(10.0)
    numbers = {v.obstacles[0]: v.passes for v in take(scene, "off-course-run-out", "wall")}
    assert numbers == {"a": (1,), "x": ()}  # an obstacle keeps the number that it has in its other direction
    assert ("a", "along its bearing") not in values  # that is its own pass
    assert ("x", "along its bearing") not in values  # no wall ahead there


@pytest.mark.parametrize(("x", "gaps"), [(1.2, [0.75]), (0.2, []), (5.0, [])])
def test_a_tunnel_beside_a_dog_walk(bench, take, x, gaps):
    scene = bench(("w", "dog-walk", 0, 0, 0), ("t", "tunnel", x, -2, 0))
    assert [v.measured for v in take(scene, "contact-gap", "edges")] == pytest.approx(gaps)


@pytest.mark.parametrize("turned", [0.0, 17.3, 230.1])
def test_a_tunnel_that_touches_a_contact_leaves_no_gap_whichever_way_they_lie(bench, take, turned):
    frame = Frame((0.0, 0.0), turned)
    walk, tunnel = ("w", "dog-walk", 0, 0, turned), ("t", "tunnel", *frame.place(-2.0, 0.45), turned)
    (value,) = take(bench(walk, tunnel), "contact-gap", "edges")
    assert value.measured == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("between", "count"), [((5.0, 7.0), 2), ((6.0, 6.0), 1), ((8.0, 20.0), 0), (None, 3)])
def test_distances_of_a_certain_length(bench, between, count):
    from coursecheck.measures import MEASURES, Ask

    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), ("c", "jump", 0, 11.5, 0), ("d", "jump", 0, 14, 0))
    (value,) = MEASURES["legs-between"].take(scene, Ask("centres", (), between))
    assert value.measured == count


def test_all_poles_of_all_rows(bench, take):
    six = {"poles": 6}
    scene = bench(("v", "weaves", 0, 0, 0, six), ("w", "weaves", 9, 0, 0, six), run=["v", "w", "v"])
    assert take(scene, "weave-poles", "all")[0].measured == 18


@pytest.mark.parametrize(
    ("x", "y", "word"),
    [(0, 6, "straight"), (5.9, 6, "straight"), (6, 6, "angled"), (6, 0, "side"), (6, -6, "back"), (0, -6, "back")],
)
def test_which_way_a_leg_leads(bench, take, x, y, word):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", x, y, 0))
    assert take(scene, "leg-distance", "centres")[0].facets[0]["turn"] == word


@pytest.mark.parametrize(
    ("bearing", "parallel"), [(0, "false"), (75, "true"), (90, "true"), (110, "true"), (45, "false")]
)
def test_along_a_wall_or_not(bench, take, bearing, parallel):
    scene = bench(("a", "jump", 3, 20, bearing), ring=HALL)
    assert take(scene, "edge-distance", "ring")[0].facets[0]["parallel"] == parallel

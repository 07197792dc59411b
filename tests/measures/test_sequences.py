"""Sequences of jumps are known by where the jumps stand and how they are taken, wherever the plan lies."""

import math
from dataclasses import replace

import pytest

from coursecheck.equipment import build_shapes
from coursecheck.measures import Scene
from tests.measures.conftest import straight_line
from tests.plans import mirrored, moved

HALF_M = 1.1  # half a usual jump on the ground: half the bar and one wing
SEQUENCES = {"threadle-gap": "edges", "serpentine-gap": "edges", "backside-way": "line", "wrap-distance": "straight"}

TWINS = {
    "as drawn": lambda course: course,
    "turned": lambda course: moved(course, 73.0, (4.0, -9.0)),
    "turned by a half": lambda course: moved(course, 180.0, (0.0, 0.0)),
    "mirrored": mirrored,
    "mirrored and turned": lambda course: moved(mirrored(course), 211.0, (-3.0, 8.0)),
}


@pytest.fixture(params=TWINS)
def found(request, take):
    """All sequences on a scene's twin: for each measure the passes and the figure."""

    def measure(scene):
        course = TWINS[request.param](scene.course)
        shapes = build_shapes(course)
        twin = Scene(course, shapes, straight_line(course.passes, shapes))
        values = {name: take(twin, name, metric) for name, metric in SEQUENCES.items()}
        return {name: {v.passes: v.measured for v in known} for name, known in values.items() if known}

    return measure


def close(passes, metres):
    return {passes: pytest.approx(metres, abs=1e-9)}


def with_turn(scene, turn):
    passes = (replace(scene.passes[0], turn=turn), *scene.passes[1:])
    return replace(scene, course=replace(scene.course, passes=passes))


@pytest.mark.parametrize("apart", [2.5, 4.0, 9.0])
def test_two_jumps_side_by_side_taken_the_same_way_are_a_threadle(bench, found, apart):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", apart, 0, 0))
    assert found(scene) == {"threadle-gap": close((1, 2), apart - 2 * HALF_M)}


def test_jumps_that_face_apart_are_a_threadle_by_the_way_they_are_taken(bench, found):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 4, 0, 180), run=["a", "b reverse"])
    assert found(scene) == {"threadle-gap": close((1, 2), 4.0 - 2 * HALF_M)}


@pytest.mark.parametrize(
    ("forward", "threadle"),
    [(-2.0, True), (0.0, True), (0.99, True), (1.0, False), (1.5, False)],  # the dog lands 1 m beyond the bar
)
def test_a_threadle_calls_a_dog_back_that_has_landed_beyond_the_second_bar(bench, found, forward, threadle):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 4, forward, 0))
    assert ("threadle-gap" in found(scene)) == threadle


@pytest.mark.parametrize(("turn", "threadle"), [("right", True), ("left", False), (None, True)])
def test_a_dog_turned_round_the_outer_wing_does_not_come_through_the_gap(bench, found, turn, threadle):
    scene = with_turn(bench(("a", "jump", 0, 0, 0), ("b", "jump", 4, 0, 0)), turn)
    assert ("threadle-gap" in found(scene)) == threadle


@pytest.mark.parametrize(("bearing", "threadle"), [(-46, False), (-45, True), (0, True), (14, True), (15, False)])
def test_a_second_jump_may_be_turned_away_by_45_degrees_but_not_towards_the_landing(bench, found, bearing, threadle):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 4, 0, bearing))  # at 14.04 degrees its bar points there
    assert ("threadle-gap" in found(scene)) == threadle


def test_three_jumps_from_alternate_sides_are_a_serpentine(bench, found):
    scene = bench(
        ("a", "jump", 0, 0, 0), ("b", "jump", 4, 0, 0), ("c", "jump", 9, 0.5, 0), run=["a", "b reverse", "c"]
    )
    gap = math.hypot(5.0 - 2 * HALF_M, 0.5 - 0.45)  # 0.45 m of feet
    assert found(scene) == {"serpentine-gap": {**close((1, 2), 4.0 - 2 * HALF_M), **close((2, 3), gap)}}


@pytest.mark.parametrize(
    "run",
    [
        pytest.param(["a", "b reverse"], id="two jumps only"),
        pytest.param(["a", "b reverse", "a"], id="the same two again"),
        pytest.param(["b", "c reverse", "a"], id="back past the first"),
        pytest.param(["a", "t", "b reverse", "c"], id="something between"),
    ],
)
def test_what_is_not_three_in_a_row_is_no_serpentine(bench, found, run):
    row = [("a", "jump", 0, 0, 0), ("b", "jump", 4, 0, 0), ("c", "jump", 8, 0, 0), ("t", "tunnel", 0, 9, 0)]
    assert "serpentine-gap" not in found(bench(*row, run=run))


@pytest.mark.parametrize(
    ("x", "y", "bearing", "backside"),
    [
        (0, 8, 180, True),
        (3, 8, 180, True),
        (7.9, 8, 180, True),
        (8.1, 8, 180, False),  # seen at more than 45 degrees: from the side
        (0, 8, 224, True),
        (0, 8, 226, False),
        (0, 8, 0, False),
    ],
)
def test_a_jump_that_faces_away_from_the_obstacle_before_is_taken_from_behind(bench, found, x, y, bearing, backside):
    scene = bench(("t", "jump", 0, 0, 0), ("b", "jump", x, y, bearing), ("c", "jump", 20, 8, 90))
    assert ("backside-way" in found(scene)) == backside


def test_the_way_on_from_behind_runs_along_the_line_to_the_next_bar(bench, found):
    scene = bench(("t", "jump", 3, -6, 0), ("b", "jump", 0, 0, 180), ("c", "jump", 0, -7.5, 180))
    assert found(scene) == {"backside-way": close((2, 3), 7.5)}


def test_without_a_line_the_way_on_is_not_measured(bench, take):
    scene = bench(
        ("t", "jump", 3, -6, 0), ("b", "jump", 0, 0, 180), ("c", "jump", 0, -7.5, 180), problem="a wall between"
    )
    (value,) = take(scene, "backside-way", "line")
    assert (value.measured, value.why_not) == (None, "a wall between")


def test_away_over_a_jump_and_back_to_the_same_obstacle_is_a_wrap(bench, found):
    scene = bench(("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, 0), run=["a", "b", "a reverse"])
    assert found(scene) == {"wrap-distance": close((1, 2), 6.0)}


def test_a_wrap_is_measured_from_the_exit_that_the_dog_came_from(bench, found):
    scene = bench(("a", "spread", 0, 0, 0, {"depth": 0.5}), ("b", "jump", 0, 6, 0), run=["a", "b", "a reverse"])
    assert found(scene)["wrap-distance"] == close((1, 2), 5.75)


@pytest.mark.parametrize(
    ("bearing", "run", "wrap"),
    [
        (45, ["a", "b", "a reverse"], True),
        (46, ["a", "b", "a reverse"], False),  # over the jump to the side
        (0, ["a", "b reverse", "a reverse"], False),  # over the jump back towards it
        (0, ["a", "b", "c"], False),  # on to something else
        (0, ["a", "a reverse", "a"], False),
    ],
)
def test_only_a_jump_away_and_the_same_obstacle_again_make_a_wrap(bench, found, bearing, run, wrap):
    row = [("a", "jump", 0, 0, 0), ("b", "jump", 0, 6, bearing), ("c", "jump", 0.5, -1, 180)]
    assert ("wrap-distance" in found(bench(*row, run=run))) == wrap


def test_a_plain_line_of_jumps_holds_no_sequence(bench, found):
    scene = bench(
        ("a", "jump", 0, 0, 0), ("b", "jump", 1, 6, 20), ("c", "spread", 4, 12, 30), ("d", "jump", 9, 16, 70)
    )
    assert found(scene) == {}

"""What an earlier scene left is taken only where everything that a value follows from is the same."""

from collections import defaultdict
from dataclasses import replace

import numpy as np
import pytest

import coursecheck
from coursecheck.checking import measure_course
from coursecheck.course.model import Blocked
from coursecheck.language import speaking
from coursecheck.measures import MEASURES, Ask
from coursecheck.path.memo import Memo
from coursecheck.resources import sample

COURSE, BOOK = coursecheck.load_plan(sample("granary"))
HEIGHT = list(BOOK.heights)[-1]
ASKS = [
    (name, Ask(metric, of=("jump", "tunnel"), between=(3.0, 6.0)))
    for name, measure in MEASURES.items()
    for metric in (("length", "bar") if "*" in measure.metrics else measure.metrics)
]


def shifted(course, which, dx=0.0, dy=0.0, turn=0.0):
    def moved(obstacle):
        at = (obstacle.at[0] + dx, obstacle.at[1] + dy)
        return replace(obstacle, at=at, bearing_deg=(obstacle.bearing_deg + turn) % 360.0)

    return replace(course, obstacles=tuple(moved(o) if i == which else o for i, o in enumerate(course.obstacles)))


def with_walls(course):
    return replace(course, ring=replace(course.ring, solid=frozenset({0, 2})))


def with_pillar(course):
    pillar = Blocked("pillar", centre=(12.0, 18.0), radius_m=0.5)
    return replace(course, ring=replace(course.ring, blocked=(*course.ring.blocked, pillar)))


CHANGES = {
    "one obstacle a little": lambda course: shifted(course, 3, 0.05),
    "one far out of the ring": lambda course: shifted(course, 1, -30.0),
    "one turned onto another": lambda course: shifted(course, 5, 1.0, -2.0, 90.0),
    "walls": with_walls,
    "a pillar": with_pillar,
    "the last left out": lambda course: replace(course, passes=course.passes[:-1]),
    "the first left out": lambda course: replace(
        course, passes=tuple(replace(run, number=run.number - 1) for run in course.passes[1:])
    ),
    "nothing to run": lambda course: replace(course, passes=()),
}


def scene_of(course, memos=None):
    return measure_course(course, BOOK, [HEIGHT], memos)[HEIGHT]


def taken(scene):
    return [list(MEASURES[name].take(scene, ask)) for name, ask in ASKS]


@pytest.fixture(scope="module")
def memos():
    """What judging the plan as it is left."""
    memos = defaultdict(Memo)
    taken(scene_of(COURSE, memos))
    return memos


@pytest.mark.parametrize("change", CHANGES)
def test_every_value_and_the_speed_are_the_ones_that_are_measured_afresh(memos, change):
    course = CHANGES[change](COURSE)
    again, afresh = scene_of(course, memos), scene_of(course)
    assert taken(again) == taken(afresh)
    if course.passes and afresh.profile is not None:
        assert np.array_equal(again.profile.figures, afresh.profile.figures)


def test_values_of_what_did_not_change_are_not_taken_again(memos):
    before, after = (scene_of(course, memos) for course in (COURSE, shifted(COURSE, 0, 0.05)))
    for name, metric in (("missing-line", "line"), ("run-out", "solid"), ("line-solid", "line")):
        old, new = (list(MEASURES[name].take(scene, Ask(metric))) for scene in (before, after))
        assert len({id(value) for value in old} & {id(value) for value in new}) > len(old) / 2, name


def test_kept_values_speak_the_language_that_is_spoken_now(memos):
    scene = scene_of(COURSE, memos)
    beside = MEASURES["line-solid"].take
    with speaking("de"):
        german = [value.note for value in beside(scene, Ask("line"))]
    english = [value.note for value in beside(scene, Ask("line"))]
    assert all(a != b for a, b in zip(german, english, strict=True))

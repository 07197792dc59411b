"""Constructed scenes to walk: obstacles by hand, the computed line, one dog and its pace."""

import pytest

from coursecheck.course.model import Course, Obstacle, Pass, Ring
from coursecheck.equipment import build_shapes
from coursecheck.measures import Scene
from coursecheck.path.compute import compute_line
from coursecheck.path.runner import Runner
from coursecheck.path.speed import Pace
from coursecheck.walk.figures import load_figures
from coursecheck.walk.handler_ground import Ground
from coursecheck.walk.walking import walk_scene

RUNNER = Runner(turn_radius_m=1.5, takeoff_m=1.0, landing_m=1.0)
PACE = Pace(6.0, 8.0, 4.0, 6.0, {"weaves": 2.2, "dog-walk": 4.9, "a-frame": 3.0, "seesaw": 1.8}, {"table": 5.0})
WIDE = ((-40.0, -40.0), (40.0, -40.0), (40.0, 40.0), (-40.0, 40.0))


def plan_of(*obstacles, run=None, ring=WIDE, solid=(), blocked=()):
    """A plan of obstacles (id, kind, x, y, bearing[, sizes]); `run` holds words such as "a" or "a reverse left"."""
    made = tuple(Obstacle(o[0], o[1], (o[2], o[3]), o[4], o[5] if len(o) > 5 else {}) for o in obstacles)
    words = [word.split() for word in (run or [o[0] for o in obstacles])]
    passes = tuple(
        Pass(i, w[0], "reverse" in w, next((t for t in ("left", "right") if t in w), None))
        for i, w in enumerate(words, 1)
    )
    ground = Ring(ring, frozenset(solid), blocked=tuple(blocked))
    return Course("Trial", "any", "agility", "1", ground, made, passes)


def scene_of(course):
    shapes = build_shapes(course)
    return Scene(course, shapes, compute_line(course, shapes, RUNNER), pace=PACE)


@pytest.fixture(scope="session")
def figures():
    return load_figures()


@pytest.fixture
def walked(figures):
    """Walks a plan, with other figures where named."""

    def make(course, **changed):
        chosen = figures.changed({name.replace("_", "-"): v for name, v in changed.items()}, "a test")
        scene = scene_of(course)
        return walk_scene(scene, Ground.of(scene), chosen)

    return make


@pytest.fixture
def remarks(walked):
    """The remarks on a plan of some kinds; all of them where none is named."""

    def make(course, *kinds, **changed):
        return [made for made in walked(course, **changed).remarks if not kinds or made.kind in kinds]

    return make


def facts_of(made):
    return {fact.name: fact.value for fact in made.facts}

"""The sample courses, judged, and a plan whose names are as hostile as a file allows."""

from dataclasses import replace

import pytest
from hostile_names import HOSTILE

from coursecheck.checking import check
from coursecheck.course.model import Blocked
from coursecheck.plans import load_plan
from coursecheck.resources import sample

SAMPLES = ("draft-with-faults", "granary", "meadow", "saltmarsh")


@pytest.fixture(scope="session")
def judged():
    """Judges a sample course once."""
    known = {}

    def judge(name):
        if name not in known:
            known[name] = check(*load_plan(sample(name)))
        return known[name]

    return judge


@pytest.fixture(params=SAMPLES)
def verdict(request, judged):
    """Each of the sample courses, judged."""
    return judged(request.param)


@pytest.fixture(scope="session")
def hostile(judged):
    """A judged plan with a title and a name that try to break out of every format."""
    verdict = judged("meadow")
    course = verdict.course
    ring = replace(course.ring, blocked=(*course.ring.blocked, Blocked(HOSTILE, centre=(15.0, 15.0), radius_m=0.4)))
    course = replace(course, title=HOSTILE, ring=ring)
    scenes = {height: replace(scene, course=course) for height, scene in verdict.scenes.items()}
    return replace(verdict, course=course, scenes=scenes)

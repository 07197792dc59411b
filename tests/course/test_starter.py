"""A starter course can be read at once and stands inside its ring."""

from __future__ import annotations

import itertools
import math
import re

import pytest
from shapely.geometry import Polygon

from coursecheck.course.document import course_schema
from coursecheck.course.starter import starter_text
from coursecheck.equipment import KINDS, build_shapes
from coursecheck.language import LANGUAGES, speaking
from tests.pseudo import readable, speaking_pseudo, words_of_schema

RINGS = [(12.0, 12.0), (12.0, 60.0), (13.5, 15.0), (20.0, 40.0), (30.0, 40.0), (200.0, 200.0)]


HEIGHTS = ("small", "medium", "large")


def starter(width_m: float, height_m: float, **words: str) -> str:
    said = {"title": "New course", "rulebook": "club-show", "discipline": "agility", "grade": "2"} | words
    return starter_text(**said, width_m=width_m, height_m=height_m, heights=HEIGHTS)


@pytest.mark.parametrize("ring", RINGS)
def test_it_stands_inside_its_ring_without_touching(read, ring):
    course = read(starter(*ring))
    field = Polygon(course.ring.outline)
    footprints = [shape.footprint for shape in build_shapes(course).values()]
    assert field.bounds == (0.0, 0.0, *ring)
    assert len(footprints) == 4
    for i, footprint in enumerate(footprints):
        assert field.exterior.distance(footprint) >= 1.0
        assert field.contains(footprint)
        assert all(footprint.distance(other) >= 1.0 for other in footprints[:i])


@pytest.mark.parametrize("ring", RINGS)
def test_its_obstacles_follow_each_other_at_the_usual_distance(read, ring):
    course = read(starter(*ring))
    shapes = build_shapes(course)
    ways = [shapes[run.obstacle].way(reverse=run.reverse) for run in course.passes]
    gaps = [math.dist(a.exit.centre, b.entry.centre) for a, b in itertools.pairwise(ways)]
    assert len(gaps) == 3
    assert all(5.0 <= gap <= 7.0 for gap in gaps)


@pytest.mark.parametrize("word", ['a "quoted" \\ title', "{braces} {0}", "naïve ✓", "# no remark"])
def test_it_keeps_any_title(read, word):
    course = read(starter(20, 30, title=word, rulebook=word))
    assert (course.title, course.rulebook) == (word, word)


def test_it_says_what_it_was_asked_to(read):
    course = read(starter(20, 30))
    assert (course.discipline, course.grade, course.heights) == ("agility", "2", ("small", "medium", "large"))
    assert (course.units, course.start_line_m) == ("m", 1.0)


KEY = r"# (\[|[a-z_]+ = )"


def test_its_comments_are_in_the_language_of_the_reader(monkeypatch):
    with speaking_pseudo(monkeypatch):
        text = starter(20, 30)
    codes = [*words_of_schema(course_schema(KINDS)), *HEIGHTS, "club-show agility true"]
    assert readable(text, [*codes, "New course"]) == set()


@pytest.mark.parametrize("code", LANGUAGES)
def test_its_comments_can_be_made_keys_by_taking_the_mark_away(read, code):
    with speaking(code):
        lines = starter(20, 30).split("\n")
    keys = (
        "# speed_mps",
        "# solid",
        "# indoor",
        "# [[ring",
        "# name",
        "# centre",
        "# radius",
        "# gap",
        "# fence",
        "# [store",
        "# jump",
        "# tunnel",
    )
    course = read("\n".join(line[2:] if line.startswith(keys) and re.match(KEY, line) else line for line in lines))
    assert course.ring.indoor
    assert len(course.ring.blocked) == len(course.ring.beside) == 1
    assert course.speed_mps == 3.8
    assert course.store is not None
    assert course.ring.solid == {2, 3}

"""The walk as JSON: every sample fits the schema, which refuses what is none."""

import json
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator, ValidationError

import coursecheck
from coursecheck.course.model import Blocked
from coursecheck.reports.walk_json import render_walk_json
from coursecheck.reports.walk_schema import walk_schema
from coursecheck.resources import sample
from coursecheck.walk.walking import walk

SAMPLES = ("draft-with-faults", "granary", "meadow", "saltmarsh")


def walked(course, rulebook):
    return json.loads(render_walk_json(walk(course, rulebook)))


@pytest.fixture(scope="module")
def schema():
    schema = walk_schema()
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


@pytest.fixture(scope="module")
def meadow():
    return walked(*coursecheck.load_plan(sample("meadow")))


@pytest.mark.parametrize("name", SAMPLES)
def test_the_walk_of_every_sample_fits_the_schema(schema, name):
    schema.validate(walked(*coursecheck.load_plan(sample(name))))


@pytest.mark.parametrize("passes", [0, 1, 2])
def test_a_walk_of_little_or_nothing_fits_it_too(schema, passes):
    course, rulebook = coursecheck.load_plan(sample("meadow"))
    schema.validate(walked(replace(course, passes=course.passes[:passes]), rulebook))


def test_a_walk_without_a_line_fits_it_too(schema):
    course, rulebook = coursecheck.load_plan(sample("meadow"))
    x, y = course.obstacles[[o.id for o in course.obstacles].index(course.passes[1].obstacle)].at
    around = Blocked("pond", outline=((x - 3, y - 3), (x + 3, y - 3), (x + 3, y + 3), (x - 3, y + 3)))
    result = walked(replace(course, ring=replace(course.ring, blocked=(around,))), rulebook)
    assert any(leg["why_not"] for one in result["classes"] for leg in one["legs"])
    schema.validate(result)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("format", 2),
        ("surprise", 1),
        ("figures", [{"id": "wrap"}]),
        ("classes", [{"height": "large"}]),
        ("judge", {"stops": [], "unseen": [1]}),
    ],
)
def test_it_refuses_what_is_no_walk(schema, meadow, key, value):
    with pytest.raises(ValidationError):
        schema.validate({**meadow, key: value})


@pytest.mark.parametrize(
    ("key", "value"),
    [("facts", []), ("hangs_on", []), ("weight", 1.5), ("passes", [0]), ("witness", {"type": "point", "points": []})],
)
def test_it_refuses_a_remark_without_a_figure_or_a_place(schema, meadow, key, value):
    spoilt = json.loads(json.dumps(meadow))
    remark = next(remark for one in spoilt["classes"] for remark in one["remarks"])
    schema.validate(spoilt)
    remark[key] = value
    with pytest.raises(ValidationError):
        schema.validate(spoilt)

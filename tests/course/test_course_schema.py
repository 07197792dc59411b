"""The published schema takes what the reader takes, and refuses what has a wrong shape."""

from __future__ import annotations

import tomllib

import jsonschema
import pytest

from coursecheck.course.document import course_schema
from coursecheck.course.starter import starter_text
from coursecheck.equipment import KINDS

SCHEMA = course_schema(KINDS)
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def valid(text: str) -> bool:
    return VALIDATOR.is_valid(tomllib.loads(text))


def test_the_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_the_schema_takes_a_good_file(good):
    VALIDATOR.validate(tomllib.loads(good))


def test_the_schema_takes_the_starter_course():
    text = starter_text(
        title="t", rulebook="r", discipline="d", grade="1", width_m=20, height_m=30, heights=("small",)
    )
    VALIDATOR.validate(tomllib.loads(text))


def test_every_kind_and_every_size_is_described_by_its_definition(kind_name):
    name = "".join(part.capitalize() for part in kind_name.split("-")) + "Table"
    properties = SCHEMA["$defs"][name]["properties"]
    for size_name, size in KINDS[kind_name].sizes.items():
        assert properties[size_name]["description"] == size.about
    assert set(properties) == {"id", "kind", "at", "bearing", *KINDS[kind_name].sizes}
    assert kind_name in SCHEMA["$defs"]["StoreTable"]["properties"]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("format = 1", "format = 2"),
        ('grade = "2"\n', ""),
        ("discipline", "disipline"),
        ("speed_mps = 3.80", "speed_mps = 0"),
        ('units = "m"', 'units = "yd"'),
        ("size = [30.0, 40]", "size = [30.0]"),
        ("size = [30.0, 40]", "size = [30.0, 0]"),
        ("size = [30.0, 40]", ""),
        ("size = [30.0, 40]", "size = [30.0, 40]\noutline = [[0, 0], [1, 0], [1, 1]]"),
        ('solid = ["top", "left"]', 'solid = ["upper"]'),
        ('solid = ["top", "left"]', "solid = [1]"),
        ("radius = 0.4", ""),
        ("radius = 0.4", "radius = 0.4\noutline = [[0, 0], [1, 0], [1, 1]]"),
        ('name = "tent"', 'name = "tent"\ncentre = [0, 0]'),
        ('id = "a"', 'id = "a b"'),
        ('kind = "jump"', 'kind = "hoop"'),
        ("bar = 1.30", "bar = -1"),
        ("bar = 1.30", "poles = 12"),
        ("poles = 12", "poles = 12.5"),
        ('"b left"', '"b up"'),
        ("jump = 16", "hurdle = 16"),
        ("jump = 16", "jump = -1"),
    ],
)
def test_the_schema_refuses_a_wrong_shape(good, old, new):
    assert old in good
    assert not valid(good.replace(old, new, 1))


def test_a_ring_by_its_outline_has_numbered_walls(good):
    outline = "outline = [[0, 0], [30, 0], [30, 40]]"
    assert valid(good.replace("size = [30.0, 40]", outline).replace('["top", "left"]', "[1]"))
    assert not valid(good.replace("size = [30.0, 40]", outline))

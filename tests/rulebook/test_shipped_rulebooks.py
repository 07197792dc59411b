"""The rulebooks that ship: they read, they are honest, and they keep apart what their bodies keep apart."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from coursecheck.equipment import KINDS
from coursecheck.measures import MEASURES
from coursecheck.resources import folder
from coursecheck.rulebook.document import rulebook_schema
from coursecheck.rulebook.loading import read_rulebook
from coursecheck.rulebook.model import Limit, Rulebook
from coursecheck.rulebook.resolve import resolve, size_of
from coursecheck.rulebook.withers import withers_range

FILES = sorted(folder("rules").glob("*.toml"))
NAMES = [path.stem for path in FILES]
PUBLISHED = [name for name in NAMES if name.startswith(("fci", "kc"))]


def book(name: str) -> Rulebook:
    return read_rulebook(name, folder=folder("rules"), beside=None, measures=MEASURES, kinds=KINDS)


def limit_of(rulebook: Rulebook, name: str, facets: dict[str, str]) -> Limit | None:
    return resolve([row for row in rulebook.limits if row.id == name], [facets]).row


@pytest.mark.parametrize("name", NAMES)
def test_every_shipped_rulebook_reads_against_the_measures_and_kinds_there_are(name: str) -> None:
    rulebook = book(name)
    assert rulebook.id == name
    assert rulebook.limits
    assert all(row.about for row in rulebook.limits)


@pytest.mark.parametrize("name", NAMES)
def test_no_figure_ships_without_basis_and_source_and_none_from_memory_is_a_must(name: str) -> None:
    rulebook = book(name)
    for row in (*rulebook.limits, *rulebook.sizes, *rulebook.times):
        assert row.basis, row.place
        assert row.source, row.place
    assert not [row.id for row in rulebook.limits if row.basis == "memory" and row.severity == "must"]


@pytest.mark.parametrize("name", PUBLISHED)
def test_what_is_not_known_of_a_published_rulebook_is_listed(name: str) -> None:
    rulebook = book(name)
    assert rulebook.coverage == "partial"
    assert len(rulebook.missing) >= 5


@pytest.mark.parametrize("name", PUBLISHED)
def test_a_figure_of_a_published_rulebook_that_is_practice_says_so_in_its_purpose(name: str) -> None:
    own = [row for row in book(name).limits if row.place.rulebook == name and row.basis == "practice"]
    assert all("common practice" in row.about for row in own)


def test_the_common_practice_judges_every_measure_there_is() -> None:
    assert {row.measure for row in book("club-show").limits} == set(MEASURES)


@pytest.mark.parametrize("name", NAMES)
def test_no_two_height_classes_are_for_the_same_dog_and_none_is_left_out(name: str) -> None:
    ranges = [withers_range(height.withers_cm) for height in book(name).heights.values() if height.withers_cm]
    if ranges:
        assert ranges[0][0] == 0.0
        assert ranges[-1][1] == float("inf")
        assert [high for _, high in ranges[:-1]] == [low for low, _ in ranges[1:]]


@pytest.mark.parametrize("name", NAMES)
def test_bigger_dogs_turn_wider_and_fly_farther(name: str) -> None:
    runners = [height.runner for height in book(name).heights.values()]
    for figure in ("turn_radius_m", "takeoff_m", "landing_m", "clearance_m"):
        values = [getattr(runner, figure) for runner in runners]
        assert values == sorted(values), figure


@pytest.mark.parametrize(
    ("name", "height", "metric", "least", "most"),
    [
        ("fci-2012", "small", "line", 4.0, 7.0),
        ("fci-2012", "medium", "line", 5.0, 7.0),
        ("fci-2012", "large", "line", 5.0, 7.0),
        ("fci-2018", "small", "line", 4.0, 7.0),
        ("fci-2018", "large", "line", 5.0, 7.0),
        ("kc-2017", "small", "centres", 5.0, 10.0),
        ("kc-2017", "large", "centres", 5.0, 10.0),
    ],
)
def test_published_distances_between_obstacles(
    name: str, height: str, metric: str, least: float, most: float
) -> None:
    facets = {"discipline": "agility", "grade": "1", "height": height, "from": "jump", "to": "jump"}
    lower, upper = (limit_of(book(name), f"leg-distance-{end}", facets) for end in ("min", "max"))
    assert lower is not None
    assert upper is not None
    assert (lower.metric, lower.min) == (metric, least)
    assert (upper.metric, upper.max) == (metric, most)


def test_one_body_measures_the_dogs_way_and_the_other_from_centre_to_centre() -> None:
    assert (book("fci-2018").length.how, book("kc-2017").length.how) == ("line", "centres")


@pytest.mark.parametrize(
    ("kind", "height", "depth_m"),
    [
        ("long-jump", "small", 0.5),
        ("long-jump", "medium", 0.9),
        ("long-jump", "large", 1.5),
        ("spread", "small", 0.3),
        ("spread", "medium", 0.4),
        ("spread", "large", 0.55),
    ],
)
@pytest.mark.parametrize("name", NAMES)
def test_wide_jumps_shrink_with_the_dog_and_keep_the_rulebooks_own_limits(
    name: str, kind: str, height: str, depth_m: float
) -> None:
    rulebook = book(name)
    facets = {"discipline": "agility", "grade": "1", "height": height, "kind": kind}
    assert size_of(rulebook, kind, "depth", facets) == depth_m
    row = limit_of(rulebook, f"{kind}-depth", facets)
    if row is not None:
        assert (row.min or 0.0) <= depth_m <= (row.max or 99.0)


@pytest.mark.parametrize("name", NAMES)
def test_default_equipment_keeps_the_sizes_that_are_a_must(name: str) -> None:
    rulebook = book(name)
    sized = {row.id for row in rulebook.limits if row.measure == "equipment-size"}
    for kind in KINDS.values():
        for height in rulebook.heights:
            facets = {"discipline": "agility", "grade": "1", "height": height, "kind": kind.name}
            for row in filter(None, (limit_of(rulebook, name, facets) for name in sized)):
                size = kind.sizes[row.metric]
                value = size_of(rulebook, kind.name, row.metric, facets)
                value = size.default if value is None else value
                if row.severity == "must":
                    assert (row.min or -999.0) <= value <= (row.max or 999.0), (row.id, height, value)


def test_a_tunnel_may_lie_under_a_dog_walk_or_an_a_frame_and_under_nothing_else() -> None:
    rulebook = book("base")
    for one in KINDS:
        for other in KINDS:
            pair = [{"from": one, "to": other}, {"from": other, "to": one}]
            row = resolve([row for row in rulebook.limits if row.id == "own-ground"], pair).row
            allowed = {one, other} in ({"tunnel", "dog-walk"}, {"tunnel", "a-frame"})
            assert (row is None) == allowed, (one, other)


def plain(raw: Any) -> Any:
    """Raw TOML as JSON has it: dates as text."""
    if isinstance(raw, dict):
        return {key: plain(value) for key, value in raw.items()}
    if isinstance(raw, list):
        return [plain(value) for value in raw]
    return raw if isinstance(raw, str | int | float) else raw.isoformat()


@pytest.mark.parametrize("path", FILES, ids=NAMES)
def test_every_shipped_rulebook_fits_the_published_schema(path: Path) -> None:
    schema = rulebook_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(plain(tomllib.loads(path.read_text(encoding="utf-8"))))


@pytest.mark.parametrize(
    ("table", "key", "value"),
    [
        ("limit", "mini", 4),
        ("limit", "severity", "shall"),
        ("limit", "min", "five"),
        ("limit", "where", {"hight": "small"}),
        ("time", "sct", {"how": "sped"}),
        ("time", "mct", {"how": "factor-of-sct"}),
        ("height", "runner", {"turn_radius_m": 0}),
        ("equipment", "value", None),
    ],
)
def test_the_published_schema_refuses_what_the_reader_refuses(table: str, key: str, value: object) -> None:
    both = {**plain(tomllib.loads((folder("rules") / "club-show.toml").read_text(encoding="utf-8")))}
    base = plain(tomllib.loads((folder("rules") / "base.toml").read_text(encoding="utf-8")))
    rows = both.get(table) or base[table]
    validator = jsonschema.Draft202012Validator(rulebook_schema())
    validator.validate({**both, table: rows})
    spoiled = {**both, table: [{**rows[0], key: value}, *rows[1:]]}
    assert list(validator.iter_errors(spoiled))

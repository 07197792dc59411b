"""Judging a plan for several height classes: one finding for all of them where all are alike, in a fixed order."""

from collections import Counter, defaultdict

import pytest

import coursecheck
from coursecheck.path.memo import Memo
from coursecheck.resources import sample
from coursecheck.rulebook.model import SEVERITIES
from coursecheck.verdict.model import OUTCOMES

SAMPLES = ("draft-with-faults", "granary")


@pytest.fixture(scope="module", params=SAMPLES)
def plan(request):
    return coursecheck.load_plan(sample(request.param))


@pytest.fixture(scope="module")
def verdict(plan):
    return coursecheck.check(*plan)


def told(finding):
    return (finding.limit, finding.severity, finding.outcome, finding.message, finding.witness, finding.why)


def test_each_class_is_told_what_it_is_told_alone(plan, verdict):
    assert len(verdict.scenes) > 1
    for height in verdict.scenes:
        alone = coursecheck.check(*plan, heights=[height])
        mine = [finding for finding in verdict.findings if finding.height in (None, height)]
        assert Counter(map(told, mine)) == Counter(map(told, alone.findings))


def test_what_holds_for_every_class_is_said_once(verdict):
    assert any(finding.height is None for finding in verdict.findings)
    classes = Counter(told(finding) for finding in verdict.findings if finding.height is not None)
    assert max(classes.values(), default=0) < len(verdict.scenes)


def test_the_gravest_comes_first_then_by_limit_subject_and_class(verdict):
    heights = [None, *verdict.scenes]
    ranks = [
        (
            OUTCOMES.index(f.outcome),
            SEVERITIES.index(f.severity),
            f.limit,
            f.passes,
            f.obstacles,
            heights.index(f.height),
        )
        for f in verdict.findings
    ]
    assert ranks == sorted(ranks)


def test_what_is_left_out_of_an_incomplete_verdict_is_met_or_does_not_apply(plan, verdict):
    memos = defaultdict(Memo)
    whole, part, again = (coursecheck.check(*plan, memos=memos, complete=it) for it in (True, False, True))
    assert whole.findings == again.findings == verdict.findings, "what is known of one is not taken for the other"
    assert part.findings == tuple(f for f in verdict.findings if f.outcome not in ("met", "not-applicable"))
    assert part.legal == verdict.legal

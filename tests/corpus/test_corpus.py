"""A corpus of grown courses (see growing.py) whose verdicts are on record: a change in any of them is shown by name.

When a change is meant, look at the courses that are named, then write the record anew:

    python tests/corpus/test_corpus.py
"""

import json
from collections import Counter
from pathlib import Path

import pytest

import coursecheck

RECORD = Path(__file__).with_name("verdicts.json")
PLANS = sorted(Path(__file__).with_name("plans").glob("*.course.toml"))


def verdict_of(plan):
    """Legal or not, how many numbers, the length to a decimetre, and how often each limit is in breach."""
    result = coursecheck.check(*coursecheck.load_plan(plan), heights=["medium"], setting_out_m=0.0)
    broken = Counter(f.limit for f in result.findings if f.outcome in ("breach", "unmeasurable"))
    length = result.lengths[0].length_m
    return {
        "numbers": len(result.course.passes),
        "legal": result.legal,
        "length_dm": None if length is None else round(length * 10),
        "broken": dict(sorted(broken.items())),
    }


@pytest.fixture(scope="module")
def record():
    return json.loads(RECORD.read_text())


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.name.split(".")[0])
def test_the_verdict_is_the_one_on_record(plan, record):
    assert verdict_of(plan) == record[plan.name]


def test_the_record_has_legal_and_broken_plans_and_many_sorts_of_faults(record):
    assert set(record) == {plan.name for plan in PLANS}
    assert len(record) >= 60
    faults = {limit for verdict in record.values() for limit in verdict["broken"]}
    assert len(faults) >= 20
    assert any(verdict["legal"] for verdict in record.values())
    assert sum(not verdict["legal"] for verdict in record.values()) >= 10


if __name__ == "__main__":
    RECORD.write_text(json.dumps({plan.name: verdict_of(plan) for plan in PLANS}, indent=1, sort_keys=True) + "\n")

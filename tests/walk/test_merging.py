"""What is said of several height classes is said once, with the figures of the last of them."""

import pytest

import coursecheck
from coursecheck.resources import sample
from coursecheck.walk.merging import shared_remarks
from coursecheck.walk.walking import walk


@pytest.mark.parametrize("name", ["draft-with-faults", "granary", "meadow", "saltmarsh"])
def test_every_remark_of_every_class_is_told_with_its_class(name):
    walked = walk(*coursecheck.load_plan(sample(name)))
    shared = shared_remarks(walked)
    for height, one in walked.classes.items():
        for made in one.remarks:
            assert any(made.kind == s.remark.kind and height in s.heights for s in shared)
    assert all(len(set(s.heights)) == len(s.heights) for s in shared)
    assert len([s for s in shared if s.remark.whole]) == len({s.remark.kind for s in shared if s.remark.whole})
    assert len(shared) <= sum(len(one.remarks) for one in walked.classes.values())


def test_where_a_handler_falls_behind_a_leg_earlier_in_one_class_is_told_once():
    walked = walk(*coursecheck.load_plan(sample("saltmarsh")))
    begins = {
        height: [m.leg for m in one.remarks if m.kind == "handler-late"] for height, one in walked.classes.items()
    }
    assert begins == {"small": [8], "medium": [5], "large": [5]}
    (told,) = [s for s in shared_remarks(walked) if s.remark.kind == "handler-late"]
    assert told.heights == ("small", "medium", "large")
    assert told.remark.leg == 5

"""What a reader is told of how lengths and times came about."""

from dataclasses import replace
from decimal import Decimal

import pytest
from gorse import make_verdict

from coursecheck.checking import check
from coursecheck.plans import load_plan
from coursecheck.reports.times_notes import abbreviations, times_notes
from coursecheck.resources import sample


@pytest.fixture(scope="module")
def saltmarsh():
    return check(*load_plan(sample("saltmarsh")))


def test_what_all_classes_share_is_told_once(saltmarsh):
    assert times_notes(saltmarsh) == (
        "length along the dog's line, first obstacle to last obstacle, turn radius 1 / 1.25 / 1.5 m",
        "every class: SCT = length / 3.8; MCT = 2 x SCT",
        abbreviations(),
    )


def test_a_time_that_does_not_follow_from_the_length_is_told_by_its_own_rule(saltmarsh):
    first, *others = saltmarsh.times
    entered = replace(first, mct_s=Decimal(70), mct_rule="entered by the judge")
    notes = times_notes(replace(saltmarsh, times=(entered, *others)))
    assert "small: SCT = length / 3.8; MCT entered by the judge" in notes
    assert "medium, large: SCT = length / 3.8; MCT = 2 x SCT" in notes


def test_every_missing_figure_has_its_reason_and_every_caution_is_told():
    notes = times_notes(make_verdict())
    assert "large: no length: no line from 14 to 15" in notes
    assert "large: no SCT: no length; no MCT: no SCT; walk it" in notes
    assert "small: SCT by speed; MCT SCT x 1.5" in notes

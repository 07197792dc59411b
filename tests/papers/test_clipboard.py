"""The clipboard card: everything a judge needs in the ring, on the two sides of a sheet of A5."""

from dataclasses import replace
from decimal import Decimal

import pytest
from sheets import drawings
from shown import words_of

from coursecheck.checking import check, times, wheel_checks, wheeled_lengths
from coursecheck.equipment import KINDS
from coursecheck.measures.standing import standing_places
from coursecheck.papers import PaperOptions
from coursecheck.papers.clipboard import render, render_card
from coursecheck.papers.refusals import REFUSALS
from coursecheck.reports.wheel_table import wheel_tables


def test_it_tells_times_and_length_of_every_class(verdict):
    words = words_of(render(verdict, PaperOptions()))
    for length, reckoned in zip(verdict.lengths, verdict.times, strict=True):
        assert f"{length.height} {reckoned.sct_s} {reckoned.mct_s} {length.length_m:.2f} m" in words


def test_it_tells_how_lengths_were_measured(judged):
    words = words_of(render(judged("saltmarsh"), PaperOptions()))
    assert "length along the dog's line, first obstacle to last obstacle, turn radius 1 / 1.25 / 1.5 m" in words


def test_it_has_the_times_by_the_wheel_to_be_looked_up(verdict):
    words = words_of(render(verdict, PaperOptions()))
    for table in wheel_tables(verdict, 18):
        assert table.between in words
        assert all(f"{Decimal(row.length):.0f} {row.sct} {row.mct}" in words for row in table.rows)


def test_it_has_every_pass_in_order(verdict):
    words = words_of(render(verdict, PaperOptions()))
    scene = list(verdict.scenes.values())[-1]
    order = " ".join(
        f"{run.number} {scene.shape(run).kind.title}{', reverse' if run.reverse else ''} {run.obstacle}"
        for run in scene.passes
    )
    assert order in words


def test_places_to_stand_are_drawn_and_told_with_what_is_seen_from_them(verdict):
    page = render(verdict, PaperOptions())
    words, (drawing,) = words_of(page), drawings(page)
    places, _ = standing_places(verdict.scenes)
    assert len(drawing.find("line", "thin")) == sum(len(place.views) for place in places)
    for letter, place in zip("ABCDEF", places, strict=False):
        assert letter in [e.text for e in drawing.find("text", "number")]
        assert f"{place.place[0]:.0f} m from the left, {place.place[1]:.0f} m from the bottom" in words
        assert all(view.words in words for view in place.views)


def test_every_kind_has_a_reminder():
    assert set(REFUSALS) == set(KINDS)


def test_reminders_are_those_of_the_kinds_in_the_plan(judged):
    words = words_of(render(judged("granary"), PaperOptions()))
    assert "tunnel runs past the mouth" in words
    assert "seesaw" not in words
    assert "from memory; the rulebook in force decides" in words


def test_a_card_from_the_wheel_says_how_far_the_wheel_is_from_the_plan(judged):
    verdict = judged("saltmarsh")
    lengths = wheeled_lengths(verdict.course, verdict.rulebook, 152.0)
    wheeled = replace(verdict, lengths=lengths, times=times(verdict.course, verdict.rulebook, lengths))
    checks = wheel_checks(verdict.course, verdict.rulebook, 152.0)
    words = words_of(render_card(wheeled, PaperOptions(), checks))
    assert "large 40.00 80.00 152.00 m" in words
    planned = verdict.lengths[-1].length_m
    assert f"large: wheel {152.0 - planned:.2f} m more than the plan's {planned:.2f} m" in words
    assert "measured on the ground with a wheel" in words


def test_lengths_are_in_the_units_of_the_plan(judged):
    verdict = judged("saltmarsh")
    course = replace(verdict.course, units="ft")
    words = words_of(render(replace(verdict, course=course), PaperOptions()))
    assert f"{verdict.lengths[-1].length_m / 0.3048:.2f} ft" in words
    assert "wheel ft" in words
    assert "each 0.1 ft more".capitalize() in words


def test_a_plan_whose_times_are_unknown_still_has_a_card(judged):
    verdict = judged("saltmarsh")
    course = replace(verdict.course, speed_mps=None)
    unknown = replace(verdict, course=course, times=times(course, verdict.rulebook, verdict.lengths))
    words = words_of(render(unknown, PaperOptions()))
    assert "every class: no SCT: needs the judge's speed; every class: no MCT: needs the SCT" in words
    assert "By the wheel" not in words


@pytest.mark.parametrize("height", ["small", "large"])
def test_the_same_plan_gives_the_same_bytes(judged, height):
    one, two = (render(judged("saltmarsh"), PaperOptions(height=height)) for _ in range(2))
    assert one == two


def test_a_hostile_title_stays_a_title(hostile):
    page = render(hostile, PaperOptions())
    assert "<script" not in page
    assert "\u202e" not in page


def test_a_table_for_some_classes_only_says_for_which(judged, monkeypatch):
    verdict = judged("saltmarsh")
    known = wheel_tables(verdict, 18)
    some = tuple(replace(table, classes=("small",)) for table in known)
    monkeypatch.setattr("coursecheck.papers.clipboard.wheel_tables", lambda *_: some)
    assert "By the wheel: small" in words_of(render(verdict, PaperOptions()))


def test_a_plan_without_a_sequence_has_a_card_without_an_order(judged):
    verdict = judged("saltmarsh")
    course = replace(verdict.course, passes=())
    empty = check(course, verdict.rulebook)
    words = words_of(render(empty, PaperOptions()))
    assert "Order" not in words
    assert "No contact zone and no weave entry to be seen" in words

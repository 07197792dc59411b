"""The page of the report on the walk: handed in by who calls, its remarks marked where uncertain, its handlers."""

from dataclasses import replace

import pytest
from pages import Page

from coursecheck.checking import check
from coursecheck.papers.report import judges_report
from coursecheck.plans import load_plan
from coursecheck.reports.html import render_html
from coursecheck.resources import sample
from coursecheck.walk.digest import digest_of
from coursecheck.walk.handler import stretches
from coursecheck.walk.walking import walk_scenes


@pytest.fixture(scope="module")
def faulty():
    return check(*load_plan(sample("draft-with-faults")))


@pytest.fixture(scope="module")
def digest(faulty):
    return digest_of(walk_scenes(faulty.course, faulty.rulebook, faulty.scenes))


@pytest.fixture(scope="module")
def section(faulty, digest):
    (section,) = Page(render_html(faulty, digest)).find("section", "digest")
    return section


def test_a_report_tells_of_the_walk_what_is_handed_to_it_and_nothing_without(faulty, digest):
    assert Page(render_html(faulty)).find("section", "digest") == []
    assert render_html(faulty, digest) == judges_report(faulty)


def test_the_firm_remarks_come_first_and_the_uncertain_ones_say_why(section, digest):
    items = [item.words() for item in section.all() if item.tag == "li"]
    assert digest.firm
    assert digest.uncertain
    for item, shared in zip(items, (*digest.firm, *digest.uncertain), strict=True):
        assert shared.remark.sentence in item
        assert ("uncertain" in item) == bool(shared.uncertain)
        hung = [figure for figure in digest.walked.figures if figure.id in shared.uncertain]
        assert all(f"{figure.value:g}" in item and figure.about in item for figure in hung)


def test_a_remark_names_its_classes_where_it_does_not_hold_for_all(section, digest):
    named = [mark.words() for item in section.all() if item.tag == "li" for mark in item.inside if mark.tag == "b"]
    some = [", ".join(s.heights) for s in (*digest.firm, *digest.uncertain) if len(s.heights) < 3]
    assert some
    assert named == some


def test_each_handler_has_a_row_with_every_class(section, digest):
    rows = [[cell.words() for cell in row.inside] for row in section.all() if row.tag == "tr"]
    assert [row[0].split(",")[0] for row in rows] == ["handler", "slow", "middling", "fast"]
    assert rows[0][1:] == list(digest.walked.classes)
    for i, row in enumerate(rows[1:]):
        for words, one in zip(row[1:], digest.walked.classes.values(), strict=True):
            plan = one.plans[i]
            assert words.startswith(f"{len(plan.changes)} change")
            behind = stretches(plan, digest.walked.figures)
            assert ("in time" in words) == (not behind)
            for stretch in behind[:3]:
                first, last = plan.legs[stretch.first].start.number, plan.legs[stretch.last].end.number
                assert f"{first} to {last}" in words


def test_it_says_where_the_rest_is(section):
    assert "coursecheck walk" in section.words()


def test_what_there_is_no_room_for_is_counted(faulty, digest):
    short = replace(digest, firm=digest.firm[:1], uncertain=(), more=5)
    (section,) = Page(render_html(faulty, short)).find("section", "digest")
    assert "5 more remarks" in section.words()


def test_a_plan_without_a_leg_has_no_such_page(faulty):
    course, rulebook = load_plan(sample("meadow"))
    verdict = check(replace(course, passes=course.passes[:1]), rulebook)
    assert Page(judges_report(verdict)).find("section", "digest") == []

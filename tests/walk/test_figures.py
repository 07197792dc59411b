"""The figures of the model: each with a reason, any changed by option or file, mistakes told with their place."""

import pytest

from coursecheck.errors import DocumentError, UsageError
from coursecheck.walk.figures import load_figures
from coursecheck.walk.remark import Condition, hanging_on
from tests.walk.conftest import facts_of
from tests.walk.scenes import AHEAD, THREADLE


def test_every_figure_says_what_it_is_and_what_it_rests_on(figures):
    for figure in figures:
        assert figure.about
        assert figure.source
        assert figure.basis in ("published", "practice", "assumption")
        assert figure.value > 0


def test_a_file_changes_what_it_names_and_nothing_else(tmp_path, figures):
    own = tmp_path / "own.toml"
    own.write_text('format = 1\n[[figure]]\nid = "wrap"\nvalue = 150\n', encoding="utf-8")
    changed = load_figures(own)
    assert changed["wrap"] == 150.0
    assert changed.by_id["wrap"].basis == "changed"
    assert "own.toml" in changed.by_id["wrap"].source
    assert {f.id: f.value for f in changed if f.id != "wrap"} == {f.id: f.value for f in figures if f.id != "wrap"}


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ('[[figure]]\nid = "wrp"\nvalue = 1', "wrap"),
        ('[[figure]]\nid = "wrap"\nvalue = 0', "figure[0].value"),
        ('[[figure]]\nid = "wrap"', "figure[0].value"),
        ('[[figure]]\nid = "wrap"\nvalue = 1\nabout = "two\\nlines"', "figure[0].about"),
        ("figures = 1", "unknown key"),
    ],
)
def test_a_mistake_in_a_file_is_told_with_its_place(tmp_path, text, wrong):
    own = tmp_path / "own.toml"
    own.write_text(f"format = 1\n{text}\n", encoding="utf-8")
    with pytest.raises(DocumentError, match=r"own\.toml") as error:
        load_figures(own)
    assert wrong in str(error.value)


@pytest.mark.parametrize("values", [{"wrp": 1.0}, {"wrap": 0.0}, {"wrap": float("nan")}])
def test_a_figure_that_is_not_known_or_makes_no_sense_is_refused(figures, values):
    with pytest.raises(UsageError):
        figures.changed(values, "a test")


@pytest.mark.parametrize(
    ("measured", "side", "answer"),
    [
        (9.0, "at-most", ("off-course-reach",)),
        (9.0001, "at-most", None),
        (7.65, "at-most", ()),
        (7.66, "at-most", ("off-course-reach",)),
        (9.0, "at-least", ("off-course-reach",)),
        (10.35, "at-least", ()),
        (10.34, "at-least", ("off-course-reach",)),
        (8.9999, "at-least", None),
    ],
)
def test_limits_count_and_fifteen_percent_decide_what_is_uncertain(figures, measured, side, answer):
    assert figures["off-course-reach"] == 9.0
    assert hanging_on([Condition(measured, side, "off-course-reach")], figures) == answer


def test_a_remark_is_uncertain_just_where_moving_its_figure_makes_it_go(remarks):
    (far,) = remarks(AHEAD, "off-course-ahead", off_course_reach=5.5)
    assert facts_of(far)["distance"] == pytest.approx(5.0)
    assert far.uncertain == ("off-course-reach",)
    assert not remarks(AHEAD, "off-course-ahead", off_course_reach=5.5 * 0.85)
    (near,) = remarks(AHEAD, "off-course-ahead", off_course_reach=9.0)
    assert "off-course-reach" not in near.uncertain


def test_a_remark_names_the_figures_that_it_hangs_on(remarks):
    (made,) = remarks(THREADLE, "threadle")
    assert made.hangs_on == ("behind-bar", "in-a-row")

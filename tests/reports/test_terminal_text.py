import pytest
from gorse import make_course, make_finding, make_verdict

from coursecheck.course.model import Origin
from coursecheck.reports.grouping import entries_of
from coursecheck.reports.tables import plain_table
from coursecheck.reports.terminal import render_concise, render_text
from coursecheck.reports.terms import cautions
from coursecheck.reports.wording import authority_words


@pytest.fixture(scope="module")
def text(verdict):
    return render_text(verdict, colour=False, width=100)


def test_the_first_line_is_the_verdict_in_words(text):
    assert text.splitlines()[0].startswith("NOT LEGAL: Gorse Hill trial, ring 1: 2 must-limits in breach")


def test_a_plan_without_findings_says_legal_and_that_nothing_was_found():
    text = render_text(make_verdict(findings=()), colour=False, width=100)
    assert text.startswith("LEGAL: ")
    assert "Nothing in breach" in text


def test_lengths_and_times_of_each_class_are_told_or_why_not(text):
    assert "148.32 m   3.8 m/s   40 s   60 s" in text
    assert "large: no length: no line from 14 to 15" in text
    assert "large: no SCT: no length; no MCT: no SCT; walk it" in text


def test_every_finding_is_told_with_its_message_clause_and_basis(text, verdict):
    flat = " ".join(text.split())
    for entry in entries_of(verdict):
        for line in entry.lines:
            assert line.finding.message in flat
            assert authority_words(line.finding) in flat


def test_severities_come_from_the_gravest_down(text):
    assert text.index("MUST (") < text.index("SHOULD (") < text.index("NOTE (") < text.index("MET WITH")


def test_what_is_not_covered_is_said_not_to_be_checked(text):
    assert "so not checked\n  weave entry" in text


def test_a_waiver_shows_who_and_why(text):
    assert "waived by the club's reviewer: the tent moves on the day" in " ".join(text.split())


def test_the_cautions_close_it(text):
    assert " ".join(text.split()).endswith(" ".join(cautions()))


def test_without_colour_there_is_no_escape_sequence_and_with_colour_the_same_words(text, verdict):
    coloured = render_text(verdict, colour=True, width=100)
    assert "\x1b[" not in text
    assert "\x1b[" in coloured
    assert "NOT LEGAL" in coloured


@pytest.mark.parametrize("width", [40, 80, 200])
def test_no_line_is_wider_than_asked(verdict, width):
    assert max(map(len, render_text(verdict, colour=False, width=width).splitlines())) <= width


def test_a_title_cannot_send_commands_to_the_terminal():
    course = make_course(title="x\x1b]0;owned\x07\x1b[31m\u202eevil\nLEGAL: fine")
    verdict = make_verdict(course)
    for text in (render_text(verdict, colour=False, width=100), render_concise(verdict)):
        assert not {"\x1b", "\x07", "\u202e"} & set(text)
        assert not any(line.startswith("LEGAL") for line in text.splitlines())


def test_concise_is_one_line_a_finding(verdict):
    lines = render_concise(verdict).splitlines()
    assert len(lines) == sum(len(entry.lines) for entry in entries_of(verdict))
    assert lines[0] == (
        "gorse.course.toml: must leg-distance-min: 1 to 2 (a to b): distance to the next obstacle 4.62 m, "
        "at least 5.00 m (0.38 m short) [clause A.3.1, basis summary, breach, small]"
    )


def test_concise_stays_one_line_whatever_the_file_is_called():
    course = make_course(origin=Origin("a\nb\u2028c.toml", "0" * 64))
    verdict = make_verdict(course, findings=(make_finding(message="one\r\ntwo"),))
    assert len(render_concise(verdict).splitlines()) == 1


def test_concise_says_nothing_where_there_is_nothing_to_say():
    assert render_concise(make_verdict(findings=(make_finding(outcome="met"),))) == ""


def test_the_same_input_gives_the_same_text():
    one, two = (render_text(make_verdict(), colour=True, width=90) for _ in range(2))
    assert one == two


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"basis": "practice", "clause": ""}, "common practice, no source"),
        ({"basis": "text", "clause": "B.1", "source": "S"}, "clause B.1, basis: the rulebook's own text, S"),
        (
            {"basis": "memory", "clause": "", "source": ""},
            "no clause known, basis: from memory, not checked, no source given",
        ),
    ],
)
def test_what_a_limit_rests_on_is_said_plainly(parts, words):
    assert authority_words(make_finding(**parts)) == words


def test_a_table_keeps_to_its_width_and_loses_no_word_where_cells_are_long_or_wide():
    rows = [("a long name of a plan, with words", "1"), ("ü" * 30, "22"), ("日本" * 8, "333")]
    text = plain_table(("plan", "count"), rows, colour=False, width=24, right=(1,))
    lines = text.splitlines()
    assert all(len(line) <= 24 for line in lines)
    assert lines[2].endswith("  1")
    assert "".join(text.split()).count("ü") == 30
    assert all(word in text.split() for word in ("long", "name", "plan,", "words", "22", "333"))

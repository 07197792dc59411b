"""Rulebooks from the command line: list, lint, show, diff, new, and the trace of a limit on a plan."""

import re

import pytest
from click.testing import CliRunner

from coursecheck.cli import main
from coursecheck.resources import sample

GRANARY = str(sample("granary"))


def run(*arguments):
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


HEAD = """\
format = 1
[rulebook]
id = "own"
title = "Own"
edition = "1"
extends = "club-show"
source = "we"
"""
MAX = """\
[[limit]]
id = "leg-distance-max"
{where}max = {max}
severity = "must"
basis = "practice"
source = "we"
reason = "short hall"
"""


def overlay(folder, rows=""):
    path = folder / "own.toml"
    path.write_text(HEAD + rows)
    return path


def test_without_a_command_the_rulebooks_are_listed():
    shown = run("rulebooks")
    assert shown.exit_code == 0
    assert "club-show" in shown.output


def test_the_help_names_every_command():
    shown = run("rulebooks", "--help").output
    assert all(name in shown for name in ("lint", "show", "diff", "new"))


def test_lint_has_nothing_to_say_of_a_sound_file(tmp_path):
    shown = run("rulebooks", "lint", overlay(tmp_path), "club-show")
    assert shown.exit_code == 0
    assert shown.output.count("nothing to say against it") == 2


@pytest.mark.parametrize(
    ("rows", "options", "status", "words"),
    [
        (
            MAX.format(where="", max=8) + MAX.format(where="", max=7),
            (),
            1,
            "error: limit leg-distance-max: never applies",
        ),
        (MAX.format(where="", max=3), (), 0, "warning: limit leg-distance-max: no plan can keep both"),
        (MAX.format(where="", max=3), ("--strict",), 1, "warning"),
        (MAX.format(where='where = { kind = "jump" }\n', max=3), (), 2, "would never apply"),
        (MAX.format(where="", max='"far"'), (), 2, "limit[0].max"),
    ],
)
def test_lint_tells_errors_warnings_and_what_cannot_be_read_apart(tmp_path, rows, options, status, words):
    path = overlay(tmp_path, rows)
    shown = run("rulebooks", "lint", *options, path)
    assert shown.exit_code == status
    assert words in shown.output
    assert f"{path}:8" in shown.output or f"{path}:9" in shown.output or f"{path}:10" in shown.output


def test_one_unreadable_file_does_not_stop_the_others(tmp_path):
    shown = run("rulebooks", "lint", tmp_path / "no.toml", "club-show")
    assert shown.exit_code == 2
    assert "nothing to say against it" in shown.output


def test_show_prints_the_bound_that_decides():
    shown = run("rulebooks", "show", "club-show", "--height", "small", "--grade", "1", "--discipline", "agility")
    assert shown.exit_code == 0
    (line,) = [line for line in shown.output.splitlines() if line.startswith("leg-distance-min")]
    assert "at least 4.00 m" in line
    assert "SCT" in shown.output
    assert "Not in this file:" in shown.output


def test_show_prints_feet_where_the_rulebook_is_in_feet_and_metres_on_request():
    assert " ft" in run("rulebooks", "show", "akc-2016").output
    assert " ft" not in run("rulebooks", "show", "akc-2016", "--units", "m").output.partition("Not in this file")[0]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("show", "nobody"), "nobody"),
        (("show", "club-show", "--height", "giant"), "giant"),
        (("show", "club-show", "--grade", "99"), "99"),
        (("show", "club-show", "--discipline", "flyball"), "flyball"),
        (("diff", "club-show", "nobody"), "nobody"),
        (("new", "rules.txt"), ".toml"),
        (("new", "own.toml", "--extends", "nobody"), "nobody"),
    ],
)
def test_what_makes_no_sense_ends_with_2_and_says_why(arguments, words, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    shown = run("rulebooks", *arguments)
    assert shown.exit_code == 2
    assert words in shown.output
    assert list(tmp_path.iterdir()) == []


def test_diff_names_the_limits_and_the_courses_whose_verdict_changes(tmp_path):
    shown = run("rulebooks", "diff", "club-show", overlay(tmp_path, MAX.format(where="", max=5)), GRANARY)
    assert shown.exit_code == 1
    (line,) = [line for line in shown.output.splitlines() if line.startswith("leg-distance-max") and "small" in line]
    assert "should: at most 8.00 m" in line
    assert "must: at most 5.00 m" in line
    assert "legal by club-show, not legal by own: CHANGED" in shown.output
    assert "+ must leg-distance-max: 1 to 2" in shown.output


def test_diff_ends_with_0_where_no_verdict_changes(tmp_path):
    shown = run("rulebooks", "diff", "club-show", overlay(tmp_path), GRANARY)
    assert shown.exit_code == 0
    assert "No limit and no time differs" in shown.output


def test_diff_says_which_course_it_could_not_judge_by_both(tmp_path):
    shown = run("rulebooks", "diff", "club-show", "base", GRANARY, tmp_path / "no.course.toml")
    assert shown.exit_code == 2
    assert "base has no jumping of grade 2" in shown.output
    assert "no.course.toml: not compared" in shown.output


def test_a_new_rulebook_can_be_used_at_once_and_is_not_overwritten(tmp_path):
    path = tmp_path / "Our Club.toml"
    assert run("rulebooks", "new", path).exit_code == 0
    assert run("rulebooks", "lint", path).exit_code == 0
    assert run("rulebooks", "new", path).exit_code == 2
    assert run("rulebooks", "new", path, "--force").exit_code == 0


def test_a_new_rulebook_that_cannot_be_read_leaves_what_was_there(tmp_path):
    path = tmp_path / "own.toml"
    assert run("rulebooks", "new", path, "--title", "two\tcolumns").exit_code == 2
    assert not path.exists()
    path.write_text("# years of work\n")
    assert run("rulebooks", "new", path, "--title", "two\tcolumns", "--force").exit_code == 2
    assert path.read_text() == "# years of work\n"


def test_a_new_course_that_could_not_be_read_is_not_written(tmp_path):
    shown = run("new", tmp_path / "x.course.toml", "--title", "two\tcolumns")
    assert shown.exit_code == 2
    assert "course.title" in shown.output
    assert not list(tmp_path.iterdir())


def test_explain_shows_the_values_of_the_height_classes_asked_for():
    shown = run("explain", "leg-distance-min", "--height", "small", "--height", "large").output
    assert re.search("^grade +small +large$", shown, re.MULTILINE)
    shown = run("explain", "leg-distance-min", "--height", "giant")
    assert shown.exit_code == 2
    assert "club-show has no height class 'giant'" in shown.output


def test_explain_tells_what_a_measure_is_and_who_asks_for_it():
    shown = run("explain", "leg-distance").output
    assert shown.startswith("leg-distance: distance to the next obstacle\n")
    assert "  flight: " in shown
    assert "A row may choose by: from, to, pass, turn" in shown
    (used,) = re.findall("Limits that ask for it: (.*)", shown)
    assert {"leg-distance-min", "landing-to-takeoff"} <= set(used.split(", "))


@pytest.mark.parametrize("option", [(), ("--course",)])
def test_explain_with_a_plan_tells_which_row_was_chosen_for_whom_and_why(option):
    shown = run("explain", "leg-distance-max", *option, GRANARY, "--height", "small")
    assert shown.exit_code == 0
    assert "decides: should: at most 8.00 m" in shown.output
    assert "applies, for height small" in shown.output
    assert "1 to 2 (a to b)" in shown.output


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("leg-distnce-max", GRANARY), "did you mean"),
        (("leg-distance-max", GRANARY, "--rulebook", "base"), "names its own rulebook"),
        (("leg-distance-max", GRANARY, "--height", "giant"), "giant"),
        (("leg-distance-max", GRANARY, "--course", GRANARY), "once"),
    ],
)
def test_a_trace_that_cannot_be_given_ends_with_2(arguments, words):
    shown = run("explain", *arguments)
    assert shown.exit_code == 2
    assert words in shown.output

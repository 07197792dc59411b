"""The command `walk`: text and JSON, classes, figures, the same bytes twice."""

import json

import pytest
from click.testing import CliRunner

from coursecheck.cli import main
from coursecheck.resources import sample

GRANARY = str(sample("granary"))


def run(*words):
    return CliRunner().invoke(main, ["walk", *words])


@pytest.mark.parametrize("name", ["saltmarsh", "granary", "meadow", "draft-with-faults"])
def test_every_sample_is_walked_pass_by_pass_the_same_twice(name):
    first, second = (run(str(sample(name))) for _ in range(2))
    assert first.exit_code == 0, first.output
    assert first.output == second.output
    assert "jump 1 to jump 2: " in first.output
    assert "never a verdict" in first.output
    assert all(len(line) <= 120 for line in first.output.splitlines())


def test_what_the_granary_course_is_known_for_is_said():
    output = " ".join(run(GRANARY, "--height", "large").output.split())
    assert "Straight on from tunnel 15, jump 5 stands open" in output
    assert "After spread 8 the course turns 84° to the left" in output


def test_json_holds_every_remark_with_figures_and_place():
    result = json.loads(run(GRANARY, "--format", "json", "--height", "small", "--height", "large").output)
    assert [one["height"] for one in result["classes"]] == ["small", "large"]
    for one in result["classes"]:
        assert len(one["legs"]) == 17
        for made in one["remarks"]:
            assert made["facts"]
            assert made["witness"]["points"]
            assert set(made["hangs_on"]) <= {figure["id"] for figure in result["figures"]}


def test_a_figure_that_is_changed_changes_the_walk_and_is_shown_as_changed():
    output = run(GRANARY, "--height", "large", "--set", "off-course-reach=5").output
    assert "tunnel 15, jump 5" not in output
    result = json.loads(run(GRANARY, "--format", "json", "--set", "wrap=100").output)
    wrap = next(figure for figure in result["figures"] if figure["id"] == "wrap")
    assert (wrap["value"], wrap["basis"]) == (100.0, "changed")


@pytest.mark.parametrize(
    "words", [("--set", "wrp=3"), ("--set", "wrap"), ("--height", "giant"), ("--figures", "none.toml")]
)
def test_a_question_that_makes_no_sense_ends_with_status_2(words):
    result = run(GRANARY, *words)
    assert result.exit_code == 2
    assert "Traceback" not in result.output


def test_the_walk_is_written_to_a_file_whole(tmp_path):
    out = tmp_path / "walk.txt"
    assert run(GRANARY, "-o", str(out)).exit_code == 0
    assert out.read_text(encoding="utf-8").startswith("Course walk: ")

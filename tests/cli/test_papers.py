"""The command `papers` through its real entry point."""

import json

import pytest
from test_cli import run

from coursecheck.papers import PAPERS, UNASKED
from coursecheck.resources import sample

PLAN = sample("meadow")


def test_it_writes_every_paper_and_names_each_on_stderr(tmp_path):
    shown = run("papers", PLAN, "-o", tmp_path / "new" / "papers")
    expected = {f"{name}.{form}" for name, paper in PAPERS.items() for form in paper.forms if form in UNASKED}
    assert (shown.returncode, shown.stdout) == (0, "")
    assert {path.name for path in (tmp_path / "new" / "papers").iterdir()} == expected
    assert len(shown.stderr.splitlines()) == len(expected)


def test_rounding_is_checked_against_the_limits(tmp_path):
    run("papers", PLAN, "-o", tmp_path, "--only", "setting-out")
    page = (tmp_path / "setting-out.html").read_text(encoding="utf-8")
    assert "was not checked" not in page
    assert "The course length changes by" in page


def test_papers_and_formats_may_be_listed_with_commas(tmp_path):
    assert run("papers", PLAN, "-o", tmp_path, "--only", "plan,setting-out", "--format", "html,csv").returncode == 0
    assert {path.name for path in tmp_path.iterdir()} == {"plan.html", "plan.csv", "setting-out.html"}


def test_a_plan_can_be_laid_on_the_earth(tmp_path):
    place = ("--origin", "52.5,-1.25", "--north", "15")
    assert run("papers", PLAN, "-o", tmp_path, "--format", "geojson", *place).returncode == 0
    plan = json.loads((tmp_path / "plan.geojson").read_text())
    ring = plan["features"][0]["geometry"]["coordinates"][0]
    assert ring[0] == [-1.25, 52.5]
    assert "WGS 84" in plan["frame"]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--only", "plans"), "there is no paper 'plans'"),
        (("--format", "docx"), "there is no format 'docx'"),
        (("--only", "setting-out", "--format", "dxf"), "cannot be had"),
        (("--line", "giant"), "no height class 'giant'"),
        (("--origin", "52.5"), "latitude and longitude"),
        (("--origin", "95,0", "--format", "geojson"), "no ring can lie"),
        (("--paper", "a7"), "a7"),
    ],
)
def test_what_cannot_be_made_ends_with_2_and_writes_nothing(tmp_path, options, words):
    shown = run("papers", PLAN, "-o", tmp_path / "papers", *options)
    assert shown.returncode == 2
    assert words in shown.stderr
    assert "Traceback" not in shown.stderr
    assert not (tmp_path / "papers").exists()


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").write_text("x")
    shown = run("papers", PLAN, "-o", tmp_path / "file" / "papers", "--only", "plan", "--format", "csv")
    assert shown.returncode == 2
    assert "cannot be made" in shown.stderr

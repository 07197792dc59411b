"""The clipboard card that `times` writes with the wheel's figure."""

import pytest
from click.testing import CliRunner

from coursecheck.checking import measured_lengths
from coursecheck.cli import main
from coursecheck.plans import load_plan
from coursecheck.resources import sample
from tests.needs import require

PLAN = str(sample("saltmarsh"))


def run(*words):
    return CliRunner().invoke(main, ["times", PLAN, "--length", "150", *words])


def test_the_card_carries_the_times_of_the_day(tmp_path):
    card = tmp_path / "card.html"
    shown = run("--card", str(card), "--speed", "4", "--height", "large")
    assert shown.exit_code == 0
    assert str(card) in shown.stderr
    page = card.read_text(encoding="utf-8")
    assert '<td class="sct">37.50</td><td>75.00</td><td>150.00\u00a0m</td>' in page
    assert "m more than the plan" in page
    assert "length of the plan" not in page  # what is in bold is the wheel's
    assert "medium" not in page


def test_the_card_is_a_pdf_where_its_name_says_so(tmp_path):
    require("pango")
    card = tmp_path / "card.pdf"
    assert run("--card", str(card)).exit_code == 0
    assert card.read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize("name", ["none/card.html", "."])
def test_a_card_that_cannot_be_written_is_told_in_one_line(tmp_path, name):
    shown = run("--card", str(tmp_path / name))
    assert shown.exit_code == 2
    assert "Traceback" not in shown.output


def test_the_wheel_is_held_against_the_plan():
    course, book = load_plan(PLAN)
    planned = measured_lengths(course, book)[-1].length_m
    assert f"large: wheel {150 - planned:.2f} m more than the plan's {planned:.2f} m" in run().stdout
    words = ["times", PLAN, "--height", "large", "--length"]
    near, far = (CliRunner().invoke(main, [*words, f"{planned + more:.2f}"]).stdout for more in (0.8, 8.0))
    assert "wheel 0.80 m more" in near
    assert "measure again" not in near
    assert "measure again" in far


def test_the_wheel_may_be_in_feet():
    shown = CliRunner().invoke(main, ["times", PLAN, "--length", "500 ft", "--height", "large"])
    assert shown.exit_code == 0
    assert "large          152.40 m" in shown.stdout


@pytest.mark.parametrize("words", ["ft", "-3ft", "0 ft", "12 yd", "1e999"])
def test_what_is_no_length_is_told(words):
    shown = CliRunner().invoke(main, ["times", PLAN, f"--length={words}"])
    assert shown.exit_code == 2
    assert "Invalid value for '--length'" in shown.stderr

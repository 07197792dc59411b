"""The small reckoner of the report: it must say what the program says, in a browser and without a network."""

import html
import json
import re
import shutil
import subprocess
from decimal import Decimal
from fractions import Fraction

import pytest
from gorse import make_verdict
from pages import Page

from coursecheck.checking import check
from coursecheck.language import speaking, written
from coursecheck.plans import load_plan
from coursecheck.reports.html import render_html
from coursecheck.reports.wheel_table import reckoner_data, verdict_formulas, wheel_tables
from coursecheck.resources import folder, sample
from coursecheck.wheel import Formula, Formulas
from tests.needs import require

LENGTHS = ["182.5", "182,5", "99.995", "100.004999", "0.004", "7", "  160.00 ", "160.01", "161.5", "1000.125"]
NO_LENGTHS = ["", "abc", "-3", "1e3", "0", "1.2.3", "1234567"]
FORMULAS = [
    Formulas("plain", Formula("length", Fraction(10, 38), "none", None, None, ""), None),
    Formulas(
        "up",
        Formula("length", Fraction(100, 297), "up", None, None, ""),
        Formula("sct", Fraction(3, 2), "up", None, None, ""),
    ),
    Formulas(
        "half",
        Formula("length", Fraction(1, 4), "half-up", Decimal(45), Decimal("30.5"), ""),
        Formula("length", Fraction(1, 2), "none", None, Decimal(80), ""),
    ),
    Formulas(
        "fixed",
        Formula("fixed", Fraction(60), "none", None, None, ""),
        Formula("sct", Fraction(2), "none", None, None, ""),
    ),
    Formulas("rate", None, Formula("length", Fraction(1, 2), "up", Decimal(120), None, "")),
]


@pytest.fixture(scope="module")
def sheet():
    return check(*load_plan(sample("saltmarsh")))


def browser(page, tmp_path):
    """The page after its script ran."""
    require("chromium")
    chromium = shutil.which("chromium")
    file = tmp_path / "page.html"
    file.write_text(page, encoding="utf-8")
    flags = ["--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path / 'profile'}"]
    done = subprocess.run(
        [chromium, *flags, "--dump-dom", file.as_uri()], capture_output=True, text=True, check=True, timeout=60
    )
    return done.stdout


@pytest.mark.parametrize("units", ["m", "ft"])
def test_it_says_what_the_program_says_for_every_rule_and_length(units, tmp_path, monkeypatch, sheet):
    monkeypatch.setattr("coursecheck.reports.wheel_table.verdict_formulas", lambda _: tuple(FORMULAS))
    rows = "".join("<tr><td></td><td></td></tr>" for _ in FORMULAS)
    script = (folder("reports") / "reckoner.js").read_text(encoding="utf-8")
    page = f"""<!doctype html><meta charset="utf-8">
        <form id="reckoner" data-units="{units}" data-rules="{html.escape(json.dumps(reckoner_data(sheet)))}">
        <input><table><tbody>{rows}</tbody></table></form><pre></pre><script>{script}</script><script>
        for (const text of {json.dumps(LENGTHS + NO_LENGTHS)}) {{
          const input = document.querySelector("input");
          input.value = text;
          input.dispatchEvent(new Event("input"));
          document.querySelector("pre").textContent +=
            [...document.querySelectorAll("td")].map((cell) => cell.textContent).join(";") + "\\n";
        }}</script>"""
    (shown,) = re.findall(r"<pre>(.*?)</pre>", browser(page, tmp_path), re.S)
    assert shown.strip().splitlines() == [
        *(said(text, units) for text in LENGTHS),
        *([";".join("–" * 2 * len(FORMULAS))] * len(NO_LENGTHS)),
    ]


def said(text, units):
    """What the program says of a length."""
    length = Fraction(Decimal(text.strip().replace(",", "."))) * (1 if units == "m" else Fraction(3048, 10000))
    centimetres = (200 * length + 1) // 2
    times = [found.times_s(Decimal(int(centimetres)).scaleb(-2)) for found in FORMULAS]
    shown = ["–" if time is None or centimetres == 0 else f"{time} s" for pair in times for time in pair]
    return ";".join(shown)


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_report_starts_with_the_length_of_the_plan(language, tmp_path, sheet):
    with speaking(language):
        after = Page(browser(render_html(sheet), tmp_path))
    box = after.by_id()["reckoner"]
    assert "hidden" not in box.attrs
    cells = [e.text for e in box.all() if e.tag == "td"]
    longest = Decimal(f"{max(length.length_m for length in sheet.lengths):.2f}")
    sct, mct = verdict_formulas(sheet)[0].times_s(longest)
    with speaking(language):
        assert cells == [f"{written(sct)} s", f"{written(mct)} s"] * 3


def test_without_a_script_a_table_serves(sheet):
    page = Page(render_html(sheet))
    assert "hidden" in page.by_id()["reckoner"].attrs
    (table,) = wheel_tables(sheet)
    words = page.root.words()
    assert all(f"{row.length} {row.sct} {row.mct}" in words for row in table.rows)
    assert len(page.find("script")) == 1


def test_a_plan_whose_times_need_more_than_a_length_has_no_table_and_no_script():
    page = Page(render_html(make_verdict()))
    assert page.find("script") == page.find("form") == []


def test_a_table_reaches_around_the_plan_and_its_rows_follow_the_rule(sheet):
    (table,) = wheel_tables(sheet)
    lengths = [length.length_m for length in sheet.lengths]
    rows = [Decimal(row.length) for row in table.rows]
    assert rows[0] < min(lengths)
    assert rows[-1] >= max(lengths) * 1.07
    assert any(row.planned for row in table.rows)
    rule = verdict_formulas(sheet)[0]
    assert [(row.sct, row.mct) for row in table.rows] == [
        tuple(f"{time}" for time in rule.times_s(length)) for length in rows
    ]


def test_where_times_are_whole_seconds_a_row_holds_up_to_its_length(monkeypatch, sheet):
    monkeypatch.setattr("coursecheck.reports.wheel_table.verdict_formulas", lambda _: (rule("large"),))
    (table,) = wheel_tables(sheet)
    assert table.stepped
    assert [row.sct for row in table.rows] == sorted({row.sct for row in table.rows})
    for row in table.rows[:-1]:
        last = Decimal(row.length)
        assert f"{rule('large').times_s(last)[0]}" == row.sct
        assert f"{rule('large').times_s(last + Decimal('0.01'))[0]}" != row.sct


def rule(height):
    sct = Formula("length", Fraction(10, 38), "up", None, None, "length / 3.8, rounded up")
    return Formulas(height, sct, Formula("sct", Fraction(2), "up", None, None, "2 x SCT"))

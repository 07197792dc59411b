"""The papers as PDF and PNG: what comes out of the printer."""

import builtins
import os
import re
import sys
from itertools import combinations

import numpy as np
import pytest
from sheets import page_count, pictures
from shown import run

from coursecheck.errors import MissingPackageError
from coursecheck.language import LANGUAGES, speaking
from coursecheck.papers import PAPERS, PaperOptions, make_papers
from coursecheck.papers.pdf import pdf_of
from coursecheck.papers.png import png_of
from coursecheck.resources import folder
from tests.needs import require

PAGES = [name for name, paper in PAPERS.items() if "html" in paper.formats]
A4_PT, A5_PT = (595.3, 841.9), (419.5, 595.3)
POINT_MM = 25.4 / 72
MOST_PAGES = {"clipboard": 2, "equipment": 2, "submission": 3, "plan": 1, "setting-out": 5, "report": 14}


@pytest.fixture(scope="module", autouse=True)
def _printer():
    require("pango", "poppler")


@pytest.fixture(scope="module")
def printed(judged, tmp_path_factory):
    """Every paper of a course with faults, as PDF files by name."""
    place = tmp_path_factory.mktemp("papers")
    for name, content in make_papers(judged("draft-with-faults"), PaperOptions(), PAGES, ["pdf"]):
        (place / name).write_bytes(content)
    return {name: place / f"{name}.pdf" for name in PAGES}


def test_every_page_can_be_had_as_pdf(printed):
    assert set(printed) == set(MOST_PAGES)
    assert all(path.read_bytes().startswith(b"%PDF-") for path in printed.values())


@pytest.mark.parametrize("name", PAGES)
def test_it_has_no_more_pages_than_a_reader_wants(printed, name):
    assert page_count(printed[name]) <= MOST_PAGES[name]


def test_the_digest_of_the_walk_stands_on_one_page(printed):
    texts = run("pdftotext", "-layout", str(printed["report"]), "-").split("\f")
    pages = [[i for i, text in enumerate(texts) if words in text] for words in ("be like to run", "coursecheck walk")]
    assert len(pages[0]) == 1
    assert pages[0] == pages[1]


@pytest.mark.parametrize("name", PAGES)
def test_no_page_is_blank(printed, name):
    texts = run("pdftotext", "-layout", str(printed[name]), "-").split("\f")[:-1]
    assert len(texts) == page_count(printed[name])
    assert [i for i, text in enumerate(texts, 1) if len(text.split()) < 12] == []


@pytest.mark.parametrize("name", PAGES)
def test_every_font_is_embedded(printed, name):
    fonts = run("pdffonts", str(printed[name])).splitlines()[2:]
    assert fonts
    assert [line for line in fonts if not re.search(r"\s(yes)\s+(yes|no)\s+(yes|no)\s+\d+\s+\d+$", line)] == []


@pytest.fixture(scope="module")
def printed_hostile(hostile, tmp_path_factory):
    """The same of a course with hostile names."""
    place = tmp_path_factory.mktemp("hostile")
    for name, content in make_papers(hostile, PaperOptions(), PAGES, ["pdf"]):
        (place / name).write_bytes(content)
    return {name: place / f"{name}.pdf" for name in PAGES}


@pytest.mark.parametrize("whose", ["printed", "printed_hostile"])
@pytest.mark.parametrize("name", PAGES)
def test_every_word_stands_on_the_paper_and_leaves_the_margin_of_a_printer(name, whose, request):
    boxes = run("pdftotext", "-bbox", str(request.getfixturevalue(whose)[name]), "-")
    for page in re.findall(r"<page (.*?)</page>", boxes, re.DOTALL):
        width, height = (float(v) for v in re.match(r'width="([\d.]+)" height="([\d.]+)"', page).groups())
        assert (width, height) == pytest.approx(A5_PT if name == "clipboard" else A4_PT, abs=0.1)
        words = re.findall(r'xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)<', page)
        edge = 4.0 / POINT_MM
        off = [
            word
            for *box, word in words
            if not edge <= float(box[0]) <= float(box[2]) <= width - edge
            or not edge <= float(box[1]) <= float(box[3]) <= height - edge
        ]
        assert off == []


def _words(pdf):
    """The words of each page with the box of each: left, top, right, bottom."""
    boxes = run("pdftotext", "-bbox", str(pdf), "-")
    word = r'xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)<'
    for page in re.findall(r"<page (.*?)</page>", boxes, re.DOTALL):
        yield [(*map(float, box), text) for *box, text in re.findall(word, page)]


def _overlap(one, other):
    across, down = (min(one[i + 2], other[i + 2]) - max(one[i], other[i]) for i in (0, 1))
    return across > 0.5 and down > 0.5 * min(one[3] - one[1], other[3] - other[1])


@pytest.fixture(scope="module", params=LANGUAGES)
def printed_in_words(request, judged, tmp_path_factory):
    """The papers that are mostly words, of a course with faults, in each language."""
    place = tmp_path_factory.mktemp(request.param)
    with speaking(request.param):
        verdict = judged("draft-with-faults")
        for name, content in make_papers(verdict, PaperOptions(), ["submission", "report"], ["pdf"]):
            (place / name).write_bytes(content)
    return place


@pytest.mark.parametrize("name", ["submission", "report"])
def test_no_word_lies_on_another(printed_in_words, name):
    for page in _words(printed_in_words / f"{name}.pdf"):
        words = [word for word in page if not word[4].isdigit()]  # numbers and flags of the plan may touch
        assert [(one[4], other[4]) for one, other in combinations(words, 2) if _overlap(one, other)] == []


def test_no_weight_is_broken_in_two(printed_in_words):
    words = {word[4] for page in _words(printed_in_words / "submission.pdf") for word in page}
    assert words & {"must", "Muss", "obligatoire"}


def test_the_plan_keeps_its_scale_on_the_page(judged, tmp_path):
    """1:200 on A4: the edge of a ring of 30 m by 40 m is 150 mm by 200 mm on the paper."""
    ((_, content),) = make_papers(judged("saltmarsh"), PaperOptions(line=False), ["plan"], ["pdf"])
    pdf = tmp_path / "plan.pdf"
    pdf.write_bytes(content)
    dots = 10
    (picture,) = pictures(pdf, dots)
    ink = np.asarray(picture) < 128
    sides, ends = np.flatnonzero(ink.sum(axis=0) > 1000), np.flatnonzero(ink[:2300].sum(axis=1) > 1000)
    assert (sides[-1] - sides[0]) / dots == pytest.approx(150.0, abs=0.5)
    assert (ends[-1] - ends[0]) / dots == pytest.approx(200.0, abs=0.5)


def test_numbers_on_the_plan_are_black_and_not_hidden_by_their_rim(judged, tmp_path):
    ((_, content),) = make_papers(judged("saltmarsh"), PaperOptions(), ["plan"], ["pdf"])
    pdf = tmp_path / "plan.pdf"
    pdf.write_bytes(content)
    boxes = run("pdftotext", "-bbox", str(pdf), "-")
    (picture,) = pictures(pdf, 10)
    dots = np.asarray(picture)
    found = re.findall(r'xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(1[0-9])<', boxes)
    black = set()
    for *box, number in found:
        left, top, right, bottom = (round(float(v) * POINT_MM * 10) for v in box)
        if (dots[top:bottom, left:right] < 60).mean() > 0.08:
            black.add(number)
    assert black == {str(n) for n in range(10, 20)}


@pytest.mark.parametrize("name", PAGES)
def test_the_same_plan_gives_the_same_pdf(judged, name):
    ((_, html),) = make_papers(judged("meadow"), PaperOptions(), [name], ["html"])
    assert pdf_of(html.decode()) == pdf_of(html.decode())


@pytest.mark.parametrize("name", PAGES)
def test_hostile_names_make_a_pdf_like_any_other(printed_hostile, name):
    assert b"/JavaScript" not in printed_hostile[name].read_bytes()
    assert page_count(printed_hostile[name]) <= MOST_PAGES[name] + 1


@pytest.mark.parametrize("name", [name for name in PAGES if name != "plan"])
def test_every_page_carries_the_title_and_its_number(printed, name):
    texts = run("pdftotext", "-layout", str(printed[name]), "-").split("\f")[:-1]
    assert [i for i, text in enumerate(texts, 1) if "Saltmarsh Autumn Show, first draft" not in text] == []
    ends = [re.compile(rf"(?<!\d){i}(\s*/\s*{len(texts)})?\s*$") for i in range(1, len(texts) + 1)]
    assert [i for i, (text, end) in enumerate(zip(texts, ends, strict=True), 1) if not end.search(text)] == []


def test_the_date_of_a_build_is_left_as_it_was(monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    pdf_of("<p>x</p>")
    assert "SOURCE_DATE_EPOCH" not in os.environ
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    pdf_of("<p>x</p>")
    assert os.environ["SOURCE_DATE_EPOCH"] == "1700000000"


def test_nothing_is_fetched_for_a_pdf(tmp_path, caplog):
    secret = tmp_path / "secret.png"
    secret.write_bytes(b"")
    pdf_of(f'<img src="{secret.as_uri()}"><p>x</p>')
    assert "Failed to load" in caplog.text


# --- what is not installed


def test_without_weasyprint_the_message_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(MissingPackageError, match=r"pip install 'coursecheck\[pdf\]'.*print the HTML file"):
        pdf_of("<p>x</p>")


def test_without_pango_the_message_says_what_to_install(monkeypatch):
    known = builtins.__import__

    def refuse(name, *others):
        if name == "weasyprint":
            raise OSError("cannot load library 'libpango-1.0-0'")
        return known(name, *others)

    monkeypatch.setattr(builtins, "__import__", refuse)
    with pytest.raises(MissingPackageError, match=r"apt install libpango-1\.0-0.*print the HTML file"):
        pdf_of("<p>x</p>")


def test_without_resvg_the_message_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    with pytest.raises(MissingPackageError, match=r"pip install 'coursecheck\[png\]'"):
        png_of("<svg/>")


# --- PNG


def test_a_picture_has_200_dots_an_inch_of_the_sheet_on_white(tmp_path):
    from PIL import Image

    size = 'viewBox="0 0 50.8 25.4" width="50.8mm" height="25.4mm"'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" {size}><path d="M0 0H9"/></svg>'
    (tmp_path / "x.png").write_bytes(png_of(svg))
    picture = Image.open(tmp_path / "x.png").convert("RGBA")
    assert picture.size == (400, 200)
    assert picture.getpixel((200, 100)) == (255, 255, 255, 255)


# --- ink


def luminance(colour):
    """Relative luminance of a hexadecimal colour (WCAG 2.2)."""
    digits = colour.lstrip("#")
    digits = "".join(c * 2 for c in digits) if len(digits) == 3 else digits
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


SHEETS = sorted(path.name for path in folder("reports").glob("*.css"))


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_colour_of_words_keeps_a_contrast_of_four_and_a_half_to_one(sheet):
    """WCAG 2.2, 1.4.3 contrast (minimum), level AA, against white."""
    style = (folder("reports") / sheet).read_text(encoding="utf-8")
    named = dict(re.findall(r"--(\w+): (#[0-9a-f]{3,6})", style))
    words = re.findall(r"(?<![-\w])color: (?:var\(--(\w+)\)|(#[0-9a-f]{3,6}))", style)
    words += [("", c) for c in re.findall(r"\btext \{[^}]*fill: (#[0-9a-f]{3,6})", style)]
    words += [
        ("", c) for c in re.findall(r"-?(?:figure|words|number|name|scale) \{[^}]*fill: (#[0-9a-f]{3,6})", style)
    ]
    colours = {named.get(name, "#111") if name else colour for name, colour in words} - {"#fff"}
    assert [c for c in colours if 1.05 / (luminance(c) + 0.05) < 4.5] == []


AIDS = {"band", "frame", "rule", "area"}  # they stand under or around something that says the same in a dark line


@pytest.mark.parametrize("sheet", ["plan.css", "detail.css", "strip.css", "exchange.css"])
def test_every_line_of_a_drawing_reads_without_its_colour(sheet):
    """WCAG 2.2, 1.4.11 non-text contrast, against white: three to one also on a black and white printer."""
    style = (folder("reports") / sheet).read_text(encoding="utf-8")
    pale = set()
    for selector, colour in re.findall(r"([^{}]*)\{[^}]*?stroke: (#[0-9a-f]{3,6})", style):
        if colour != "#fff" and 1.05 / (luminance(colour) + 0.05) < 3.0:
            pale.add(selector.split()[-1].lstrip("."))
    assert pale - AIDS == set()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_html_without_an_error(judged, hostile, name):
    """By the parser of the HTML standard, which names every slip that a browser would forgive."""
    from tinyhtml5.parser import HTMLParser

    for verdict in (judged("draft-with-faults"), hostile):
        ((_, page),) = make_papers(verdict, PaperOptions(), [name], ["html"])
        reader = HTMLParser()
        reader.parse(page.decode())
        assert reader.errors == []

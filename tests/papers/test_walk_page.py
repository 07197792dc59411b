"""The page of a walk: every leg and remark, one layer for each leg, nothing from outside, nothing unescaped."""

import re
import shutil
import subprocess
from html.parser import HTMLParser

import pytest

import coursecheck
from coursecheck.papers.walk_page import render_walk_page
from coursecheck.resources import sample
from coursecheck.walk.merging import shared_remarks
from coursecheck.walk.walking import walk
from tests.needs import require


def walked(name, *heights):
    course, rulebook = coursecheck.load_plan(sample(name))
    return walk(course, rulebook, heights)


@pytest.fixture(scope="module")
def granary():
    return walked("granary", "small", "large")


class Reader(HTMLParser):
    def __init__(self):
        super().__init__()
        self.ids, self.links, self.words = [], [], []

    def handle_starttag(self, _tag, attrs):
        named = dict(attrs)
        self.ids += [named["id"]] if "id" in named else []
        self.links += [named[key] for key in ("href", "src") if key in named]

    def handle_data(self, data):
        self.words.append(data)


def read(page):
    reader = Reader()
    reader.feed(page)
    return reader


def test_each_leg_leads_to_its_layer_on_the_plan(granary):
    reader = read(render_walk_page(granary))
    layers = [name for name in reader.ids if name.startswith("leg-")]
    assert layers == [f"leg-{n}" for n in range(1, 18)]
    assert [link for link in reader.links if link.startswith("#leg-")] == [f"#{name}" for name in layers]
    assert len(reader.ids) == len(set(reader.ids))


def test_the_page_needs_nothing_but_itself_and_has_no_script(granary):
    page = render_walk_page(granary)
    assert "<script" not in page
    assert all(link.startswith("#") for link in read(page).links)
    assert not re.search(r"url\((?!#)", page)


def test_every_remark_stands_on_the_page_with_its_number_on_the_plan(granary):
    page = render_walk_page(granary)
    words = " ".join("".join(read(page).words).split())
    remarks = shared_remarks(granary)
    assert remarks
    for shared in remarks:
        assert shared.remark.sentence in words
    on_plan = re.findall(r'class="remark-number">(\d+)<', page)
    assert sorted(map(int, on_plan)) == [n for n, shared in enumerate(remarks, 1) if not shared.remark.whole]


def test_the_same_walk_gives_the_same_bytes(granary):
    assert render_walk_page(granary) == render_walk_page(walked("granary", "small", "large"))


def test_words_of_the_plan_are_escaped(tmp_path):
    text = sample("meadow").read_text(encoding="utf-8")
    text = re.sub(r'title = "[^"]*"', 'title = "<b>Meadow</b> & co"', text, count=1)
    course, rulebook = coursecheck.plan_from_text(text)
    page = render_walk_page(walk(course, rulebook, ["large"]))
    assert "<b>Meadow" not in page
    assert "&lt;b&gt;Meadow&lt;/b&gt; &amp; co" in page


def test_a_plan_without_a_sequence_is_said_so():
    text = sample("meadow").read_text(encoding="utf-8")
    text = re.sub(r"run = \[.*?\]", "run = []", text, count=1, flags=re.DOTALL)
    course, rulebook = coursecheck.plan_from_text(text)
    assert "nothing to walk" in render_walk_page(walk(course, rulebook, ["large"]))


@pytest.mark.parametrize("width_px", [1000, 1280, 1920])
def test_the_plan_stands_beside_the_legs_and_not_on_them(granary, tmp_path, width_px):
    require("chromium")
    edges = """<script>
        const edge = (name, side) => document.querySelector(name).getBoundingClientRect()[side];
        document.title = `${edge("svg.plan", "right")} ${edge(".walk-parts", "left")}`;
    </script>"""
    (tmp_path / "walk.html").write_text(render_walk_page(granary) + edges, encoding="utf-8")
    command = [shutil.which("chromium"), "--headless", "--no-sandbox", f"--window-size={width_px},800", "--dump-dom"]
    address = (tmp_path / "walk.html").as_uri()
    dumped = subprocess.run([*command, address], capture_output=True, text=True, check=True, timeout=60).stdout
    (plan, legs) = re.findall(r"<title>([\d.]+) ([\d.]+)</title>", dumped)[0]
    assert float(plan) <= float(legs)

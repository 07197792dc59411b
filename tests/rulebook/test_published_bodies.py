"""The rulebooks of the published bodies: what they rest on, how they measure, and what they leave open."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from functools import cache

import pytest

from coursecheck import check, load_course, load_rulebook, shipped_rulebooks
from coursecheck.resources import sample
from coursecheck.rulebook.model import Rulebook
from coursecheck.times import times_for
from coursecheck.units import FOOT_M
from coursecheck.verdict.judge import uncovered

BODIES = [name for name in shipped_rulebooks() if name not in ("base", "club-show")]
read = cache(load_rulebook)


def own_rows(book: Rulebook):
    return [row for row in (*book.limits, *book.sizes, *book.times) if row.place.rulebook == book.id]


@pytest.mark.parametrize("name", BODIES)
def test_what_was_not_read_is_listed(name: str) -> None:
    book = read(name)
    assert book.coverage == "partial"
    assert len(book.missing) >= 5
    assert "partial" in book.title


# Accounts of the FCI's editions give distances and lengths, but not how they are taken.
@pytest.mark.parametrize("name", BODIES)
def test_a_way_of_measuring_that_was_not_read_is_listed(name: str) -> None:
    book = read(name)
    if any(row.measure == "leg-distance" and "was not read" in row.about for row in book.limits):
        assert any(topic.startswith("how the distance between obstacles is measured") for topic in book.missing)
    if name.startswith("fci-"):
        assert "how the course is measured" in book.missing


@pytest.mark.parametrize(
    ("name", "figure"),
    [
        # adventuredog.it/agilitygare.asp and brabaudogs.it/regolamento-agility-parte-2, both undated
        ("fci-2012", "no contact obstacle and no table"),
        ("fci-2012", "1.8 to 3.6 m/s"),
        # ghsv-wildbahn.de/hundesport/agility/parcours: about 20 cm thick
        ("fci-2012", "about 0.20 m"),
        # agilityliitto.fi, agilitynews.eu/?p=2184, Polish Open 2023: classes below 28 and 30 cm
        ("fci-2023", "28 or 30 cm"),
        # sgsv-lvmv.de/sportarten/agility, agilityliitto.fi/kilpailut/kuinka-kilpailemaan
        ("fci-2018", "12 to 21"),
        ("fci-2018", "15 to 22"),
        # kipdf.com/pflichtenheft-homologation-agility-parcours; lagotto-info.ch
        ("skg-2023", "at least 10 hurdles"),
        ("skg-2023", "3 and 4"),
        # blv-hundesport.de/hundesport/agility
        ("vdh-2020", "20 %"),
        # thekennelclub.org.uk, older page on course obstacles; media-centre/2018/october
        ("kc-2006", "94.1 cm"),
        ("kc-2006", "1.372 m"),
        ("kc-2017", "1.2 m"),
        # blog.magicagoldens.com/2010/05; acadiashelties.blogspot.com/2008/02
        ("akc-2016", "26 inches"),
        ("akc-2016", "nearest second"),
    ],
)
def test_a_figure_that_was_read_but_is_no_limit_is_listed(name: str, figure: str) -> None:
    assert any(figure in topic for topic in read(name).missing)


def test_what_was_read_but_is_not_measured_is_not_told_as_not_available() -> None:
    about = {topic.topic: topic.about for topic in uncovered(read("fci-2012"))}
    assert about["flat tunnel (read, but no kind of obstacle here)"] == "the rulebook lists it as missing"


@pytest.mark.parametrize("name", BODIES)
def test_a_rulebook_has_figures_of_its_own(name: str) -> None:
    assert own_rows(read(name))


@pytest.mark.parametrize("name", BODIES)
def test_a_source_can_be_looked_up_or_says_that_there_is_none(name: str) -> None:
    """A web address, a numbered magazine, the name of a text that was read; else it says where the figure is from."""
    for row in own_rows(read(name)):
        named = re.search(r"\w\.(\w\w|com|org|net|edu|info)\b|Clean Run|AGI-REG|VDH|Barkour", row.source)
        open_said = re.search(r"not read|no source|as (in|until) ", row.source)
        assert named or open_said, (row.place, row.source)
        assert row.basis != "text" or named, (row.place, row.source)


@pytest.mark.parametrize("name", BODIES)
def test_a_figure_from_memory_says_that_it_was_not_read(name: str) -> None:
    assert all("not read" in row.source for row in own_rows(read(name)) if row.basis == "memory")


@pytest.mark.parametrize("name", BODIES)
def test_every_class_has_a_rule_on_times(name: str) -> None:
    """Where no figure was read, that the judge enters the time is a rule, too."""
    book = read(name)
    for discipline, grades in book.disciplines.items():
        for grade in grades:
            for height in book.heights:
                times = times_for(book, discipline=discipline, grade=grade, height=height, length_m=None)
                assert "no rule" not in times.sct_why_not, (discipline, grade, height)


@pytest.mark.parametrize("name", BODIES)
def test_a_rulebook_judges_a_plan_for_all_of_its_height_classes(name: str) -> None:
    book = read(name)
    discipline, grades = next(iter(book.disciplines.items()))
    course = replace(load_course(sample("meadow")), discipline=discipline, grade=grades[-1], heights=())
    verdict = check(course, book)
    assert [length.height for length in verdict.lengths] == list(book.heights)
    assert all(length.length_m for length in verdict.lengths)
    assert {finding.outcome for finding in verdict.findings} <= {"met", "close", "breach", "not-applicable"}


@pytest.mark.parametrize(
    "editions",
    [
        ("fci-1991", "fci-2002", "fci-2007", "fci-2012", "fci-2018", "fci-2023"),
        ("kc-2006", "kc-2017"),
        ("akc-2006", "akc-2016"),
    ],
)
def test_one_edition_ends_before_the_next_begins(editions: tuple[str, ...]) -> None:
    for earlier, later in zip(map(read, editions), map(read, editions[1:]), strict=False):
        begins = later.valid_from
        assert begins is not None
        assert earlier.valid_to is None or earlier.valid_to + datetime.timedelta(days=1) == begins
        assert earlier.valid_from is None or earlier.valid_from < begins


@pytest.mark.parametrize(
    ("name", "base"),
    [
        ("dkk-2013", "fci-2012"),
        ("dgi", "fci-2012"),
        ("scc-2015", "fci-2012"),
        ("cbkc-2012", "fci-2012"),
        ("vdh-2020", "fci-2018"),
        ("czech-open", "fci-2018"),
        ("fci-2023", "fci-2018"),
        ("skg-2023", "fci-2023"),
        ("akc-premier-2016", "akc-2016"),
        ("akc-t2b-2011", "akc-2016"),
        ("akc-act-2018", "akc-2016"),
    ],
)
def test_a_body_has_the_rows_of_the_edition_it_follows_and_says_why_where_it_has_others(name: str, base: str) -> None:
    book, below = read(name), read(base)
    assert book.limits[: len(below.limits)] == below.limits
    known = {row.id for row in below.limits}
    assert all(row.reason for row in own_rows(book) if getattr(row, "id", None) in known)


# Judges' Guidelines, chapter 4, section 5, yumpu.com/en/document/view/35909337
@pytest.mark.parametrize("name", [name for name in BODIES if name.startswith("akc")])
def test_a_small_dog_is_measured_from_inside_to_inside_and_a_big_one_over_the_middle(name: str) -> None:
    runners = {height: read(name).heights[height].runner for height in ("12", "20")}
    assert runners["12"].crossing[0] >= 1 / 3  # the inside third of a bar: from a third of its half to the upright
    assert runners["20"].crossing == (0.0, 0.0)
    assert {runner.tunnel_line for runner in runners.values()} == {"outside"}


# The same: the second way is the longer one
@pytest.mark.parametrize("plan", ["saltmarsh", "granary", "meadow"])
def test_the_way_over_the_middle_is_longer_than_the_one_from_inside_to_inside(plan: str) -> None:
    book = read("akc-2016")
    course = replace(load_course(sample(plan)), discipline="standard", grade="open", heights=("12", "20"))
    small, big = (length.length_m or 0.0 for length in check(course, book, heights=("12", "20")).lengths)
    assert small + 1.0 < big < 1.1 * small


@pytest.mark.parametrize(
    ("name", "feet"), [("akc-2016", 15), ("cpe-2021", 16), ("nebraska-4h", 10), ("akc-premier-2016", 15)]
)
def test_bounds_in_feet_are_exact_in_metres(name: str, feet: float) -> None:
    (row,) = (row for row in read(name).limits if row.id == "leg-distance-min")
    assert row.min == pytest.approx(feet * FOOT_M, abs=1e-12)


def test_the_two_ways_to_measure_a_course_are_kept_apart() -> None:
    assert {name for name in BODIES if read(name).length.how == "centres"} == {"kc-2006", "kc-2017"}


# skc.org.sg/rules-1: small, medium, intermediate, large; dogagility.org.nz and others: their own names
@pytest.mark.parametrize(
    ("name", "classes"),
    [
        ("fci-2018", ["small", "medium", "large"]),
        ("fci-2023", ["small", "medium", "intermediate", "large"]),
        ("dogs-nz-2017", ["mini", "midi", "maxi"]),
        ("ankc-2001", ["200", "300", "400", "500", "600"]),
        ("akc-2016", ["4", "8", "12", "16", "20", "24"]),
        ("aac-2018", ["4", "8", "12", "16", "20", "24"]),
    ],
)
def test_height_classes_bear_the_bodys_own_names_and_somebody_runs_them(name: str, classes: list[str]) -> None:
    heights = read(name).heights
    assert list(heights) == classes
    assert all(height.pace is not None for height in heights.values())

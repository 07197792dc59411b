"""Published bounds of the shipped rulebooks: what is just allowed and what is just not.

The source stands beside each table. Tolerance: none; a bound itself is within the rule, a hundredth beyond it is not.
Cases that are not published as such but worked by hand from the published rule say "derived".
"""

from __future__ import annotations

from itertools import accumulate

import pytest

from coursecheck import check, load_course
from coursecheck.rulebook.resolve import resolve
from coursecheck.rulebook.withers import withers_range
from coursecheck.units import FOOT_M
from tests.bounds import allowed, just_within, shipped

CM_PER_INCH = 2.54


# --- How many obstacles. ---


@pytest.mark.parametrize(
    ("book", "limit", "discipline", "grade", "low", "high"),
    [
        # kutyaiskola.tag.hu/vizsgaszabal.html, ccce.org/agility/agility.html
        ("fci-1991", "numbers", "agility", "1", 12, 20),
        # k9puppydogs.com/html/dog_agility_training_contest_c.htm, encolombia.com
        ("fci-2002", "numbers", "agility", "1", 12, 20),
        # iltys.lt/forumas/viewtopic.php?f=15&t=9
        ("fci-2007", "numbers", "agility", "1", 15, 20),
        # jps.pesprotebe.cz/pravidla-agility,4.html, just-agility.blogspot.com/2011/12
        ("fci-2012", "numbers", "agility", "1", 15, 22),
        # docplayer.dk/7434284
        ("dkk-2013", "numbers", "agility", "1", 15, 22),
        # dgi.dk/hundesport, agility, page on courses
        ("dgi", "numbers", "agility", "beginner", 12, 22),
        ("dgi", "numbers", "agility", "other", 15, 22),
        # amstaff-addict.com/quels-sports-2/agility
        ("scc-2015", "numbers", "agility", "1", 15, 18),
        ("scc-2015", "numbers", "agility", "2", 15, 22),
        # lagotto-info.ch, page on agility
        ("skg-2023", "numbers-max", "agility", "2", None, 20),
        # agilityaddicts.net/aakcrulesh1b.shtml
        ("kc-2006", "numbers", "agility", "3", 10, 20),
        # thekennelclub.org.uk, page on course obstacles
        ("kc-2017", "numbers-max", "agility", "3", None, 20),
        # tst.akcpetinsurance.com/blog/aframework-of-dog-agility; acadiashelties.blogspot.com/2008/02; ecsca.info
        ("akc-2016", "numbers", "standard", "novice", 14, 16),
        ("akc-2016", "numbers", "standard", "open", 16, 18),
        ("akc-2016", "numbers", "standard", "excellent", 18, 20),
        ("akc-2016", "numbers", "jww", "novice", 14, 16),
        ("akc-2016", "numbers", "jww", "open", 16, 18),
        ("akc-2016", "numbers", "jww", "master", 18, 20),
        # acadiashelties.blogspot.com/2008/02; ecsca.info/?p=105
        ("akc-2006", "numbers", "jww", "novice", 14, 16),
        ("akc-2006", "numbers", "jww", "open", 16, 18),
        ("akc-2006", "numbers", "jww", "excellent", 18, 20),
        # Clean Run, November 2016, p. 40
        ("akc-premier-2016", "numbers", "premier-standard", "premier", 19, 21),
        # downeastdognews.villagesoup.com/p/1760330
        ("akc-act-2018", "numbers", "act", "1", 10, 12),
        ("akc-act-2018", "numbers", "act", "2", 11, 13),
        # yumpu.com/en/document/view/58515237, 5.4.3: 15 and 19 are not allowed, 16 and 18 are
        ("asca-2017", "numbers", "regular", "open", 16, 18),
        # oocities.org/gcagility/ankcrules.htm
        ("ankc-2001", "numbers", "agility", "novice", 10, 12),
        ("ankc-2001", "numbers", "agility", "open", 14, 16),
        ("ankc-2001", "numbers", "agility", "master", 18, 22),
        ("ankc-2001", "numbers", "jumping", "novice", 14, 16),
        ("ankc-2001", "numbers", "jumping", "open", 16, 18),
        ("ankc-2001", "numbers", "jumping", "master", 18, 20),
        # ohiochannel.org, 2012
        ("ohio-4h-2012", "numbers-max", "agility", "on-lead", None, 10),
    ],
)
def test_numbers_of_obstacles(
    book: str, limit: str, discipline: str, grade: str, low: float | None, high: float | None
) -> None:
    assert just_within(book, limit, low, high, 1, discipline=discipline, grade=grade)


@pytest.mark.parametrize(
    ("book", "limit", "low", "high", "facets"),
    [
        # swisscanincenter.ch/?cat=205, 209, 210: weave poles in every run and once; wall and tyre once; five tunnels
        ("fci-2023", "weaves-once", 1, 1, {}),
        ("fci-2023", "wall-once", None, 1, {}),
        ("fci-2023", "tyre-once", None, 1, {}),
        ("fci-2023", "tunnels-max", None, 5, {}),
        # lagotto-info.ch, page on agility
        ("skg-2023", "contacts-max", None, 3, {"discipline": "agility", "grade": "A"}),
        ("skg-2023", "contacts-max", None, 4, {"discipline": "agility", "grade": "3"}),
        # livrozilla.com/doc/1096359
        ("cbkc-2012", "spread-once", None, 1, {}),
        # dgi.dk/hundesport: two contact obstacles may not follow each other
        ("dgi", "contacts-in-a-row", None, 1, {}),
        # kutyaiskola.tag.hu/vizsgaszabal.html; k9puppydogs.com/html/dog_agility_training_contest_c.htm;
        # iltys.lt/forumas/viewtopic.php?f=15&t=9; jps.pesprotebe.cz/pravidla-agility,4.html
        ("fci-1991", "jumps-min", 7, None, {}),
        ("fci-2002", "jumps-min", 7, None, {}),
        ("fci-2007", "jumps-min", 7, None, {}),
        ("fci-2012", "jumps-min", 7, None, {}),
        # k9puppydogs.com/html/dog_agility_training_contest_c.htm, agilitychile.blogspot.com/2005/11, both from before
        # 2007; rccdish.be/index.php?article_id__351 (2012)
        ("fci-2002", "side-changes", 2, None, {}),
        ("fci-2012", "side-changes", 2, None, {}),
        # ecsca.info/?p=105; blog.magicagoldens.com/2011/03; in Open 6 to 12 before September 2010
        ("akc-2016", "poles", 6, 6, {"grade": "novice"}),
        ("akc-2016", "poles", 12, 12, {"grade": "open"}),
        ("akc-2006", "poles", 6, 12, {"grade": "open"}),
        # Clean Run, November 2016, p. 40
        ("akc-premier-2016", "tunnels-max", None, 3, {}),
        ("akc-premier-2016", "side-changes", 3, None, {}),
        # Clean Run, June 2011, p. 43
        ("akc-t2b-2011", "weaves", 1, 2, {}),
        ("akc-t2b-2011", "contact-or-weaves-twice", 3, None, {}),
        # yumpu.com/en/document/view/58515237, 5.4.3
        ("asca-2017", "poles", 10, 12, {"discipline": "regular", "grade": "open"}),
        ("asca-2017", "poles-of-a-set", 5, 12, {"discipline": "regular", "grade": "open", "kind": "weaves"}),
        ("asca-2017", "side-changes", 3, None, {"discipline": "regular", "grade": "open"}),
        # downeastdognews.villagesoup.com/p/1760330: both tests have open tunnels
        ("akc-act-2018", "test-tunnel", 1, None, {"grade": "1"}),
    ],
)
def test_counts(book: str, limit: str, low: float | None, high: float | None, facets: dict[str, str]) -> None:
    assert just_within(book, limit, low, high, 1, **facets)


@pytest.mark.parametrize(
    ("book", "kind", "first", "last"),
    [
        # swisscanincenter.ch/?cat=205: any kind of jump
        ("fci-2023", "tyre", True, True),
        ("fci-2023", "tunnel", False, False),
        # dgi.dk/hundesport: height jumps, a double may be last
        ("dgi", "jump", True, True),
        ("dgi", "spread", False, True),
        ("dgi", "tunnel", False, False),
        # livrozilla.com/doc/1096359: bar jumps
        ("cbkc-2012", "jump", True, True),
        ("cbkc-2012", "wall", False, False),
        # signature-gear.com/guidelines2.html: jump or open tunnel
        ("akc-2016", "tunnel", True, True),
        ("akc-2016", "weaves", False, False),
        # 4h.unl.edu/nebraska-4-h-dog-show-manual: never a contact obstacle or weave poles
        ("nebraska-4h", "tunnel", True, True),
        ("nebraska-4h", "seesaw", False, False),
        ("nebraska-4h", "weaves", False, False),
    ],
)
def test_what_a_course_begins_and_ends_with(book: str, kind: str, *, first: bool, last: bool) -> None:
    assert allowed(book, "first-obstacle", kind) == first
    assert allowed(book, "last-obstacle", kind) == last


# --- Ring and length of the course. ---


@pytest.mark.parametrize(
    ("book", "short_m", "long_m", "severity"),
    [
        # kutyaiskola.tag.hu/vizsgaszabal.html; k9puppydogs.com/html/dog_agility_training_contest_c.htm;
        # iltys.lt/forumas/viewtopic.php?f=15&t=9; jps.pesprotebe.cz/pravidla-agility,4.html;
        # livrozilla.com/doc/1096359
        ("fci-1991", 20, 40, "must"),
        ("fci-2002", 20, 40, "must"),
        ("fci-2007", 20, 40, "must"),
        ("fci-2012", 20, 40, "must"),
        ("cbkc-2012", 20, 40, "must"),
        # from memory
        ("fci-2018", 20, 40, "should"),
        ("fci-2023", 20, 40, "should"),
        # docplayer.dk/7434284: should be 24 m by 40 m, may differ indoors
        ("dkk-2013", 24, 40, "should"),
        # agilityaddicts.net/aakcrulesh1b.shtml: 32 m by 32 m outdoors
        ("kc-2006", 32, None, "must"),
        ("kc-2017", 32, None, "must"),
    ],
)
def test_size_of_the_ring_outdoors(book: str, short_m: float, long_m: float | None, severity: str) -> None:
    for side, least_m in (("short", short_m), ("long", long_m)):
        if least_m is not None:
            assert just_within(book, f"ring-{side}-side", least_m, None, 0.01, indoor="false")
            row = resolve(
                [row for row in shipped(book).limits if row.id == f"ring-{side}-side"], [{"indoor": "false"}]
            )
            assert row.row is not None
            assert row.row.severity == severity


# docplayer.dk/7434284; agilityaddicts.net/aakcrulesh1b.shtml: the sizes are those of outdoor rings
@pytest.mark.parametrize(("book", "severity"), [("dkk-2013", "note"), ("kc-2006", None), ("kc-2017", None)])
def test_a_ring_indoors_may_be_another(book: str, severity: str | None) -> None:
    row = resolve([row for row in shipped(book).limits if row.id == "ring-short-side"], [{"indoor": "true"}]).row
    assert (None if row is None else row.severity) == severity


@pytest.mark.parametrize(
    ("book", "most_m"),
    [
        # kutyaiskola.tag.hu/vizsgaszabal.html; k9puppydogs.com/html/dog_agility_training_contest_c.htm;
        # iltys.lt/forumas/viewtopic.php?f=15&t=9; docplayer.dk/7434284
        ("fci-1991", 200),
        ("fci-2002", 200),
        ("fci-2007", 200),
        ("fci-2012", 200),
        # from memory
        ("fci-2018", 220),
    ],
)
def test_length_of_the_course(book: str, most_m: float) -> None:
    assert just_within(book, "course-length", 100, most_m, 0.01)


# --- Distances. ---

JUMPS = {"from": "jump", "to": "jump", "turn": "straight"}


@pytest.mark.parametrize(
    ("book", "height", "low_m", "high_m"),
    [
        # kutyaiskola.tag.hu/vizsgaszabal.html; k9puppydogs.com; iltys.lt/forumas/viewtopic.php?f=15&t=9
        ("fci-1991", "small", 5.0, 7.0),
        ("fci-2002", "small", 5.0, 7.0),
        ("fci-2007", "small", 5.0, 7.0),
        ("fci-2007", "large", 5.0, 7.0),
        # jps.pesprotebe.cz/pravidla-agility,4.html
        ("fci-2012", "small", 4.0, 7.0),
        ("cbkc-2012", "large", 5.0, 7.0),
        # goagility.no, 2023-07-26: 7 m; the least distance from memory
        ("fci-2023", "intermediate", 5.0, 7.0),
        # amstaff-addict.com/quels-sports-2/agility; lagotto-info.ch: the same for all dogs
        ("scc-2015", "small", 5.0, 7.0),
        ("skg-2023", "small", 5.0, 7.0),
        # Clean Run, February 2016, p. 50: 15 ft; below 25 ft inferred from November 2016, p. 40
        ("akc-2016", "20", 15 * FOOT_M, 25 * FOOT_M),
        # vdocument.in/cpe-course-design-guidelines.html, item 2
        ("cpe-2021", "large", 16 * FOOT_M, 26 * FOOT_M),
    ],
)
def test_distances_between_obstacles(book: str, height: str, low_m: float, high_m: float) -> None:
    facets = {"height": height, **JUMPS}
    assert just_within(book, "leg-distance-min", low_m, None, 0.01, **facets)
    assert just_within(book, "leg-distance-max", None, high_m, 0.01, **facets)


# thekennelclub.org.uk, October 2016: 5 m from 2017, 2.74 m where the next obstacle stands at 90 degrees or more;
# agilityaddicts.net/aakcrulesh1b.shtml: 3.6 m before
@pytest.mark.parametrize(
    ("book", "turn", "least_m"),
    [
        ("kc-2017", "straight", 5.0),
        ("kc-2017", "angled", 5.0),
        ("kc-2017", "side", 2.74),
        ("kc-2017", "back", 2.74),
        ("kc-2006", "straight", 3.6),
        ("kc-2006", "back", 3.6),
    ],
)
def test_least_distances_between_centres(book: str, turn: str, least_m: float) -> None:
    assert just_within(book, "leg-distance-min", least_m, None, 0.01, **{**JUMPS, "turn": turn})


# budhouston.wordpress.com/2009/12/17: 8 ft straight on, 7 to 10 tolerated; 12 ft after a tunnel and at a turn of 90
# or 180 degrees; 10 ft before a tunnel, off a turn
@pytest.mark.parametrize(
    ("before", "after", "turn", "least_ft"),
    [
        ("jump", "jump", "straight", 7),
        ("jump", "jump", "side", 12),
        ("jump", "jump", "back", 12),
        ("tunnel", "jump", "straight", 12),
        ("jump", "tunnel", "straight", 10),
        ("jump", "tunnel", "side", 10),
        ("jump", "tunnel", "back", 10),
        ("tunnel", "tunnel", "back", 12),
        ("tunnel", "tunnel", "straight", 12),
    ],
)
def test_distances_for_the_smallest_dogs_by_turn(before: str, after: str, turn: str, least_ft: float) -> None:
    facets = {"from": before, "to": after, "turn": turn}
    assert just_within("tdaa-2009", "leg-distance-min", least_ft * FOOT_M, None, 0.01, **facets)


@pytest.mark.parametrize(
    ("book", "limit", "low", "high", "facets"),
    [
        # Clean Run, February 2016, p. 50
        ("akc-2016", "run-out-edge", 15, None, {}),
        ("akc-2016", "off-course-run-out-edge", 15, None, {}),
        ("akc-2016", "last-to-gate", 20, None, {}),
        ("akc-2016", "parallel-to-wall", 4, None, {"parallel": "true"}),
        # vdocument.in/cpe-course-design-guidelines.html, items 2 and 4
        ("cpe-2021", "leg-distance-preferred", 18, 24, {}),
        ("cpe-2021", "spread-distance", 20, 24, {"to": "spread"}),
        ("cpe-2021", "landing-room", 16, None, {}),
        ("cpe-2021", "start-to-finish", 20, 40, {}),
        # yumpu.com/en/document/view/58515237, 5.4.3
        ("asca-2017", "start-and-finish-apart", 30, None, {"discipline": "regular", "grade": "open"}),
        ("asca-2017", "start-and-finish-well-apart", 50, None, {"discipline": "regular", "grade": "open"}),
        # 4h.unl.edu/nebraska-4-h-dog-show-manual/agility/designing-course
        ("nebraska-4h", "leg-distance-min", 10, None, {}),
        ("nebraska-4h", "leg-distance-preferred", 15, 18, {}),
        ("nebraska-4h", "start-room", 5, None, {}),
        ("nebraska-4h", "finish-room", 5, None, {}),
    ],
)
def test_room_in_feet(book: str, limit: str, low: float | None, high: float | None, facets: dict[str, str]) -> None:
    ends = (None if end is None else end * FOOT_M for end in (low, high))
    assert just_within(book, limit, *ends, 0.01 * FOOT_M, **facets)


# --- Plans. ---


def plan(tmp_path, rulebook: str, discipline: str, grade: str, height: str, obstacles: str, run: list[str]):
    text = f'''format = 1
[course]
title = "Bounds"
rulebook = "{rulebook}"
discipline = "{discipline}"
grade = "{grade}"
heights = ["{height}"]
units = "ft"
[ring]
size = [100, 300]
{obstacles}
[sequence]
run = {run}
'''
    (tmp_path / "bounds.course.toml").write_text(text.replace("'", '"'), encoding="utf-8")
    return load_course(tmp_path / "bounds.course.toml")


def outcomes(course, limit: str) -> list[str]:
    return [
        finding.outcome
        for finding in check(course, shipped(course.rulebook), setting_out_m=0.0).findings
        if finding.limit == limit
    ]


def row_of_jumps(tmp_path, rulebook: str, discipline: str, grade: str, height: str, *distances_ft: float):
    """Jumps straight up the plan, so far apart."""
    places = list(accumulate(distances_ft, initial=30.0))
    obstacles = "".join(
        f'[[obstacle]]\nid = "j{i}"\nkind = "jump"\nat = [50, {y}]\nbearing = 0\n' for i, y in enumerate(places)
    )
    return plan(tmp_path, rulebook, discipline, grade, height, obstacles, [f"j{i}" for i in range(len(places))])


# Rule: vdocument.in/cpe-course-design-guidelines.html, item 2. Level 2 with 16, 17, 25 and 25 ft, and three distances
# of 16 to 17 ft at any level; the others are derived
@pytest.mark.parametrize(
    ("level", "distances_ft", "short", "long"),
    [
        ("2", (16, 17, 25, 25), "met", "breach"),
        ("2", (16, 17, 25, 20), "met", "met"),
        ("2", (24, 24, 24, 24.02), "met", "met"),
        ("1", (16, 16.5, 17, 20), "breach", "met"),
        ("5", (16, 16.5, 17, 20), "breach", "met"),
        ("3", (25, 26, 20, 20), "met", "met"),
        ("3", (25, 26, 24.5, 20), "met", "breach"),
        ("C", (25, 26, 24.5, 20), "met", "met"),
        ("4", (25, 26, 24.5, 25), "met", "breach"),
    ],
)
def test_so_many_short_and_long_distances(
    tmp_path, level: str, distances_ft: tuple[float, ...], short: str, long: str
) -> None:
    course = row_of_jumps(tmp_path, "cpe-2021", "agility", level, "medium", *distances_ft)
    assert outcomes(course, "short-distances") == [short]
    assert outcomes(course, "long-distances") == [long]


# Clean Run, November 2016, p. 40: 25 to 30 ft at most twice
@pytest.mark.parametrize(
    ("distances_ft", "outcome"),
    [((25, 30, 20, 20), "met"), ((25, 30, 27, 20), "breach"), ((24.9, 30.1, 25, 30), "met")],
)
def test_two_long_distances_in_a_premier_course(tmp_path, distances_ft: tuple[float, ...], outcome: str) -> None:
    course = row_of_jumps(tmp_path, "akc-premier-2016", "premier-jww", "premier", "20", *distances_ft)
    assert outcomes(course, "long-distances") == [outcome]


# Clean Run, November 2016, p. 40, figures beside the drawings of the sequences
@pytest.mark.parametrize(
    ("limit", "low_ft", "high_ft", "facets"),
    [
        ("threadle-gap", 8, None, {}),
        ("serpentine-gap", 4, None, {}),
        ("backside-way", 18, None, {"to": "jump"}),
        ("wrap-distance", 18, 24, {}),
    ],
)
def test_the_room_of_the_sequences_of_a_premier_course(limit, low_ft, high_ft, facets) -> None:
    low, high = low_ft * FOOT_M, None if high_ft is None else high_ft * FOOT_M
    assert just_within("akc-premier-2016", limit, low, high, 0.01, **facets)


# yumpu.com/en/document/view/58515237, 5.4.2 and 5.4.3: 1 to 3 ft, between the nearest edges
@pytest.mark.parametrize(
    ("gap_ft", "least", "most"),
    [(0.99, "breach", "met"), (1.00, "met", "met"), (3.00, "met", "met"), (3.01, "met", "breach")],
)
def test_the_gap_between_a_tunnel_and_a_contact_obstacle(tmp_path, gap_ft: float, least: str, most: str) -> None:
    dog_walk, tunnel = shipped_half_width_m("dog-walk", "width"), shipped_half_width_m("tunnel", "diameter")
    x = 50 + (dog_walk + tunnel) / FOOT_M + gap_ft
    obstacles = f"""[[obstacle]]
id = "walk"
kind = "dog-walk"
at = [50, 100]
bearing = 0
[[obstacle]]
id = "tube"
kind = "tunnel"
at = [{x}, 95]
bearing = 0
"""
    course = plan(tmp_path, "asca-2017", "regular", "open", "20", obstacles, ["walk", "tube"])
    assert outcomes(course, "contact-gap-min") == [least]
    assert outcomes(course, "contact-gap-max") == [most]


def shipped_half_width_m(kind: str, size: str) -> float:
    from coursecheck.equipment import KINDS

    return KINDS[kind].sizes[size].default / 2


# yumpu.com/en/document/view/58515237, 5.4.3; signature-gear.com/guidelines2.html: two different obstacles
@pytest.mark.parametrize(
    ("book", "discipline", "grade"), [("asca-2017", "regular", "open"), ("akc-2016", "standard", "open")]
)
def test_a_course_does_not_end_where_it_began(tmp_path, book: str, discipline: str, grade: str) -> None:
    course = row_of_jumps(tmp_path, book, discipline, grade, "20", 40.0)
    assert outcomes(course, "start-is-not-finish") == ["met"]
    again = plan(
        tmp_path,
        book,
        discipline,
        grade,
        "20",
        '[[obstacle]]\nid = "a"\nkind = "jump"\nat = [50, 100]\nbearing = 0\n'
        '[[obstacle]]\nid = "b"\nkind = "jump"\nat = [50, 140]\nbearing = 0\n',
        ["a", "b", "a"],
    )
    assert outcomes(again, "start-is-not-finish") == ["breach"]


def row_of_kinds(tmp_path, rulebook: str, discipline: str, grade: str, height: str, *kinds: str):
    """Obstacles of these kinds straight up the plan, each once."""
    obstacles = "".join(
        f'[[obstacle]]\nid = "o{i}"\nkind = "{kind}"\nat = [50, {30 + 50 * i}]\nbearing = 0\n'
        for i, kind in enumerate(kinds)
    )
    return plan(tmp_path, rulebook, discipline, grade, height, obstacles, [f"o{i}" for i in range(len(kinds))])


# agilityliitto.fi/kilpailut/kuinka-kilpailemaan: jumping has no contact obstacles; lagotto-info.ch for Switzerland
@pytest.mark.parametrize("book", ["fci-2012", "fci-2018", "fci-2023", "skg-2023", "scc-2015", "czech-open"])
@pytest.mark.parametrize(
    ("discipline", "kind", "told"),
    [("jumping", "seesaw", ["breach"]), ("jumping", "weaves", ["met"]), ("agility", "seesaw", ["not-applicable"])],
)
def test_jumping_has_no_contact_obstacles(tmp_path, book: str, discipline: str, kind: str, told: list[str]) -> None:
    grade = shipped(book).disciplines[discipline][0]
    course = row_of_kinds(tmp_path, book, discipline, grade, "large", "jump", kind, "jump")
    assert outcomes(course, "no-contacts-in-jumping") == told


# --- Height classes. ---


def class_for(book: str, withers_cm: float) -> list[str]:
    ranges = {h.id: withers_range(h.withers_cm) for h in shipped(book).heights.values() if h.withers_cm}
    return [name for name, (low, high) in ranges.items() if low <= withers_cm < high]


# Rule 4.4 as quoted by Dogs NT for 2021, pdfslide.us
@pytest.mark.parametrize(
    ("withers_mm", "height"),
    [(270, "200"), (271, "300"), (365, "300"), (366, "400"), (455, "400"), (456, "500"), (545, "500"), (546, "600")],
)
def test_height_classes_in_whole_millimetres(withers_mm: int, height: str) -> None:
    assert class_for("ankc-2001", withers_mm / 10) == [height]


# lovelivingwithdogs.com: up to and with 11, 14, 18 and 22 inches
@pytest.mark.parametrize(
    ("withers_in", "height"),
    [
        (11, "8"),
        (11.01, "12"),
        (14, "12"),
        (14.01, "16"),
        (18, "16"),
        (18.01, "20"),
        (22, "20"),
        (22.01, "24"),
        (8, "8"),
        (30, "24"),
    ],
)
def test_height_classes_with_their_upper_limit_in_inches(withers_in: float, height: str) -> None:
    assert class_for("akc-2016", round(withers_in * CM_PER_INCH, 4)) == [height]


# skc.org.sg/rules-1 (2023); k9puppydogs.com (2002 on); manukaudogtrainingclub.co.nz, whole centimetres
@pytest.mark.parametrize(
    ("book", "withers_cm", "height"),
    [
        ("fci-2023", 34.9, "small"),
        ("fci-2023", 35, "medium"),
        ("fci-2023", 43, "intermediate"),
        ("fci-2023", 47.9, "intermediate"),
        ("fci-2023", 48, "large"),
        ("fci-2002", 42.9, "medium"),
        ("fci-2007", 43, "large"),
        ("dogs-nz-2017", 35, "mini"),
        ("dogs-nz-2017", 36, "midi"),
        ("dogs-nz-2017", 43, "midi"),
        ("dogs-nz-2017", 44, "maxi"),
    ],
)
def test_height_classes_in_centimetres(book: str, withers_cm: float, height: str) -> None:
    assert class_for(book, withers_cm) == [height]

"""Published sizes of equipment in the shipped rulebooks: what is just allowed and what is just not.

The source stands beside each table. Tolerance: none; a bound is within the rule, a millimetre beyond it is not.
"""

from __future__ import annotations

import pytest

from coursecheck.rulebook.model import Rulebook
from coursecheck.rulebook.resolve import size_of
from coursecheck.units import FOOT_M
from tests.bounds import allowed, just_within, shipped

CM_PER_INCH = 2.54


# AKC since 2012: 24 inches between poles (blog.magicagoldens.com/2011/12); derived: 12 poles 22 ft, 6 poles 10 ft
@pytest.mark.parametrize(("grade", "feet"), [("novice", 10), ("open", 22), ("master", 22)])
def test_length_of_a_row_of_poles(grade: str, feet: float) -> None:
    book: Rulebook = shipped("akc-2016")
    facets = {"grade": grade, "kind": "weaves"}
    poles, spacing_m = size_of(book, "weaves", "poles", facets) or 12, size_of(book, "weaves", "spacing", facets) or 0
    assert (poles - 1) * spacing_m == pytest.approx(feet * FOOT_M, abs=1e-9)


@pytest.mark.parametrize(
    ("book", "limit", "low_m", "high_m", "kind", "height"),
    [
        # k9puppydogs.com/html/obstacle_course_for_dog_compet.htm (up to 2007, the planks and spreads up to 2012)
        ("fci-2002", "bar-width", 1.20, None, "jump", "large"),
        ("fci-2012", "spread-depth", None, 0.30, "spread", "small"),
        ("fci-2012", "spread-depth", None, 0.40, "spread", "medium"),
        ("fci-2012", "spread-depth", None, 0.55, "spread", "large"),
        ("fci-2002", "dog-walk-plank", 3.60, 4.20, "dog-walk", "large"),
        ("fci-2002", "dog-walk-height", 1.20, 1.35, "dog-walk", "large"),
        ("fci-2002", "dog-walk-width", 0.30, 0.40, "dog-walk", "large"),
        ("fci-2012", "dog-walk-width", 0.30, 0.40, "dog-walk", "large"),
        ("fci-2002", "table-side", 0.90, 1.20, "table", "large"),
        # clubdogs.estranky.sk/clanky/agility (2002 to 2022)
        ("fci-2002", "long-jump-depth", 0.40, 0.50, "long-jump", "small"),
        ("fci-2012", "long-jump-depth", 0.70, 0.90, "long-jump", "medium"),
        ("fci-2018", "long-jump-depth", 1.20, 1.50, "long-jump", "large"),
        ("fci-2002", "long-jump-width", 1.20, 1.20, "long-jump", "small"),
        ("fci-2012", "long-jump-width", 1.20, 1.20, "long-jump", "large"),
        ("fci-2018", "long-jump-width", 1.20, 1.20, "long-jump", "large"),
        # clubcanindedumbea.com/disciplines/agility/les-obstacles (up to 2012)
        ("fci-2002", "seesaw-plank", 3.65, 4.25, "seesaw", "large"),
        ("fci-2012", "seesaw-width", 0.30, 0.40, "seesaw", "large"),
        # dogfarmshinya.ftw.jp/u59348.html (up to 2006)
        ("fci-2002", "a-frame-ramp", 2.70, 3.20, "a-frame", "large"),
        ("fci-2002", "a-frame-width", 0.90, None, "a-frame", "large"),
        ("fci-2002", "a-frame-apex", 1.70, 1.70, "a-frame", "medium"),
        ("fci-2002", "a-frame-apex", 1.90, 1.90, "a-frame", "large"),
        ("fci-2002", "pole-spacing", 0.50, 0.65, "weaves", "large"),
        # forum.derhund.de/threads, account of the committee of February 2006
        ("fci-2007", "a-frame-apex", 1.70, 1.70, "a-frame", "large"),
        ("fci-2007", "pole-spacing", 0.60, 0.60, "weaves", "large"),
        # jps.pesprotebe.cz/pravidla-agility,4.html, just-agility.blogspot.com/2011/12
        ("fci-2012", "bar-width", 1.20, 1.50, "jump", "large"),
        ("fci-2012", "wing-width", 0.40, 0.60, "jump", "large"),
        # from 2012 on: ghsv-wildbahn.de/hundesport/agility/parcours
        ("fci-2012", "a-frame-ramp", 2.65, 2.75, "a-frame", "large"),
        ("fci-2012", "a-frame-width", 1.15, 1.15, "a-frame", "large"),
        ("fci-2018", "a-frame-ramp", 2.65, 2.75, "a-frame", "small"),
        ("fci-2018", "a-frame-apex", 1.70, 1.70, "a-frame", "small"),
        ("fci-2018", "a-frame-width", 1.15, 1.15, "a-frame", "small"),
        ("fci-2018", "tunnel-length", 3.0, 6.0, "tunnel", "large"),
        ("fci-2018", "tunnel-diameter", 0.60, 0.60, "tunnel", "large"),
        # elclubdeperrosdomesticos.blogspot.com/2020/02/balancin.html (2018)
        ("fci-2018", "seesaw-plank", 3.60, 3.80, "seesaw", "large"),
        ("fci-2018", "seesaw-height", 0.60, 0.60, "seesaw", "large"),
        ("fci-2018", "seesaw-width", 0.30, 0.30, "seesaw", "large"),
        # thekennelclub.org.uk/activities/agility/new-to-agility/agility-course-obstacles (older version)
        ("kc-2006", "long-jump-depth", 1.2, 1.5, "long-jump", "large"),
        ("kc-2006", "long-jump-width", 1.219, None, "long-jump", "large"),
        ("kc-2006", "tyre-aperture", 0.533, None, "tyre", "small"),
        # thekennelclub.org.uk/media-centre/2018/october and 2020/may
        ("kc-2017", "tunnel-length", 3.0, None, "tunnel", "large"),
        ("kc-2017", "tunnel-diameter", 0.6, None, "tunnel", "large"),
        ("kc-2017", "seesaw-plank", 3.66, 3.66, "seesaw", "large"),
        ("kc-2017", "seesaw-height", 0.61, 0.61, "seesaw", "large"),
        ("kc-2017", "seesaw-width", 0.295, 0.305, "seesaw", "large"),
        # dartmoordtc.co.uk/know-your-equipment-rules/the-hurdle: 1.219 m before 1 July 2016
        ("kc-2006", "bar-width-before-july-2016", 1.219, None, "jump", "large"),
        ("kc-2017", "bar-width", 1.2, None, "jump", "large"),
        # rmbcc.info/activities/agility/agility-equipment: tunnel 24 in, dog walk 4 ft high, table 36 in square
        ("akc-2016", "tunnel-diameter", 2 * FOOT_M, 2 * FOOT_M, "tunnel", "20"),
        ("akc-2016", "dog-walk-height", 4 * FOOT_M, 4 * FOOT_M, "dog-walk", "20"),
        ("akc-2016", "table-side", 3 * FOOT_M, 3 * FOOT_M, "table", "20"),
        # thekennelclub.org.uk, older page on course obstacles: units of the long jump
        ("kc-2017", "long-jump-width", 1.219, None, "long-jump", "large"),
        # pets.thenest.com/akc-agility-equipment-regulations-8565.html: planks of 12 ft, 12 in wide
        ("akc-2016", "dog-walk-plank", 12 * FOOT_M, 12 * FOOT_M, "dog-walk", "20"),
        ("akc-2016", "dog-walk-width", FOOT_M, FOOT_M, "dog-walk", "20"),
        ("akc-2016", "seesaw-plank", 12 * FOOT_M, 12 * FOOT_M, "seesaw", "20"),
        ("akc-2016", "seesaw-width", FOOT_M, FOOT_M, "seesaw", "20"),
        # 4h.unl.edu/nebraska-4-h-dog-show-manual/agility/obstacles: 12 ft, 12 in, 24 in
        ("nebraska-4h", "seesaw-plank", 12 * FOOT_M, 12 * FOOT_M, "seesaw", "large"),
        ("nebraska-4h", "seesaw-width", FOOT_M, FOOT_M, "seesaw", "large"),
        ("nebraska-4h", "seesaw-height", 2 * FOOT_M, 2 * FOOT_M, "seesaw", "large"),
    ],
)
def test_sizes_in_metres(
    book: str, limit: str, low_m: float | None, high_m: float | None, kind: str, height: str
) -> None:
    assert just_within(book, limit, low_m, high_m, 0.001, kind=kind, height=height)


@pytest.mark.parametrize(
    ("book", "limit", "low_in", "high_in", "facets"),
    [
        # blog.magicagoldens.com/2011/12 and 2010/07; pets.thenest.com
        ("akc-2016", "wing-width", 16, 36, {"kind": "jump"}),
        ("akc-2016", "a-frame-apex", 65, 67, {"kind": "a-frame", "height": "20"}),
        ("akc-2016", "a-frame-apex", 59, 61, {"kind": "a-frame", "height": "8"}),
        ("akc-2016", "a-frame-ramp", 106, 110, {"kind": "a-frame"}),
        ("akc-2006", "a-frame-apex", 65, 67, {"kind": "a-frame", "height": "8"}),
        # paperzz.com/doc/8550278, F 2.5
        ("aac-2018", "bar-width", 48, 60, {"kind": "jump"}),
        ("aac-2018", "wing-width", 16, 30, {"kind": "jump"}),
        # 4h.unl.edu/nebraska-4-h-dog-show-manual/agility/obstacles
        ("nebraska-4h", "a-frame-apex", None, 36, {"kind": "a-frame"}),
        ("nebraska-4h", "dog-walk-height", None, 36, {"kind": "dog-walk", "grade": "5"}),
        ("nebraska-4h", "dog-walk-plank", 96, 144, {"kind": "dog-walk", "grade": "4"}),
    ],
)
def test_sizes_in_inches(
    book: str, limit: str, low_in: float | None, high_in: float | None, facets: dict[str, str]
) -> None:
    """Bounds in feet are written to the millionth of a foot: a hundredth of an inch either side tells them apart."""
    hundredth_m = 0.01 * CM_PER_INCH / 100
    for end, outward in ((low_in, -1), (high_in, 1)):
        if end is not None:
            size_m = end * CM_PER_INCH / 100
            assert allowed(book, limit, size_m - outward * hundredth_m, **facets)
            assert not allowed(book, limit, size_m + outward * hundredth_m, **facets)

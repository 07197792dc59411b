"""Height classes as published: on which side of each boundary a dog falls.

Source: FCI regulations by iltys.lt/forumas/viewtopic.php?f=15&t=9 (2007 text, S/M/L at 35 and 43 cm) and
skc.org.sg/rules-1 (2023: Intermediate from 43 to under 48 cm). Tolerance: none, a boundary is of the class above.
"""

from __future__ import annotations

import pytest

from coursecheck.equipment import KINDS
from coursecheck.measures import MEASURES
from coursecheck.resources import folder
from coursecheck.rulebook.loading import read_rulebook
from coursecheck.rulebook.withers import withers_range


def classes_for(rulebook: str, withers_cm: float) -> list[str]:
    book = read_rulebook(rulebook, folder=folder("rules"), beside=None, measures=MEASURES, kinds=KINDS)
    ranges = {name: withers_range(height.withers_cm) for name, height in book.heights.items()}
    return [name for name, (low, high) in ranges.items() if low <= withers_cm < high]


@pytest.mark.parametrize(
    ("withers_cm", "three_classes", "four_classes"),
    [
        (20.0, "small", "small"),
        (34.9, "small", "small"),
        (34.99, "small", "small"),
        (35.0, "medium", "medium"),
        (42.9, "medium", "medium"),
        (42.99, "medium", "medium"),
        (43.0, "large", "intermediate"),
        (47.99, "large", "intermediate"),
        (48.0, "large", "large"),
        (80.0, "large", "large"),
    ],
)
def test_a_dog_falls_into_the_published_height_class(
    withers_cm: float, three_classes: str, four_classes: str
) -> None:
    assert classes_for("fci-2012", withers_cm) == [three_classes]
    assert classes_for("fci-2018", withers_cm) == [three_classes]
    assert classes_for("club-show", withers_cm) == [four_classes]


@pytest.mark.parametrize("text", ["", "35", "<", "35-43", "35<", "43-<35", "35-<35", "<35 cm", "-1-<3"])
def test_a_range_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="no range of withers"):
        withers_range(text)


# jkc.or.jp/?p=3631, item 1 (2018: single and double); just-agility.blogspot.com/2011/12 (2012)
@pytest.mark.parametrize(
    ("rulebook", "jumps_cm"),
    [
        ("fci-2018", {"small": (25, 30), "medium": (35, 40), "large": (55, 60)}),
        ("fci-2012", {"small": (25, 35), "medium": (35, 45), "large": (55, 65)}),
    ],
)
def test_published_heights_of_the_bar(rulebook: str, jumps_cm: dict[str, tuple[int, int]]) -> None:
    book = read_rulebook(rulebook, folder=folder("rules"), beside=None, measures=MEASURES, kinds=KINDS)
    assert {name: height.jump_cm for name, height in book.heights.items()} == jumps_cm

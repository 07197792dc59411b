"""Every way a rulebook can ask for a time, and what is said when it cannot be given."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursecheck.errors import UsageError
from coursecheck.path.line import LengthRule
from coursecheck.rulebook.model import Place, Reckoning, Rulebook, TimeRule
from coursecheck.times import Times, times_for

SPEED = Reckoning("speed")
TWICE = Reckoning("factor-of-sct", factor=Decimal(2))
D = Decimal


def rulebook(*rules: TimeRule) -> Rulebook:
    return Rulebook(
        id="club",
        title="",
        edition="",
        valid_from=None,
        valid_to=None,
        coverage="partial",
        missing=(),
        source="",
        disciplines={},
        heights={},
        length=LengthRule(),
        limits=(),
        sizes=(),
        times=rules,
        setting_out_m=0.05,
        sha256="",
    )


def rule(sct: Reckoning, mct: Reckoning = TWICE, **where: str) -> TimeRule:
    selectors = {facet: (word,) for facet, word in where.items()}
    return TimeRule(selectors, sct, mct, "", "practice", "", Place("club", "club.toml", "limit[0]", {"limit[0]": 1}))


def reckon(sct: Reckoning, mct: Reckoning = TWICE, length_m: float | None = 160.0, **given: Any) -> Times:
    return times_for(
        rulebook(rule(sct, mct)), discipline="agility", grade="1", height="large", length_m=length_m, **given
    )


@pytest.mark.parametrize(
    ("sct", "given", "seconds", "words"),
    [
        (SPEED, {"speed_mps": 3.8}, "42.11", "160.00 m / 3.8 m/s"),
        (SPEED, {"speed_mps": 4.0}, "40.00", "160.00 m / 4 m/s"),
        (Reckoning("speed", rounding="up"), {"speed_mps": 3.8}, "43", "160.00 m / 3.8 m/s, rounded up"),
        (
            Reckoning("speed", rounding="half-up"),
            {"speed_mps": 3.8},
            "42",
            "160.00 m / 3.8 m/s, rounded, halves up",
        ),
        (Reckoning("speed", speed_mps=D("3.2")), {}, "50.00", "160.00 m / 3.2 m/s"),
        (Reckoning("rate", speed_mps=D("2.5")), {}, "64.00", "160.00 m / 2.5 m/s"),
        (Reckoning("best-run", factor=D("1.2")), {"best_s": 35.42}, "42.50", "best run 35.42 s x 1.2"),
        (Reckoning("fixed", fixed_s=D(60), rounding="up"), {}, "60", "fixed at 60 s, rounded up"),
        (Reckoning("fixed", fixed_s=D("60.5")), {}, "60.50", "fixed at 60.50 s"),
        (Reckoning("entered"), {"sct_s": 43.5}, "43.50", "entered by the judge"),
        (Reckoning("speed", cap_s=D(40)), {"speed_mps": 3.8}, "40.00", "160.00 m / 3.8 m/s, at most 40 s"),
        (Reckoning("speed", floor_s=D(50)), {"speed_mps": 3.8}, "50.00", "160.00 m / 3.8 m/s, at least 50 s"),
        (Reckoning("speed", cap_s=D(50), floor_s=D(40)), {"speed_mps": 3.8}, "42.11", "160.00 m / 3.8 m/s"),
        (
            Reckoning("speed", rounding="up", cap_s=D("42.5")),
            {"speed_mps": 3.8},
            "42.50",
            "160.00 m / 3.8 m/s, rounded up, at most 42.50 s",
        ),
    ],
)
def test_a_standard_course_time_and_how_it_was_found(
    sct: Reckoning, given: dict[str, float], seconds: str, words: str
) -> None:
    times = reckon(sct, **given)
    assert (str(times.sct_s), times.sct_rule, times.sct_why_not) == (seconds, words, "")


@pytest.mark.parametrize(
    ("mct", "seconds", "words"),
    [
        (TWICE, "84.21", "2 x (160.00 m / 3.8 m/s)"),
        (Reckoning("factor-of-sct", factor=D("1.5"), rounding="up"), "64", "1.5 x (160.00 m / 3.8 m/s), rounded up"),
        (Reckoning("rate", speed_mps=D(2)), "80.00", "160.00 m / 2 m/s"),
        (Reckoning("fixed", fixed_s=D(90)), "90.00", "fixed at 90 s"),
        (
            Reckoning("entered", factor=D(2), min_factor=D("1.5"), max_factor=D(2)),
            "84.21",
            "2 x (160.00 m / 3.8 m/s); the judge may set it, 1.5 to 2 x SCT: 63.16 to 84.21 s",
        ),
    ],
)
def test_a_maximum_course_time_and_how_it_was_found(mct: Reckoning, seconds: str, words: str) -> None:
    times = reckon(SPEED, mct, speed_mps=3.8)
    assert (str(times.mct_s), times.mct_rule, times.mct_why_not) == (seconds, words, "")


def test_a_multiple_of_a_rounded_sct_starts_from_the_rounded_figure() -> None:
    times = reckon(Reckoning("best-run", factor=D("1.15"), rounding="up"), best_s=40.01)
    assert (times.sct_s, times.mct_s, times.mct_rule) == (D(47), D("94.00"), "2 x 47 s")


@pytest.mark.parametrize(
    ("length_m", "speed_mps", "sct", "mct"), [(205.0, 2.05, "100.00", 150), (88.0, 2.4, "36.67", 55)]
)
def test_a_multiple_of_an_unrounded_sct_starts_from_the_exact_figure(
    length_m: float, speed_mps: float, sct: str, mct: int
) -> None:
    """1.5 x 88 / 2.4 is 55 exactly; in binary fractions it is a hair more, and would be rounded up to 56."""
    mct_rule = Reckoning("factor-of-sct", factor=D("1.5"), rounding="up")
    times = reckon(SPEED, mct_rule, length_m=length_m, speed_mps=speed_mps)
    assert (str(times.sct_s), times.mct_s) == (sct, mct)


@pytest.mark.parametrize(
    ("sct", "mct", "given", "sct_why_not", "mct_why_not"),
    [
        (SPEED, TWICE, {}, "needs the judge's speed", "needs the SCT"),
        (
            SPEED,
            Reckoning("entered", factor=D(2), min_factor=D("1.5"), max_factor=D(2)),
            {},
            "needs the judge's speed",
            "needs the SCT; the judge may set it, 1.5 to 2 x SCT",
        ),
        (SPEED, TWICE, {"speed_mps": 3.8, "length_m": None}, "needs the course length", "needs the SCT"),
        (SPEED, TWICE, {"speed_mps": 3.8, "length_m": 0.0}, "needs the course length", "needs the SCT"),
        (
            Reckoning("best-run", factor=D("1.15")),
            Reckoning("rate", speed_mps=D(2)),
            {},
            "needs the best run, the fastest with the fewest course faults: give it once the class has been run",
            "",
        ),
        (
            Reckoning("best-run", factor=D("1.3"), slowest_mps=D("3.5")),
            TWICE,
            {"best_s": 36.0, "length_m": None},
            "needs the course length",
            "needs the SCT",
        ),
        (
            Reckoning("entered"),
            Reckoning("entered", min_factor=D("1.5"), max_factor=D(2)),
            {},
            "the judge sets it; none was entered",
            "the judge sets it, 1.5 to 2 x SCT; none was entered",
        ),
        (
            SPEED,
            Reckoning("entered", min_factor=D("1.5"), max_factor=D(2)),
            {"speed_mps": 4.0},
            "",
            "the judge sets it, 1.5 to 2 x SCT: 60.00 to 80.00 s; none was entered",
        ),
    ],
)
def test_a_time_that_cannot_be_given_says_what_it_needs(
    sct: Reckoning, mct: Reckoning, given: dict[str, float | None], sct_why_not: str, mct_why_not: str
) -> None:
    times = reckon(sct, mct, **given)
    assert (times.sct_why_not, times.mct_why_not) == (sct_why_not, mct_why_not)
    assert (times.sct_s is None, times.mct_s is None) == (bool(sct_why_not), bool(mct_why_not))


@pytest.mark.parametrize(
    ("sct", "mct", "given", "note"),
    [
        (Reckoning("speed", min_mps=D(3)), TWICE, {"speed_mps": 2.99}, "2.99 m/s is below the rulebook's 3 m/s"),
        (Reckoning("speed", max_mps=D(4)), TWICE, {"speed_mps": 4.01}, "4.01 m/s is above the rulebook's 4 m/s"),
        (Reckoning("speed", min_mps=D(3), max_mps=D(4)), TWICE, {"speed_mps": 3.0}, None),
        (Reckoning("speed", min_mps=D(3), max_mps=D(4)), TWICE, {"speed_mps": 4.0}, None),
        (
            Reckoning("speed", speed_mps=D(3)),
            TWICE,
            {"speed_mps": 3.5},
            "the rulebook fixes 3 m/s; the judge's 3.5 m/s is not used",
        ),
        (Reckoning("speed", speed_mps=D(3)), TWICE, {"speed_mps": 3.0}, None),
        (
            SPEED,
            Reckoning("entered", min_factor=D("1.5"), max_factor=D(2)),
            {"speed_mps": 4.0, "mct_s": 80.01},
            "80.01 s is outside the rulebook's range, 1.5 to 2 x SCT: 60.00 to 80.00 s",
        ),
        (
            SPEED,
            Reckoning("entered", min_factor=D("1.5"), max_factor=D(2)),
            {"speed_mps": 4.0, "mct_s": 80.0},
            None,
        ),
        (
            Reckoning("rate", speed_mps=D(3)),
            TWICE,
            {"speed_mps": 3.5},
            "the judge's speed, 3.5 m/s, is not used by this rulebook's rule",
        ),
        (
            SPEED,
            TWICE,
            {"speed_mps": 3.5, "best_s": 30.5},
            "the best run, 30.50 s, is not used by this rulebook's rule",
        ),
        (
            SPEED,
            TWICE,
            {"speed_mps": 3.5, "sct_s": 45.0},
            "the SCT entered, 45 s, is not used: this rulebook reckons it",
        ),
    ],
)
def test_what_does_not_fit_the_rule_is_noted(
    sct: Reckoning, mct: Reckoning, given: dict[str, float], note: str | None
) -> None:
    assert reckon(sct, mct, **given).notes == (() if note is None else (note,))


@pytest.mark.parametrize(
    ("length_m", "printed"),
    [(173.2, "173.20"), (173.204999, "173.20"), (173.205, "173.21"), (0.125, "0.13"), (1e-9 + 100.0, "100.00")],
)
def test_the_length_is_rounded_to_the_centimetre_that_is_printed(length_m: float, printed: str) -> None:
    times = reckon(SPEED, length_m=length_m, speed_mps=1.0)
    assert (str(times.length_m), str(times.sct_s)) == (printed, printed)


def test_the_rule_is_chosen_by_discipline_grade_height_and_hall() -> None:
    book = rulebook(
        rule(Reckoning("fixed", fixed_s=D(1))),
        rule(Reckoning("fixed", fixed_s=D(2)), discipline="jumping"),
        rule(Reckoning("fixed", fixed_s=D(3)), grade="2"),
        rule(Reckoning("fixed", fixed_s=D(4)), height="small"),
        rule(Reckoning("fixed", fixed_s=D(5)), indoor="true"),
    )

    def fixed(discipline: str, grade: str, height: str, *, indoor: bool) -> Decimal | None:
        return times_for(book, discipline=discipline, grade=grade, height=height, length_m=None, indoor=indoor).sct_s

    assert fixed("agility", "1", "large", indoor=False) == 1
    assert fixed("jumping", "1", "large", indoor=False) == 2
    assert fixed("jumping", "2", "large", indoor=False) == 3
    assert fixed("jumping", "2", "small", indoor=False) == 4
    assert fixed("agility", "1", "large", indoor=True) == 5


def test_a_rulebook_without_a_rule_for_the_class_says_so() -> None:
    times = times_for(
        rulebook(rule(SPEED, grade="2")), discipline="agility", grade="1", height="large", length_m=160.0
    )
    assert times.sct_s is times.mct_s is None
    assert times.sct_why_not == times.mct_why_not == "club has no rule on times for agility 1, large"


@pytest.mark.parametrize("name", ["length_m", "speed_mps", "best_s", "sct_s", "mct_s"])
@pytest.mark.parametrize("value", [-1.0, float("nan"), float("inf")])
def test_nonsense_is_refused(name: str, value: float) -> None:
    with pytest.raises(UsageError, match="makes no sense"):
        reckon(SPEED, **{"length_m": 160.0, name: value})


HUNDREDTHS = st.integers(1000, 30000)


@given(length=HUNDREDTHS, speed=st.integers(100, 700), faster=st.integers(1, 100))
def test_a_faster_speed_never_gives_more_time_nor_a_longer_course_less(length: int, speed: int, faster: int) -> None:
    def seconds(hundredths: int, mps: int) -> Decimal:
        sct = reckon(SPEED, length_m=hundredths / 100, speed_mps=mps / 100).sct_s
        assert sct is not None
        return sct

    assert seconds(length, speed + faster) <= seconds(length, speed) <= seconds(length + faster, speed)


@given(length=HUNDREDTHS, speed=st.integers(100, 700))
def test_the_printed_rule_can_be_reworked_by_hand(length: int, speed: int) -> None:
    times = reckon(SPEED, length_m=length / 100, speed_mps=speed / 100)
    metres, _, mps, _ = times.sct_rule.replace("/", "", 1).split()
    assert times.sct_s is not None
    assert abs(D(metres) / D(mps) - times.sct_s) <= D("0.005")

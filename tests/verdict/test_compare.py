"""One value against one limit: inclusive bounds, float noise and nothing more, a sentence that tells the truth."""

import math

import pytest

from coursecheck.measures import MEASURES, Value
from coursecheck.rulebook.model import Limit, Place
from coursecheck.verdict.compare import breach_chance, compare, expected_words

PLACE = Place("test", "test.toml", "limit[0]", {"limit[0]": 1})


def limit(measure="leg-distance", metric="line", **bounds):
    bounds = {"about": "", "where": {}, "severity": "must", "clause": "", "basis": "practice", "source": ""} | bounds
    return Limit(id="x", measure=measure, metric=metric, place=PLACE, **bounds)


def judged(measured, row, *, spread=0.0, sigma=0.05, units="m", **value):
    leg = ({"from": "jump", "to": "jump"},)
    value = {"passes": (7, 8), "obstacles": ("g", "h"), "facets": leg} | value
    return compare(
        Value(measured, spread=spread, **value), row, MEASURES[row.measure], setting_out_m=sigma, units=units
    )


@pytest.mark.parametrize(
    ("measured", "bounds", "outcome"),
    [
        (5.0, {"min": 5.0}, "met"),
        (5.0 - 1e-7, {"min": 5.0}, "met"),  # float noise
        (5.0 - 2e-6, {"min": 5.0}, "breach"),
        (5.0 + 1e-12, {"min": 5.0}, "met"),
        (7.0, {"max": 7.0}, "met"),
        (7.0 + 1e-7, {"max": 7.0}, "met"),
        (7.0 + 2e-6, {"max": 7.0}, "breach"),
        (4.9, {"min": 5.0, "max": 7.0}, "breach"),
        (7.1, {"min": 5.0, "max": 7.0}, "breach"),
        (6.0, {"min": 5.0, "max": 7.0}, "met"),
        (math.nextafter(5.0, 0.0), {"min": 5.0}, "met"),
    ],
)
def test_limits_are_inclusive_and_forgive_float_noise_alone(measured, bounds, outcome):
    assert judged(measured, limit(**bounds)).outcome == outcome


@pytest.mark.parametrize(("count", "outcome"), [(11, "breach"), (12, "met"), (13, "breach")])
def test_an_exact_count(count, outcome):
    assert judged(float(count), limit("passes", "all", equals=12.0)).outcome == outcome


@pytest.mark.parametrize(
    ("kind", "bounds", "outcome"),
    [
        ("jump", {"required": ("jump", "wall")}, "met"),
        ("table", {"required": ("jump", "wall")}, "breach"),
        ("seesaw", {"forbidden": ("seesaw",)}, "breach"),
        ("jump", {"forbidden": ("seesaw",)}, "met"),
    ],
)
def test_kinds(kind, bounds, outcome):
    result = judged(kind, limit("first-kind", "pass", **bounds), passes=(1,), obstacles=("a",))
    assert result.outcome == outcome
    assert kind in result.message


def test_the_margin_is_to_the_bound_that_is_nearest_to_being_broken():
    assert judged(5.5, limit(min=5.0, max=7.0)).margin == pytest.approx(0.5)
    assert judged(6.8, limit(min=5.0, max=7.0)).margin == pytest.approx(0.2)
    assert judged(4.0, limit(min=5.0, max=7.0)).margin == pytest.approx(-1.0)
    assert judged(5.0 - 1e-9, limit(min=5.0)).margin == 0.0


# Two points 5 m apart, each coordinate 5 cm off (one standard deviation): the distance has 0.0707 m, so 4.95 m is
# broken with probability 0.24 (closed form; simulation gave 0.237), the limit itself with one half.
@pytest.mark.parametrize(
    ("measured", "bound", "chance", "tolerance"),
    [(5.0, 4.95, 0.2398, 1e-3), (5.0, 5.0, 0.5, 1e-9), (5.0, 4.95, 0.237, 0.005)],
)
def test_the_chance_of_a_breach_once_built(measured, bound, chance, tolerance):
    deviation = math.sqrt(2) * 0.05
    assert breach_chance(measured, limit(min=bound), deviation) == pytest.approx(chance, abs=tolerance)


def test_a_margin_of_1_645_deviations_is_the_edge_of_close():
    deviation = math.sqrt(2) * 0.05
    assert judged(5.0 + 1.64 * deviation, limit(min=5.0), spread=math.sqrt(2)).outcome == "close"
    assert judged(5.0 + 1.65 * deviation, limit(min=5.0), spread=math.sqrt(2)).outcome == "met"


def test_a_narrow_band_is_close_to_both_its_ends():
    deviation = math.sqrt(2) * 0.05
    both = breach_chance(5.05, limit(min=5.0, max=5.1), deviation)
    assert both == pytest.approx(2 * breach_chance(5.05, limit(min=5.0), deviation))


def test_without_setting_out_error_nothing_is_close():
    assert judged(5.0, limit(min=5.0), spread=math.sqrt(2), sigma=0.0).outcome == "met"


@pytest.mark.parametrize(
    ("measured", "words"),
    [
        (4.62, ["4.62 m", "at least 5.00 m", "0.38 m short"]),
        (4.9996, ["4.9996 m", "at least 5.00 m", "0.0004 m short"]),
        (4.999, ["4.999 m", "0.001 m short"]),
    ],
)
def test_a_shortfall_is_never_hidden_by_rounding(measured, words):
    message = judged(measured, limit(min=5.0)).message
    assert message.startswith("7 to 8 (g to h): distance to the next obstacle")
    assert all(word in message for word in words)


def test_feet_are_shown_where_the_plan_is_in_feet():
    message = judged(4.0, limit(min=4.572), units="ft").message
    assert "13.12 ft" in message
    assert "at least 15.00 ft" in message


def test_what_cannot_be_measured_says_why():
    result = judged(None, limit(min=5.0), why_not="no way round the pillar")
    assert result.outcome == "unmeasurable"
    assert "no way round the pillar" in result.message
    assert result.margin is None


@pytest.mark.parametrize(
    ("bounds", "unit", "words"),
    [
        ({"min": 5.0}, "m", "at least 5.00 m"),
        ({"min": 4.572}, "m", "at least 4.572 m"),
        ({"min": 5.0, "max": 7.0}, "m", "at least 5.00 m and at most 7.00 m"),
        ({"max": 30.0}, "deg", "at most 30°"),
        ({"max": 22.5}, "deg", "at most 22.5°"),
        ({"equals": 12.0}, "count", "exactly 12"),
        ({"required": ("jump",)}, "kind", "must be jump"),
        ({"forbidden": ("a-frame", "dog-walk", "seesaw")}, "kind", "must not be A-frame, dog walk or seesaw"),
    ],
)
def test_a_bound_in_words_keeps_every_decimal_it_has(bounds, unit, words):
    assert expected_words(limit(**bounds), unit, "m") == words

"""Figures are written the way they are read aloud, and never rounded until two different ones look the same."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coursecheck.units import format_apart, format_figure


@pytest.mark.parametrize(
    ("value", "unit", "units", "text"),
    [
        (4.62, "m", "m", "4.62 m"),
        (4.572, "m", "ft", "15.00 ft"),
        (1.0, "m2", "m", "1.00 m²"),
        (0.09290304, "m2", "ft", "1.00 ft²"),
        (22.45, "deg", "m", "22.4°"),
        (12.0, "count", "m", "12"),
        (-0.001, "m", "m", "0.00 m"),
        (40.0, "s", "m", "40.00 s"),
    ],
)
def test_figures(value, unit, units, text):
    assert format_figure(value, unit, units=units) == text


@given(st.floats(0.001, 500), st.floats(-1, 1))
def test_two_figures_that_differ_look_different(limit, off):
    value = limit + off
    assume(abs(value - limit) > 2e-6)
    shown, bound, gap = format_apart(value, limit, "m")
    assert shown != bound
    assert gap.strip("0. m") != ""


def test_equal_figures_look_equal():
    assert format_apart(5.0, 5.0, "m") == ("5.00 m", "5.00 m", "0.00 m")

"""Whether a value keeps a limit of a shipped rulebook, asked without a plan."""

from __future__ import annotations

from functools import cache

from coursecheck import load_rulebook
from coursecheck.measures import MEASURES, Value
from coursecheck.rulebook.resolve import resolve
from coursecheck.verdict.compare import compare

shipped = cache(load_rulebook)


def allowed(book: str, limit: str, measured: float | str, **facets: str) -> bool:
    """Whether a value keeps a limit; lengths in metres. Fails where the limit does not speak of the subject."""
    row = resolve([row for row in shipped(book).limits if row.id == limit], [facets]).row
    assert row is not None, (book, limit, facets)
    return compare(Value(measured), row, MEASURES[row.measure], setting_out_m=0.0, units="m").outcome == "met"


def just_within(book: str, limit: str, low: float | None, high: float | None, step: float, **facets: str) -> bool:
    """Whether a range is allowed with both ends, and a step beyond either end is not."""
    ends = [(low, -step)] if low is not None else []
    ends += [(high, step)] if high is not None else []
    return all(
        allowed(book, limit, end, **facets) and not allowed(book, limit, end + beyond, **facets)
        for end, beyond in ends
    )

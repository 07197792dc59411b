"""The room for a straight: nothing longer fits, and what is found does."""

import math

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from coursecheck.geometry.segments import Pose
from coursecheck.measures.rooms import straight_rooms_m
from coursecheck.path.words import SIDES, solve

places = st.integers(-12, 12).map(lambda halves: halves / 2) | st.floats(-8, 8)
headings = st.integers(-4, 4).map(lambda eighths: eighths * math.pi / 4) | st.floats(-4, 4)
poses = st.builds(Pose, places, places, headings)
EAST = Pose(0.0, 0.0, 0.0)


def fits(start, end, length_m, radius_m):
    """Whether some word without a loop leads into a last straight of that length."""
    into = end.ahead(-length_m)
    words = solve(*(np.array([pose.x, pose.y, pose.heading]) for pose in (start, into)), radius_m)
    needed = abs(math.remainder(end.heading - start.heading, 2 * math.pi))
    arcs = (np.abs(SIDES.T) * words.pieces).sum(axis=0)
    return bool(np.any(np.isfinite(words.lengths_m) & (arcs <= max(math.pi, needed + math.pi / 2) + 1e-9)))


@given(start=poses, end=poses, radius_m=st.floats(0.5, 3.0))
@example(start=EAST, end=Pose(5.0, 0.0, 0.0), radius_m=1.5)
@example(start=EAST, end=Pose(5.0, 3.0, math.pi / 2), radius_m=1.5)
@example(start=EAST, end=Pose(5.0, 3.0, math.pi), radius_m=1.5)
@example(start=EAST, end=Pose(-5.0, 3.0, 3 * math.pi / 4), radius_m=1.5)
def test_what_is_found_fits_and_nothing_longer_does(start, end, radius_m):
    whole = math.dist(start.point, end.point)
    assume(whole > 0.1)
    (room,) = straight_rooms_m([(start, end)], radius_m)
    assert 0.0 <= room <= whole + 1e-9
    if room > 1e-5:
        assert any(fits(start, end, room - short, radius_m) for short in (0.0, 1e-5))
    longer = [length for length in np.linspace(0.0, whole, 33).tolist() if length > room + 1e-4]
    assert not any(fits(start, end, length, radius_m) for length in longer)


def test_known_answers():
    aside = Pose(6.0, 1.0, 0.0)  # there and back, until the circles touch
    ways = [(EAST, end) for end in (Pose(6.0, 0.0, 0.0), aside, Pose(-6.0, 0.0, 0.0))]
    assert straight_rooms_m(ways, 1.0) == pytest.approx([6.0, 6.0 - math.sqrt(3.0), 0.0], abs=1e-9)


def test_mirrored_and_many_at_once():
    ways = [(EAST, Pose(x, y, heading)) for x in (1.0, 4.0) for y in (0.5, 3.0) for heading in (0.3, 1.9, 2.8)]
    twins = [(EAST, Pose(end.x, -end.y, -end.heading)) for _, end in ways]
    alone = [room for way in ways for room in straight_rooms_m([way], 1.2)]
    assert straight_rooms_m(ways, 1.2) == alone
    assert straight_rooms_m(twins, 1.2) == pytest.approx(alone, abs=1e-9)

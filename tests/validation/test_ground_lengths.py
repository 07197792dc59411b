"""Ground lengths of planks and rows against published and derived figures.

Sources: published United States measures (A-frame panels of 9 ft with the apex at 5 ft 6 in or 5 ft; dog walk of
three 12 ft planks, 4 ft high; weave poles 24 in apart on centre) with the ground lengths derived by Pythagoras;
FCI 2012 A-frame (ramp 2.65 to 2.75 m, apex 1.70 m). The derived figures are arithmetic, not published.
"""

import pytest

from coursecheck.course.model import Obstacle
from coursecheck.equipment import build_shape
from coursecheck.equipment.contacts import a_frame_ground_m, dog_walk_ground_m, seesaw_ground_m

FOOT_M = 0.3048


@pytest.mark.parametrize(("apex_ft", "ground_ft"), [(5.5, 14.25), (5.0, 14.97)])
def test_a_frame_of_nine_foot_panels(apex_ft, ground_ft):
    assert a_frame_ground_m(9.0, apex_ft) == pytest.approx(ground_ft, abs=0.005)


def test_dog_walk_of_three_twelve_foot_planks():
    assert dog_walk_ground_m(12.0, 4.0) == pytest.approx(34.63, abs=0.005)


@pytest.mark.parametrize(("ramp_m", "ground_m"), [(2.65, 4.0657), (2.70, 4.1952), (2.75, 4.3232)])
def test_a_frame_of_the_fci(ramp_m, ground_m):
    assert a_frame_ground_m(ramp_m, 1.70) == pytest.approx(ground_m, abs=1e-4)


def test_seesaw_of_the_kennel_club():
    # 3.66 m plank, 0.61 m high: 2 sqrt(1.83^2 - 0.61^2), closed form
    assert seesaw_ground_m(3.66, 0.61) == pytest.approx(3.4507, abs=1e-4)


@pytest.mark.parametrize(("poles", "feet"), [(12, 22), (6, 10)])
def test_weave_rows_at_24_inches(poles, feet):
    row = build_shape(Obstacle("w", "weaves", (0, 0), 0, {"poles": poles, "spacing": 2 * FOOT_M}))
    assert row.forwards.track[0].length_m == pytest.approx(feet * FOOT_M, abs=1e-9)

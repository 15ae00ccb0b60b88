"""A travel put on the road that fits its wheels: nothing moves in the chassis, and it reads as a held state does."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings._frames import wheel_places
from axlewright.readings._road import on_road
from axlewright.solve.poses import Poses, grid
from axlewright.solve.travel import travel
from tests.cars import BRAMBLE, TEASEL
from tests.textbook_car import read

ROUNDING = 1e-12
MIDDLE = [phase.name for phase in TEASEL.car.phases].index("mid-corner") * 2


@pytest.mark.parametrize("car", [TEASEL, BRAMBLE], ids=lambda car: car.name)
def test_wheels_stay_in_the_chassis_and_tyres_keep_their_radius(car):
    solved = travel(car.car, grid(bump=[-0.03, 0.04], roll=[-0.04, 0.03], LF=[0.0, 0.03])).solved
    stood = on_road(solved)
    assert wheel_places(stood) == pytest.approx(wheel_places(solved), abs=ROUNDING)
    assert stood.wheel("deflection") == pytest.approx(solved.wheel("deflection"), abs=1e-9)
    assert stood.border("pitch") != pytest.approx(0.0, abs=1e-6)


def test_bump_and_roll_put_the_car_lower_and_over():
    """As far as was asked: 20 mm lower, 0.03 rad over, level; but for 0.4 mm that the leaning wheels' radius gives."""
    stood = on_road(travel(TEASEL.car, grid(bump=0.02, roll=0.03)).solved)
    assert stood.border("roll")[0] == pytest.approx(0.03, abs=5e-4)
    assert stood.border("heave")[0] == pytest.approx(-0.02, abs=1e-3)
    assert stood.border("pitch")[0] == pytest.approx(0.0, abs=3e-4)


# What the tyres' own deflection, 16 mm between left and right, does to where they touch the road.
HELD = {
    "roll_centre_height_front": 0.001, "roll_centre_height_rear": 0.001, "anti_squat": 0.003, "anti_dive": 0.001,
    "axle_steer": 1e-4, "trail_LF": 0.002, "scrub_LF": 0.002, "chassis_camber_RF": 1e-6, "bump_steer_LF": 1e-6,
}  # fmt: skip


@pytest.mark.parametrize("name", HELD)
def test_readings_are_those_of_a_held_state_with_its_wheels_in_the_same_places(name):
    """Mid-corner against the linkage moved there by hand; with the road left level the anti-squat is 1.1 points off."""
    held, none = TEASEL.held.take(slice(MIDDLE, MIDDLE + 2)), np.zeros(2)
    rise = wheel_places(held)[2] - wheel_places(TEASEL.rest)[2]
    moved = travel(TEASEL.car, Poses(none, none, held.border("rack"), none, rise)).solved
    assert read(moved, name) == pytest.approx(read(held, name), abs=HELD[name])

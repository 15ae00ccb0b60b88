"""Roll, ride heights, attitude of wheels and axle, and wind-up, against geometry by hand and the calculated car."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.car.schema.phases import Phase
from axlewright.solve.verbs import hold
from tests.cars import TEASEL
from tests.textbook_car import G, read

PHASES = [phase.name for phase in TEASEL.car.phases]
TRACK, TYRE = 1.56, 255e3  # of teasel's file
SMALL_ANGLES = (
    1e-4  # rad; products of 0.05 rad of roll with 0.01 rad of pitch and with 0.02 rad of steer, over the track
)
SMOOTH_ROAD = slice(0, 2 * PHASES.index("kerb"))


def test_vehicle_roll_is_suspension_roll_and_what_the_tyres_give():
    """Design 1.7: roll to the road adds that of the line of wheel centres, which tyres' deflection and lean lower."""
    held, rest = TEASEL.held, TEASEL.rest
    lean = held.wheel("inclination")
    free = 0.33 / np.cos(rest.wheel("inclination")) + rest.wheel("load") / TYRE
    height = (free - held.wheel("load") / TYRE) * np.cos(lean)
    for wheels, end in (((0, 1), "front"), ((2, 3), "rear")):
        line = (height[wheels[0]] - height[wheels[1]]) / TRACK
        whole = read(held, f"suspension_roll_{end}") + line
        assert read(held, "vehicle_roll")[SMOOTH_ROAD] == pytest.approx(whole[SMOOTH_ROAD], abs=SMALL_ANGLES)


def test_axle_rolls_against_the_suspension():
    assert read(TEASEL.held, "axle_roll") == pytest.approx(-read(TEASEL.held, "suspension_roll_rear"), abs=2e-4)


def test_drawn_attitude_at_rest():
    """What the file says: camber, toe, ride heights; no wind-up, roll or pitch."""
    rest = TEASEL.rest
    said = {
        "camber_LF": np.radians(-2.2), "camber_RR": np.radians(-0.5), "steer_LF": np.radians(0.10),
        "ride_height_LF": 0.072, "ride_height_RR": 0.084, "vehicle_roll": 0.0, "pitch": 0.0, "pinion_angle": 0.0,
        "axle_sideways": 0.0,
    }  # fmt: skip
    for name, value in said.items():
        assert read(rest, name)[0] == pytest.approx(value, abs=1e-8), name


def test_pitch_shows_in_ride_heights():
    """Nose down: the front's ride height falls against the rear's by pitch times their distance, 2.40 m."""
    held, rest = TEASEL.held, TEASEL.rest
    rake = lambda x: 0.5 * sum(read(x, f"ride_height_{s}R") - read(x, f"ride_height_{s}F") for s in "LR")  # noqa: E731
    assert rake(held) - rake(rest) == pytest.approx(2.40 * np.sin(read(held, "pitch")), abs=1e-5 + 0.012 * 0.05**2)


def bounced(size):
    """Over a crest and through a dip, straight ahead: 0.3 g is 18 mm of front wheel travel and more at the rear."""
    return hold(
        TEASEL.car,
        [
            (
                Phase.model_validate(
                    {"name": "bounce", "ax": "0 g", "ay": "0 g", "speed": "20 m/s", "effort": "engine", "vertical": an}
                ),
                "left",
            )
            for an in (f"-{size} g", f"{size} g")
        ],
    )


def test_camber_gain_and_bump_steer():
    """(calc) of the design: -0.42 deg of camber, -0.005 deg of toe-in of a wheel a 25 mm rise of it; half a digit."""
    solved = bounced(0.05)
    rise = np.ptp(read(solved, "travel.front.left.spring")) / 0.697
    toe_out = 0.5 * (read(solved, "steer_LF") - read(solved, "steer_RF"))
    gain, steer = (np.degrees(np.diff(x)[0]) * 0.025 / rise for x in (read(solved, "camber_LF"), -toe_out))
    assert gain == pytest.approx(-0.42, abs=0.005)
    assert steer == pytest.approx(-0.005, abs=0.0005)


CENTRED = 2e-4  # m


def test_watts_linkage_keeps_the_axle_centred():
    """Common practice, no source: a Watt's linkage holds the axle in the middle of its travel. 50 mm of it here."""
    solved = bounced(0.3)
    assert np.ptp(read(solved, "travel.rear.spring_left")) > 0.03
    assert np.abs(read(solved, "axle_sideways")).max() < CENTRED


def test_wind_up_has_two_parts_and_the_links_stretch_is_one():
    """Links' part: movement of the drive link over its lever, 0.36 m (axle ends at 0.600 and 0.240 m) at 12 deg."""
    held = TEASEL.held
    parts = read(held, "wind_up_by_bump") + read(held, "wind_up_by_deflection")
    assert parts == pytest.approx(read(held, "wind_up"), abs=1e-12)
    for phase in ("exit", "launch"):
        i = 2 * PHASES.index(phase)
        stretch = read(held, "travel.rear.drive_link")[i] + 1500.0 / 6e6
        by_hand = stretch / (0.36 * np.cos(np.arctan(0.115 / 0.52)))
        assert read(held, "wind_up_by_deflection")[i] == pytest.approx(by_hand, rel=0.05)
    assert read(held, "wind_up")[0] < 0.0 < read(held, "wind_up")[2 * PHASES.index("launch")]


def test_understeer_angle_is_reference_steer_less_wheelbase_times_curvature():
    """ISO 4138 (from memory): delta_H / i_s - L / R."""
    i = 2 * PHASES.index("mid-corner")
    slip = read(TEASEL.held, "sideslip")[i]
    by_hand = read(TEASEL.held, "steer_angle")[i] - 2.75 * G * np.cos(slip) / 32.0**2
    assert read(TEASEL.held, "understeer_angle")[i] == pytest.approx(by_hand, abs=1e-9)

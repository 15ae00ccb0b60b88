"""Teasel's propeller shaft: angles by hand from the file's points, and from the housing's pose by another library."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from axlewright.readings import readings_of
from axlewright.solve.poses import grid
from axlewright.solve.travel import travel
from tests.cars import BRAMBLE, TEASEL
from tests.textbook_car import read

GEARBOX, PINION = np.array([-1.350, 0.0, 0.300]), np.array([-2.450, 0.0, 0.290])
ROUNDING = 1e-9
LAUNCH = 2 * [phase.name for phase in TEASEL.car.phases].index("launch")


def test_angles_as_it_stands():
    """Gearbox falls 15.3 mm in 350 mm to the rear, the shaft 10 mm in 1.1 m, the pinion is level."""
    gearbox, shaft = np.arctan(0.0153 / 0.350), np.arctan(0.010 / 1.100)
    said = {
        "shaft_angle_front": gearbox - shaft, "shaft_angle_front_side": shaft - gearbox, "shaft_angle_rear": shaft,
        "shaft_angle_rear_side": -shaft, "shaft_angle_rear_plan": 0.0, "pinion_inclination": 0.0, "shaft_plunge": 0.0,
        "shaft_angle_difference": gearbox - 2.0 * shaft,
    }  # fmt: skip
    for name, value in said.items():
        assert read(TEASEL.rest, name)[0] == pytest.approx(value, abs=ROUNDING), name


def test_the_pinions_joint_goes_with_the_housing():
    """Through bump, roll and wind-up: length and true angles from the housing's pose, turned by scipy."""
    solved = travel(TEASEL.car, grid(bump=[-0.03, 0.05], roll=[-0.04, 0.03], wind_up=[-0.02, 0.05])).solved
    pose = np.asarray(solved.unknowns.local[1])[:6, 0]
    angle = 2.0 * np.arctan(0.5 * np.linalg.norm(pose[3:], axis=0))
    turn = Rotation.from_rotvec((pose[3:] * angle / np.linalg.norm(pose[3:], axis=0)).T)
    drawn = np.asarray(TEASEL.machine.values["rear.axle.at"])
    joint = drawn + pose[:3].T + turn.apply(PINION - drawn)
    span, nose = joint - GEARBOX, turn.apply([-1.0, 0.0, 0.0])
    length = np.linalg.norm(span, axis=1)
    assert read(solved, "shaft_plunge") == pytest.approx(np.linalg.norm(PINION - GEARBOX) - length, abs=ROUNDING)
    true = np.arccos((span * nose).sum(axis=1) / length)
    assert read(solved, "shaft_angle_rear") == pytest.approx(true, abs=1e-7)  # arccos of nearly one
    left = np.arctan2(nose[:, 1], -nose[:, 0]) - np.arctan2(span[:, 1], -span[:, 0])
    assert read(solved, "shaft_angle_rear_plan") == pytest.approx(left, abs=ROUNDING)


def test_slip_joint_says_what_is_left():
    """25 mm in and 35 mm out of the file, less where it has gone."""
    for name, drawn, sense in (("in", 0.025, 1.0), ("out", 0.035, -1.0)):
        left = drawn - sense * read(TEASEL.held, "shaft_plunge")
        assert read(TEASEL.held, f"shaft_slip_{name}_left") == pytest.approx(left, abs=ROUNDING)


def test_pinion_set_as_told_is_right_in_that_phase():
    """Launch winds the nose up: turned by what is told, both side-view angles have one size, of opposite signs."""
    held = TEASEL.held
    told = read(held, "pinion_inclination_to_set")[LAUNCH] - read(TEASEL.rest, "pinion_inclination")[0]
    axis = np.array([-np.cos(told), 0.0, -np.sin(told)])
    machine = replace(held.machine, values={**held.machine.values, "shaft.pinion.axis": axis})
    front, rear = (read(replace(held, machine=machine), f"shaft_angle_{end}_side")[LAUNCH] for end in ("front", "rear"))
    assert front == pytest.approx(-rear, abs=1e-6)  # the housing also rolls a little: turns don't add up exactly
    # what is left is the plan view: the axle yaws a little
    assert (
        read(replace(held, machine=machine), "shaft_fluctuation")[LAUNCH]
        < 0.1 * read(held, "shaft_fluctuation_rear")[LAUNCH]
    )


def test_share_of_the_critical_speed():
    """10 m/s in launch: wheel speed by slip and rolling radius, times 4.1, over the critical speed."""
    held = TEASEL.held
    wheels = 10.0 * (1.0 + held.border("slip LR")[LAUNCH]) / held.wheel("rolling_radius")[2, LAUNCH]
    shaft = wheels * 4.1 / (2.0 * np.pi)
    share = shaft / read(held, "shaft_critical_speed")[LAUNCH]
    # left and right wheel differ by a fifth of a percent
    assert read(held, "shaft_critical_share")[LAUNCH] == pytest.approx(share, rel=5e-3)
    assert read(TEASEL.rest, "shaft_critical_share")[0] == 0.0


def test_a_car_without_one_has_no_such_readings():
    assert not [name for name in readings_of(BRAMBLE.machine) if name.startswith("shaft")]

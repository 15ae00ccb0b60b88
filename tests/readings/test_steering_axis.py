"""Steering axis from velocities, against the line through the ball joints and against teasel's calculated numbers."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.readings.steering_axis import steering_axes
from tests.cars import BRAMBLE, TEASEL
from tests.textbook_car import read

ROUNDING = 1e-9  # m, and of a unit vector: a linear solve of well-scaled rows
SIDES = {"LF": 0, "RF": 1}


def ball_joints(solved, copy):
    """(lower, upper) ball joint of a front corner where they are now, chassis axes, (3, B)."""
    block = solved.machine.topology.blocks[0]
    points, n = np.asarray(solved.blocks[0].details.points), len(block.links)
    on_upright = lambda name: points[:, n + block.links.index(name), copy]  # noqa: E731 - two uses below
    lower = points[:, 2 * n, copy] if block.n_joints else on_upright("lower_front")
    return lower, on_upright("upper_front")


@pytest.mark.parametrize("car", [TEASEL, BRAMBLE], ids=lambda car: car.name)
@pytest.mark.parametrize("wheel", SIDES)
def test_between_two_ball_joints_it_is_the_line_through_both(car, wheel):
    """At rest and in every phase: a body held at two points turns about the line through both (kinematics).

    Bramble's springs stand on its uprights, off that line, so steering at their present length is no pure turn."""
    for solved in (car.rest, car.held):
        axis, (lower, upper) = steering_axes(solved)[wheel], ball_joints(solved, SIDES[wheel])
        line = (upper - lower) / np.linalg.norm(upper - lower, axis=0)
        assert axis.direction == pytest.approx(line, abs=ROUNDING)
        off = np.cross(lower - axis.point, axis.direction, axis=0)
        assert np.abs(off).max() < ROUNDING


# Calculated by someone else from the same points: 10.3 deg, 7.2 deg, 53 mm, 32 mm; half their last digit.
CALCULATED = {
    "kingpin": (np.radians(10.3), np.radians(0.05)), "caster": (np.radians(7.2), np.radians(0.05)),
    "scrub": (0.053, 0.0005), "trail": (0.032, 0.0005),
}  # fmt: skip


@pytest.mark.parametrize("name", CALCULATED)
def test_teasel_as_it_stands(name):
    asked, within = CALCULATED[name]
    for wheel in SIDES:
        assert read(TEASEL.rest, f"{name}_{wheel}")[0] == pytest.approx(asked, abs=within)


def test_signs_by_the_points_of_the_file():
    """Top of the axis inward and rearward of its foot, foot inboard of and ahead of the wheel: all four positive."""
    lower, upper = (0.008, 0.705, 0.188), (-0.030, 0.650, 0.490)
    assert upper[1] < lower[1]
    assert upper[0] < lower[0]
    for name in CALCULATED:
        assert (read(TEASEL.held, f"{name}_LF") > 0.0).all()


def test_scrub_and_trail_place_the_axis_in_the_tyres_axes():
    """The offsets, laid off from the contact centre in tyre axes, are on the axis: here turned to the road by hand."""
    solved = TEASEL.held
    for wheel, i in SIDES.items():
        axis = steering_axes(solved)[wheel]
        contact, forward = solved.wheel("point")[:, i], solved.wheel("forward")[:, i]
        left = np.stack([-forward[1], forward[0], 0.0 * forward[0]])
        inward = -left if wheel == "LF" else left
        foot = contact + axis.trail * forward + axis.scrub * inward
        pitch, roll, heave = (solved.border(name) for name in ("pitch", "roll", "heave"))
        for b in range(solved.batch):
            cp, sp, cr, sr = np.cos(pitch[b]), np.sin(pitch[b]), np.cos(roll[b]), np.sin(roll[b])
            turn = np.array([[cp, 0, sp], [0, 1, 0], [-sp, 0, cp]]) @ np.array([[1, 0, 0], [0, cr, -sr], [0, sr, cr]])
            start, along = turn @ axis.point[:, b] + (0, 0, heave[b]), turn @ axis.direction[:, b]
            assert np.abs(np.cross(foot[:, b] - start, along)).max() < ROUNDING

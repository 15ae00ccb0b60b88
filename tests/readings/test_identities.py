"""Kinematic numbers against the held solver and the model's own derivative: the design's identities, 1.7."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from axlewright.car.describe import describe
from axlewright.car.schema.phases import Phase
from axlewright.solve.machine import build
from axlewright.solve.poses import grid
from axlewright.solve.travel import travel
from axlewright.solve.verbs import hold
from tests.cars import TEASEL
from tests.textbook_car import read

NO_MASS, NO_SPIN, NO_PINION, STIFF_TYRE = 1e-3, 1e-6, 1e9, 1e8  # kg, kg m2, ratio, N/m
NO_ROLL = 0.01  # of the roll that the drawn height gives; what toe, camber and their change add to the side forces


@cache
def cornering(height):
    """Teasel, all its mass sprung, in an easy turn, with its sprung centre of mass at a height; None as drawn.

    Fast, so that it hardly steers: steered wheels on inclined axes lift one side and lower the other. No air, no lock,
    no pinion torque; stiff tyres, since the stiff chassis would roll the front on its springs as the rear tyres give.
    """
    mechanism, values = describe(TEASEL.car)
    edited = dict(values)
    for path in ("front.left.upright.mass", "front.right.upright.mass", "rear.axle.mass"):
        edited[path] = NO_MASS
    for wheel in ("LF", "RF", "LR", "RR"):
        edited[f"{wheel}.spin_inertia"] = NO_SPIN
        edited[f"{wheel}.tyre.vertical_rate"] = STIFF_TYRE
    edited["driveline.ratio"] = NO_PINION
    edited |= dict.fromkeys(("aero.drag_area", "aero.lift_area_front", "aero.lift_area_rear"), 0.0)
    edited |= dict.fromkeys(("driveline.preload", "driveline.lock_drive", "driveline.lock_coast"), 0.0)
    if height is not None:
        at = np.array(edited["chassis.sprung.at"], dtype=float)
        at[2] = height
        edited["chassis.sprung.at"] = at
    machine = replace(build(mechanism, edited), pivots=TEASEL.machine.pivots)
    asked = {"name": "easy", "ax": "0 g", "ay": "0.05 g", "speed": "100 m/s", "effort": "engine"}
    return hold(machine, [(Phase.model_validate(asked), "left")])


def test_a_side_force_on_the_roll_axis_does_not_roll_the_car():
    """Roll centres by velocities = by force balance (SAE J670): with the centre of mass on their line none."""
    rest = TEASEL.rest
    front, rear = (read(rest, f"roll_centre_height_{end}")[0] for end in ("front", "rear"))
    axis = front + (rear - front) * 1.234 / 2.75  # teasel's sprung centre of mass is 1.234 m behind the front axle
    for end in ("front", "rear"):
        drawn, on_axis = (read(cornering(h), f"suspension_roll_{end}")[0] for h in (None, axis))
        assert abs(on_axis) < NO_ROLL * drawn


NEAR = 1e-5  # share of a wheel rate that third differences of a length over 2 mm leave
SEEN = 1e-4  # share of it that the change of the ratio is at least, so that it would be seen missing
ENDS = [("front", 0, ["spring"], 95e3, 36.0), ("rear", 1, ["spring_left", "spring_right", "brake_link"], 42e3, 123.0)]


@pytest.mark.parametrize(("end", "block", "links", "rate", "mass"), ENDS)
def test_wheel_rate_is_rate_times_ratio_squared_and_what_the_ratio_changes(end, block, links, rate, mass):
    """Virtual work: dFz/dz = k r^2 + F dr/dz + m g d2h/dz2; z the road's rise, F all that pushes along a link, springs
    and gas, h the height of an unsprung mass.

    The model takes the rise in the leaning wheel's own plane, dz / cos g, and lets the tyre open by it, which moves the
    load in the leaning wheel: less Fz sin g dg/dz.
    """
    rest, wheels = TEASEL.rest, block + 1
    moved = travel(TEASEL.car, grid(bump=[-2e-3, 0.0, 2e-3])).solved
    road, camber = moved.wheel("point")[2, 2 * block], read(moved, f"chassis_camber_{'LF' if end == 'front' else 'LR'}")
    bend = lambda value: 2.0 * np.polyfit(road, value, 2)[0]  # noqa: E731 - second derivative
    springs, geometric = 0.0, mass * 9.81 * bend(np.asarray(moved.unknowns.local[block])[2, 0])
    for link in links:
        length = moved.link(block, link, "length")[0]
        springs += rate * np.polyfit(road, length, 2)[1] ** 2 if link.startswith("spring") else 0.0
        geometric += rest.link(block, link, "tension")[0, 0] * bend(length)
    opens = rest.wheel("load")[2 * block, 0] * np.sin(camber[1]) * np.gradient(camber, road)[1]
    whole = (springs + geometric) / wheels * np.cos(camber[1]) - opens
    assert read(rest, f"wheel_rate_{end}")[0] == pytest.approx(whole, rel=NEAR)
    assert abs(geometric) > SEEN * springs

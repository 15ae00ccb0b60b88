"""Rows that couple the blocks, each alone: air forces on the chassis, and a braked wheel's spin balance."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from axlewright.model.border import Gathered, chassis_wrench, rows
from axlewright.model.ground import Attitude, chassis_attitude
from axlewright.model.parameters import CarParameters, Demand
from axlewright.parts.aero import Aero

SPEED, DENSITY = 50.0, 1.2
PRESSURE = 1500.0  # Pa, 1/2 x 1.2 x 50^2
AERO = Aero(*(np.array([value]) for value in (0.95, 0.45, 0.15, 0.35, 0.1, -2.9)))
FORCES = PRESSURE * np.array([[-0.95, 0.0, 0.0], [0.0, 0.0, -0.15], [0.0, 0.0, -0.35]])
POINTS = np.array([[-1.3, 0.0, 0.45], [0.1, 0.0, 0.0], [-2.9, 0.0, 0.0]])  # drag at the centre of mass's station
ROUNDING = 1e-9  # N and N m out of thousands
SPIN_ROWS = slice(7, 11)  # after six of the chassis and the differential's


def weightless() -> CarParameters:
    """A car of which only the air forces are left."""
    zero: dict[str, Any] = {name: np.zeros(1) for name in CarParameters._fields}
    given = {"blocks": (), "aero": AERO}
    return CarParameters(**zero | given)._replace(
        mass=np.zeros((0, 1)),
        mass_at=np.zeros((3, 0, 1)),
        centre=np.array([[-1.3], [0.0], [0.5]]),
        bar_stiffness=np.zeros((0, 1)),
        bar_neutral=np.zeros((0, 1)),
        air_density=np.array([DENSITY]),
    )


def demand(**given: float) -> Demand:
    zero = Demand(*(np.zeros(1) for _ in Demand._fields))._replace(force=np.zeros((3, 1)), road_height=np.zeros((4, 1)))
    return zero._replace(**{name: np.array([value]) for name, value in given.items()})


def road(pitch: float = 0.0, roll: float = 0.0) -> Attitude:
    return chassis_attitude(*(np.array([value]) for value in (0.0, pitch, roll)))


def test_the_air_wrench_is_that_of_three_forces_at_their_points():
    wrench = np.asarray(chassis_wrench(weightless(), demand(speed=SPEED), road()))[:, 0]
    np.testing.assert_allclose(wrench[:3], FORCES.sum(axis=0), atol=ROUNDING)
    np.testing.assert_allclose(wrench[3:], np.cross(POINTS, FORCES).sum(axis=0), atol=ROUNDING)


def test_air_forces_stay_with_the_road_when_the_chassis_pitches_and_rolls():
    pitch, roll = 0.03, -0.05
    turned = np.asarray(road(pitch, roll).rotation)[:, :, 0]
    wrench = np.asarray(chassis_wrench(weightless(), demand(speed=SPEED), road(pitch, roll)))[:, 0]
    np.testing.assert_allclose(turned @ wrench[:3], FORCES.sum(axis=0), atol=ROUNDING)
    np.testing.assert_allclose(
        turned @ wrench[3:], np.cross(POINTS @ turned.T, FORCES).sum(axis=0), atol=ROUNDING
    )  # fmt: skip


def test_drag_lifts_the_front():
    car = weightless()
    drag_only = car._replace(aero=AERO._replace(lift_area_front=np.zeros(1), lift_area_rear=np.zeros(1)))
    assert chassis_wrench(drag_only, demand(speed=SPEED), road())[4, 0] < 0.0  # negative about y: nose up


@pytest.mark.parametrize(
    ("slip", "tyre", "capacity", "met"),
    [
        (-0.04, 800.0, 800.0, True),  # rolling, the brake at capacity
        (-0.04, 800.0, 700.0, False),  # rolling, but the tyre would spin the wheel up
        (-0.04, 800.0, 900.0, False),  # rolling, but the brake would stop the wheel
        (-1.0, 800.0, 900.0, True),  # locked, the brake holds with less than its capacity
        (-1.0, 800.0, 700.0, False),  # locked, but the brake can't hold it
    ],
)
def test_a_braked_wheel_rolls_at_capacity_or_is_locked_below_it(slip, tyre, capacity, met):
    """Coulomb friction in the brake: at the sliding limit while it turns, within it while it stands."""
    border = np.zeros((11, 1))
    border[5], border[SPIN_ROWS] = 1.0, slip  # effort, slips
    found = Gathered(np.zeros((6, 1)), np.full((4, 1), tyre), np.zeros(1), np.zeros((0, 1)), np.zeros(1))
    asked = demand(rolling=1.0, braking=1.0)
    residual = rows(weightless(), asked, road(), np.full((4, 1), capacity), np.zeros((4, 1)), border, found)
    assert (np.abs(np.asarray(residual)[SPIN_ROWS]) < ROUNDING).all() == met

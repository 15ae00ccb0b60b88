"""Understeer of a whole car with linear tyres against textbooks. V2.1 and the like: ids in the list of check values."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from tests.textbook_car import G, Textbook, read

SMALL = 0.01 * G  # m/s2; slips are then a hundredth of their peak and every law is straight
PRINTED = 5e-3  # half a digit of 0.016 rad/g is 3 %; recomputed from the inputs to this
# In the small turn the tyres' curve bends by 1e-5, the car pitches and rolls by microradians, and cos(steer) is 1.
LINEAR = 1e-3


def linear(mass, front, wheelbase, cornering):
    """The bicycle model's car: cornering stiffness per tyre, N/rad, that no load changes; low and stiff."""
    return Textbook(
        sprung=mass,
        sprung_front=front,
        wheelbase=wheelbase,
        cornering=cornering,
        height=0.3,
        roll_centre=(0.0, 0.0),
        spring=(1e6, 1e6),
        grip=(1.0, 1.0),
    )


def compliance(mass, axle_share, degrees):
    """Cornering stiffness of one tyre whose axle has a cornering compliance in deg/g."""
    return mass * G * axle_share / np.radians(degrees) / 2.0


A, B = (1450.0, 1.624 / 2.62, 2.62), (1619.0, 1.629 / 2.67, 2.67)  # mass, front share, wheelbase
CARS = {
    # V2.1: Wong, Theory of Ground Vehicles, example 5.1 (from memory), and its second set of tyres
    "wong": (linear(20105.0 / G, 0.535, 2.8, (38920.0, 38250.0)), 0.01598, 0.92, 41.46),
    "wong, other tyres": (linear(20105.0 / G, 0.535, 2.8, (47820.0, 38250.0)), -0.00974, -0.56, None),
    # V2.2: Pacejka, Tyre and Vehicle Dynamics, table 1.1 (from memory): 0.0174 rad
    "pacejka": (linear(1600.0, 1.6 / 3.0, 3.0, (30e3, 30e3)), 0.01744, 1.0, None),
    # V2.3: K. Tse, measured cars, 2019: cornering compliances 9.6 / 4.1 and 6.7 / 3.1 deg/g
    "tse A": (linear(*A, (compliance(A[0], A[1], 9.6), compliance(A[0], 1 - A[1], 4.1))), None, 5.5, 58.9 / 3.6),
    "tse B": (linear(*B, (compliance(B[0], B[1], 6.7), compliance(B[0], 1 - B[1], 3.1))), None, 3.6, 73.5 / 3.6),
}
SPEED = 25.0  # m/s


@cache
def held(name):
    """The same small turn at a speed, at the characteristic speed and at where sideslip changes sign."""
    car, _, _, speed = CARS[name]
    return car.hold(ay=SMALL, speed=[SPEED, speed or SPEED, 14.92])


@pytest.mark.parametrize("name", CARS)
def test_understeer_gradient(name):
    """W_front / C_front - W_rear / C_rear, per g, and as printed."""
    car, printed_rad, printed_deg, _ = CARS[name]
    gradient = read(held(name), "understeer_angle")[0] / (SMALL / G)
    front, rear = (load / (2.0 * c) for load, c in zip(car.loads, car.cornering, strict=True))
    assert gradient == pytest.approx(front - rear, abs=LINEAR * front)
    if printed_rad is not None:
        assert gradient == pytest.approx(printed_rad, rel=PRINTED)
    assert np.degrees(gradient) == pytest.approx(printed_deg, rel=0.01)  # printed to two digits


@pytest.mark.parametrize("name", [name for name, case in CARS.items() if case[3]])
def test_characteristic_speed(name):
    """V2.1, V2.3: at it the car needs twice the steer of slow driving, by definition."""
    car, solved = CARS[name][0], held(name)
    steer, curvature = read(solved, "steer_angle")[1], SMALL / CARS[name][3] ** 2
    assert steer == pytest.approx(2.0 * car.wheelbase * curvature, rel=PRINTED)


def test_sideslip_changes_sign_at_the_tangent_speed():
    """V2.3, car A: sqrt(g b / D_rear) = 14.92 m/s, by hand."""
    slip = read(held("tse A"), "sideslip")
    assert slip[0] < 0.0  # faster: the nose points into the turn
    assert slip[2] == pytest.approx(0.0, abs=PRINTED * abs(slip[0]))


FEET = 0.3048
# V2.5: Gillespie ch. 6 (from memory), deg at 500, 200, 100 and 50 ft: 57.3 L / R
ACKERMANN = {500: 0.96, 200: 2.40, 100: 4.80, 50: 9.60}
# The mean of both wheels over L / R: parallel wheels differ from a true turn by (L/R)^2 / 3, 1 % at 50 ft.
TRUE_TURN = 0.012


def test_slow_driving_needs_the_ackermann_angle():
    car = Textbook(wheelbase=100.6 * 0.0254, slip_peak=0.01)
    speed, radii = 1.0, np.array(list(ACKERMANN)) * FEET
    steer = np.degrees(read(car.hold(ay=speed**2 / radii, speed=speed), "steer_angle"))
    assert steer == pytest.approx(list(ACKERMANN.values()), rel=TRUE_TURN)

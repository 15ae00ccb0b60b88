"""Traction, braking and driveshaft torque of a whole car against textbooks. V5.1 and the like: ids of check values."""

from __future__ import annotations

import numpy as np
import pytest

from axlewright.solve.limit import limit
from tests.textbook_car import G, Textbook

INCH, POUND, FOOT = 0.0254, 4.4482216152605, 0.3048
SPOOL = 1e6  # N m of differential preload
# The car squats by less than a milliradian, which moves its centre of mass by 0.1 mm a metre of wheelbase.
STATICS = 1e-3
KEY = 0.005  # m/s2; half a step of the key's digits


def pinned(**sizes):
    """A stiff car of sprung mass only with tyres of one friction coefficient, whose roll centres are on the road."""
    return Textbook(**{"roll_centre": (0.0, 0.0), "tyre_rate": (1e11, 1e11), **sizes})


def furthest(car, direction, effort):
    """Limit of acceleration along x, m/s2, and the state there."""
    found = limit(car.hold(ax=direction * 0.05 * G, speed=1.0, effort=effort))
    assert found.found[0]
    return found.share[0] * direction * 0.05 * G, found.at


@pytest.mark.parametrize(("lock", "force", "ratio"), [(0.0, 1201.0, 0.304), (SPOOL, 1305.0, 0.33)])
def test_traction_limit_of_a_solid_axle(lock, force, ratio):
    """V5.3: Gillespie, Fundamentals of Vehicle Dynamics, ch. 2 (from memory): open and locked differential.

    Springs ten times as stiff in the printed ratio, since the book's car doesn't lean.
    """
    track, stiff = 59 * INCH, 10.0 * np.degrees(FOOT * POUND)
    front, rear = (2.0 * k * stiff / track**2 for k in (1150.0, 280.0))
    car = pinned(
        sprung=3950.0 * POUND / G,
        sprung_front=2100.0 / 3950.0,
        height=21 * INCH,
        wheelbase=108 * INCH,
        track=(track, track),
        radius=13 * INCH,
        final_drive=2.90,
        grip=(0.62, 0.62),
        spring=(front, rear),
        tyre_rate=(1e9, 1e9),
        lock=lock,
    )
    ax, at = furthest(car, 1.0, "engine")
    assert ax / G == pytest.approx(ratio, rel=0.002 if lock == 0.0 else 0.01)  # 0.33 is printed to two digits
    assert at.wheel("longitudinal").sum() / POUND == pytest.approx(force, rel=0.002)


DRIVEN = [
    ("V5.7 Q6", 6000.0, 4000.0, 2.6, 0.35, 0.6, 2.56),  # Council of Engineers Thailand, with key
    ("V5.10", 5000.0, 5000.0, 2.272, 0.22, 1.0, 100 / 3.6 / 5.11),  # Jazar p. 55 (from memory): 0 to 100 km/h in 5.11 s
]


@pytest.mark.parametrize(("id_", "front", "rear", "wheelbase", "height", "grip", "key"), DRIVEN)
def test_rear_wheel_drive(id_, front, rear, wheelbase, height, grip, key):
    """a = mu g (rear share) / (1 - mu h / L)."""
    del id_
    car = pinned(
        sprung=(front + rear) / G,
        sprung_front=front / (front + rear),
        wheelbase=wheelbase,
        height=height,
        spring=(4e6, 4e6),
        tyre_rate=(1e9, 1e9),
        grip=(grip, grip),
        lock=SPOOL,
    )
    ax, _ = furthest(car, 1.0, "engine")
    assert ax == pytest.approx(grip * G * rear / (front + rear) / (1.0 - grip * height / wheelbase), rel=STATICS)
    assert ax == pytest.approx(key, abs=2 * KEY)


BRAKED = [
    ("V5.8 Q10", 6000.0, 3500.0, 2.4, 0.35, 0.65, 0, 4500.0),  # the same exam: force of one end, key to 100 N
    ("V5.8 Q11", 6500.0, 4000.0, 2.7, 0.35, 0.60, 1, 1900.0),
]


@pytest.mark.parametrize(("id_", "front", "rear", "wheelbase", "height", "grip", "end", "key"), BRAKED)
def test_brakes_in_balance_reach_the_friction_coefficient(id_, front, rear, wheelbase, height, grip, end, key):
    """Both ends lock together at mu g when the front has mu (static + mu W h / L) of the force."""
    del id_
    weight = front + rear
    share = (front + grip * weight * height / wheelbase) / weight
    car = pinned(
        sprung=weight / G,
        sprung_front=front / weight,
        wheelbase=wheelbase,
        height=height,
        spring=(4e6, 4e6),
        tyre_rate=(1e9, 1e9),
        grip=(grip, grip),
        brake_front=share,
    )
    ax, at = furthest(car, -1.0, "brakes")
    assert -ax == pytest.approx(grip * G, rel=STATICS)
    force = -at.wheel("longitudinal").reshape(2, 2, -1).sum(axis=1)[end, 0]
    assert force == pytest.approx(grip * weight * (share if end == 0 else 1.0 - share), rel=2 * STATICS)
    assert force == pytest.approx(key, abs=50.0)


# V5.1, V5.2: W. Shope, Mostly Suspensions and a note of 2014. Inches.
SHOPE = {
    "wheelbase": 108 * INCH,
    "height": 18 * INCH,
    "radius": 14 * INCH,
    "track": (60 * INCH, 60 * INCH),
    "final_drive": 4.11,
}
PRINTED_RATIO = 0.01  # 5.27 for 5.275, of which statics has no say: the formula's digits, and leaning
AX = 0.02 * G


def test_driveshaft_torque_that_only_the_front_holds():
    """V5.1: all of the pinion's torque reacted at the front: the rear wheels gain load as 5.27 to 1."""
    car = pinned(**SHOPE, spring=(1e6, 1e6), ratio=(1.0, 1e-4))
    gain = (car.hold(ax=AX, speed=1.0, effort="engine").wheel("load") - car.rest.wheel("load"))[2:, 0]
    torque = car.mass * AX * car.radius / 4.11
    assert gain[0] - gain[1] == pytest.approx(2.0 * torque / car.track[1], rel=PRINTED_RATIO)
    assert gain[0] / gain[1] == pytest.approx(5.27, rel=PRINTED_RATIO)


@pytest.mark.parametrize("springs", [(1e6, 1e6), (1e6, 3e6)])
def test_driveshaft_torque_is_shared_by_roll_stiffness(springs):
    """V5.1's method: K_front / (K_front + K_rear) of the torque shows as a difference of the rear wheels."""
    car = pinned(**SHOPE, spring=springs)
    gain = (car.hold(ax=AX, speed=1.0, effort="engine").wheel("load") - car.rest.wheel("load"))[2:, 0]
    torque, share = car.mass * AX * car.radius / 4.11, springs[0] / sum(springs)
    assert gain[0] - gain[1] == pytest.approx(2.0 * share * torque / car.track[1], rel=2 * PRINTED_RATIO)


BALANCED = 0.01  # of what the torque would do: as drawn. The car squats, the link turns with it
LOW, HIGH, SLOPE = 8 * INCH, 18 * INCH, 18 / 108


def left_right(offset, lower_rise):
    """What the left rear gains on the right rear with the upper link `offset` to the left, N."""
    car = pinned(**SHOPE, spring=(1e6, 1e6), lower_height=LOW, upper_link=(HIGH, offset, SLOPE), lower_rise=lower_rise)
    gain = car.hold(ax=AX, speed=1.0, effort="engine").wheel("load") - car.rest.wheel("load")
    return (gain[2] - gain[3])[0]


def test_upper_link_offset_that_balances_the_driveshaft():
    """V5.2: R W (B-A) / (A H X) to the left, 25.547 in, for an upper link that rises at H / W above level lower links.

    The link pulls with F A / (B-A), and lifts the left of the axle with H / W of that.
    """
    offset = 14 * 108 * (18 - 8) / (8 * 18 * 4.11) * INCH
    assert offset / INCH == pytest.approx(25.547, abs=1e-3)
    assert abs(left_right(offset, 0.0)) < BALANCED * left_right(0.0, 0.0)


def test_upper_link_offset_does_nothing_when_all_links_are_parallel():
    """By statics: links of one direction that don't turn the axle about the vertical don't roll it either.

    V5.2 says its offset of links that are all parallel, and leaves out that the lower ones must hold the axle straight.
    """
    offset = 25.547 * INCH
    assert left_right(offset, SLOPE) == pytest.approx(left_right(0.0, SLOPE), rel=1e-4)

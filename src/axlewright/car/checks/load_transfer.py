"""Load transfer of the drawn car by hand formulas, for the sanity ranges of `check`."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.checks.kinematics import End
from axlewright.car.describe.masses import contact_points, sprung_of, unsprung_items
from axlewright.car.schema import Car
from axlewright.units import GRAVITY


class Whole(NamedTuple):
    """Mass of the whole car, SI."""

    mass: float
    centre: np.ndarray  # (3,) centre of mass
    front_share: float  # of weight
    wheelbase: float
    track: np.ndarray  # (2,) front, rear


def whole_car(car: Car) -> Whole:
    """Mass, centre of mass, weight distribution and size."""
    sprung = sprung_of(car)
    masses, centres = unsprung_items(car)
    mass = sprung.mass + masses.sum()
    centre = (sprung.mass * sprung.at + masses @ centres) / mass
    lf, rf, lr, rr = contact_points(car).values()
    front, rear = (lf[0] + rf[0]) / 2, (lr[0] + rr[0]) / 2
    track = np.array([lf[1] - rf[1], lr[1] - rr[1]])
    return Whole(float(mass), centre, float((centre[0] - rear) / (front - rear)), float(front - rear), track)


def frequencies(car: Car, ends: tuple[End, End]) -> tuple[float, float]:
    """Ride frequency (Hz) of each end on its wheel rate: sqrt(rate / sprung mass there) / 2 pi."""
    first, second = (
        np.sqrt(2 * end.wheel_rate / mass) / (2 * np.pi) for end, mass in zip(ends, _sprung(car), strict=True)
    )
    return float(first), float(second)


def damping_ratios(car: Car, ends: tuple[End, End]) -> tuple[float, float]:
    """Damping of each end on its wheel rate over the critical one, 2 sqrt(rate x sprung mass there)."""
    first, second = (
        end.wheel_damping / np.sqrt(2 * end.wheel_rate * mass) for end, mass in zip(ends, _sprung(car), strict=True)
    )
    return float(first), float(second)


def _sprung(car: Car) -> tuple[float, float]:
    """Sprung mass (kg) that a beam on the two axles would put on the front one and on the rear one."""
    sprung, whole = sprung_of(car), whole_car(car)
    front = sprung.mass * (sprung.at[0] - car.rear.wheel_centre.x) / whole.wheelbase
    return front, sprung.mass - front


def roll_and_transfer(car: Car, ends: tuple[End, End]) -> tuple[float, float]:
    """(suspension roll gradient in rad per g, front share of load transfer), rigid chassis, small angles.

    Standard breakdown (Barton and Fieldhouse, Automotive Chassis Engineering, 2018, ch. 3): roll moment of the sprung
    mass about the roll axis over stiffness less gravity; then roll-centre, unsprung and elastic parts at each end.
    """
    sprung, whole = sprung_of(car), whole_car(car)
    masses, centres = unsprung_items(car)
    share = (sprung.at[0] - car.rear.wheel_centre.x) / whole.wheelbase
    split = np.array([share, 1 - share])
    centre_heights = np.array([end.roll_centre for end in ends])
    lever = sprung.at[2] - split @ centre_heights
    stiffness = np.array([e.spring_roll_stiffness + e.bar_roll_stiffness + e.link_roll_stiffness for e in ends])
    weight = sprung.mass * GRAVITY
    roll = weight * lever / (stiffness.sum() - weight * lever)
    unsprung = GRAVITY * np.array([masses[:2] @ centres[:2, 2], masses[2:] @ centres[2:, 2]])
    transfer = (stiffness * roll + weight * split * centre_heights + unsprung) / whole.track
    return float(roll), float(transfer[0] / transfer.sum())

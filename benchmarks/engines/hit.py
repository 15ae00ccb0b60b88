"""A torque hit on one live axle, as every engine follows it, an engine a file (`..._transient`).

The reference axle (`tests/engines/reference_axle.py`) hangs on a fixed chassis: two rigid lower links, a Watt's linkage
on a bellcrank without mass, a springy and damped upper link and two linear springs. From equilibrium, 3 kN push forward
on each contact point from the first instant on; contact points belong to the axle's body, and what the road carries
there follows their height. Each file has a NAME, the distribution that it NEEDS, the SETTINGS that are worth comparing,
finest last, and a `solver(hit, setting)` that returns a function: () -> `History`.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tests.engines import reference_axle as reference

RIGID = ("lower_left", "lower_right", "watt_upper", "watt_lower")
SPRUNG = ("upper", "spring_left", "spring_right")


class Hit(NamedTuple):
    """Numbers of the case, SI; points as drawn in chassis axes, links in the order of RIGID, then SPRUNG."""

    centre: np.ndarray  # (3,) of mass
    mass: float
    inertia: np.ndarray  # (3,) about x, y, z
    inner: np.ndarray  # (7, 3) ends on the chassis, those of the Watt links on the bellcrank
    outer: np.ndarray  # (7, 3) ends on the axle
    pivot: np.ndarray  # (3,) of the bellcrank, which turns about x
    contacts: np.ndarray  # (2, 3)
    stiffness: np.ndarray  # (3,) of SPRUNG, N/m
    damping: np.ndarray  # (3,) N s/m
    preload: np.ndarray  # (3,) tension as drawn, N
    push: float  # N forward on each contact point
    load: float  # N up on each as drawn
    tyre_rate: float  # N/m
    gravity: float

    @property
    def lengths(self) -> np.ndarray:
        """Of all links as drawn, (7,)."""
        return np.linalg.norm(self.outer - self.inner, axis=1)


class History(NamedTuple):
    """What is compared, at `moments()`."""

    pitch: np.ndarray  # (200,) rad, nose down
    tension: np.ndarray  # (200,) N of the upper link

    def difference(self, other: History) -> tuple[float, float]:
        """Largest differences, rad and N."""
        return float(np.abs(self.pitch - other.pitch).max()), float(np.abs(self.tension - other.tension).max())


def hit() -> Hit:
    """The case."""
    points = np.array([reference.POINTS[name] for name in (*RIGID, *SPRUNG)])
    side = np.array([[0.0, reference.HALF_TRACK, 0.0], [0.0, -reference.HALF_TRACK, 0.0]])
    springs = -np.array(reference.statics()["spring_preload_compression_N"])
    return Hit(
        centre=reference.CENTRE,
        mass=reference.MASS,
        inertia=np.array(reference.INERTIA),
        inner=points[:, 0],
        outer=points[:, 1],
        pivot=np.array(reference.PIVOT),
        contacts=reference.CENTRE * np.array([1.0, 1.0, 0.0]) + side,
        stiffness=np.array([reference.UPPER_RATE, reference.SPRING_RATE, reference.SPRING_RATE]),
        damping=np.array([reference.UPPER_DAMPING, 0.0, 0.0]),
        preload=np.array([reference.statics()["design_link_forces_N"]["upper"], *springs]),
        push=reference.PUSH,
        load=reference.LOAD,
        tyre_rate=reference.TYRE_RATE,
        gravity=reference.G,
    )


def moments() -> np.ndarray:
    """(200,) s."""
    return reference.transient()["time"]


def known() -> History:
    """The reference."""
    found = reference.transient()
    return History(found["pitch"], found["upper_force"])

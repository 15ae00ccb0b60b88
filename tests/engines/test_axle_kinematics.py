"""441 poses of the reference axle, and how it moves at each, against other engines."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from axlewright.model.suspension import LENGTH_SCALE
from tests.engines.motion import OneBlock
from tests.engines.reference_axle import ARM, CENTRE, HALF_TRACK, PIVOT, POINTS, axle, poses

POSE = 1e-12  # m, rad: Newton ends below 1e-11 and its last step squares the error; engines agree to 1e-14
FIT = 1e-14  # m; some units in the last place of 2.75 m
# The reference differentiates its poses by central steps of 1e-4 m; steps of 1e-3 to 1e-5 agree to about 1e-6.
SLOPE = 3e-6
WHEELS = CENTRE + np.array([[0.0, HALF_TRACK, 0.0], [0.0, -HALF_TRACK, 0.0]])
CONTACTS = WHEELS - np.array([0.0, 0.0, CENTRE[2]])
LENGTH_OVER_HEIGHT = 2.75 / 0.50  # wheelbase and centre-of-mass height behind the reference's anti-squat


@cache
def solved() -> tuple[OneBlock, np.ndarray]:
    asked = poses()
    block = OneBlock.of(*axle(), batch=len(asked["zL"]))
    heights = CENTRE[2] + np.stack([asked["zL"], asked["zR"]])
    return block, block.reach(WHEELS, heights, np.zeros(len(asked["zL"])))


def test_the_points_keep_every_link_length_in_all_reference_poses():
    """The points of this package's axle are those of the reference: its own poses say so, without any of our code."""
    asked = poses()
    angle, pivot = asked["bellcrank"], np.array(PIVOT)[:, None]
    up = ARM * np.stack([0.0 * angle, -np.sin(angle), np.cos(angle)])
    for name, (a, b) in POINTS.items():
        if "spring" in name:
            continue
        inner = {"watt_upper": pivot + up, "watt_lower": pivot - up}.get(name, np.array(a)[:, None])
        outer = asked["centre"] + np.einsum("ijb,j->ib", asked["R"], np.array(b) - CENTRE)
        drawn = np.linalg.norm(np.array(b) - np.array(a))
        assert np.abs(np.linalg.norm(outer - inner, axis=0) - drawn).max() < FIT, name


def test_poses():
    block, motion = solved()
    asked = poses()
    assert np.abs(block.reference + motion[:3] - asked["centre"]).max() < POSE
    assert np.abs(block.rotation(motion) - asked["R"]).max() < POSE
    assert np.abs(motion[6] - asked["bellcrank"]).max() < POSE


class Moving:
    """Velocities of the axle at every pose for given speeds of the wheel centres' heights, by the exact derivatives."""

    def __init__(self, left: float, right: float) -> None:
        self.block, self.motion = solved()
        n, batch = self.motion.shape
        topology = self.block.topology
        _, slope = self.block.balance(self.motion, np.zeros((topology.n_forces, batch)), np.zeros(batch))
        kept = slope.motion[n : topology.size] / LENGTH_SCALE
        heights = [self.block.carried(self.motion, wheel)[1][2] for wheel in WHEELS]
        matrix = np.concatenate([kept, np.stack(heights)])
        asked = np.array([0.0] * len(kept) + [left, right])[None, :, None]
        self.rates = np.linalg.solve(np.moveaxis(matrix, -1, 0), asked)[:, :, 0].T

    def of(self, point: np.ndarray) -> np.ndarray:
        """Velocity of a body point, (3, B)."""
        return np.einsum("inb,nb->ib", self.block.carried(self.motion, point)[1], self.rates)

    @property
    def spin(self) -> np.ndarray:
        """Angular velocity (3, B), from the velocities of three arms at right angles."""
        turn = self.block.rotation(self.motion)
        arms = [(turn[:, i], self.of(CENTRE + np.eye(3)[i]) - self.of(CENTRE)) for i in range(3)]
        return 0.5 * np.sum([np.cross(arm, speed, axis=0) for arm, speed in arms], axis=0)


@pytest.fixture(scope="module")
def rolling() -> Moving:
    return Moving(1.0, -1.0)


def test_roll_steer(rolling):
    """Change of steer atan2(-a_x, a_y) over that of roll atan2(a_z, a_y), a the axle's own y axis."""
    x, y, z = poses()["R"][:, 1]
    dx, dy, dz = (rolling.of(WHEELS[0]) - rolling.of(WHEELS[1])) / (2.0 * HALF_TRACK)
    roll = (y * dz - z * dy) / (y * y + z * z)
    steer = (x * dy - y * dx) / (x * x + y * y)
    assert np.abs(steer / roll - poses()["roll_steer"]).max() < SLOPE


def test_roll_centre(rolling):
    """Height straight above or below the axle's centre at which the axle has no sideways velocity in roll."""
    height = poses()["centre"][2] + rolling.of(CENTRE)[1] / rolling.spin[0]
    assert np.abs(height - poses()["roll_centre"]).max() < SLOPE


def test_anti_squat():
    """Path slope of the contact points, fixed to the axle, when both wheels rise: virtual work of equal thrusts."""
    rising = Moving(1.0, 1.0)
    move = np.sum([rising.of(contact) for contact in CONTACTS], axis=0)
    share = -move[0] / move[2] * LENGTH_OVER_HEIGHT
    assert np.abs(share - poses()["anti_squat"] / 100.0).max() < SLOPE

"""The mechanism that every engine solves: teasel's rear axle with the drive link rigid, two wheel heights prescribed.

Two lower links, the drive link and two Watt links on a bellcrank that turns about x: five lengths and two heights for
seven unknowns. All engines start each pose from the drawn one and stop at the same closure.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.mechanism import Values

CLOSED = 1e-11  # m: largest error of a length or height at which a Newton of ours or an engine's stops
STEPS = 20  # Newton steps at most; the hardest pose of the grid needs 5
LINKS = ("lower_left", "lower_right", "drive_link", "watt_left", "watt_right")  # the Watt links last


class Axle(NamedTuple):
    """Drawn points in m, chassis axes: x forward, y left, z up."""

    middle: np.ndarray  # (3,) of the wheel centres
    wheels: np.ndarray  # (2, 3) wheel centres, left and right
    inner: np.ndarray  # (5, 3) ends of LINKS on the chassis, or on the bellcrank
    outer: np.ndarray  # (5, 3) ends on the axle
    pivot: np.ndarray  # (3,) of the bellcrank

    @property
    def lengths(self) -> np.ndarray:
        """Of the links, (5,)."""
        return np.linalg.norm(self.outer - self.inner, axis=1)


class Poses(NamedTuple):
    """Where the axle is in each of B poses."""

    middle: np.ndarray  # (B, 3) m
    rotation: np.ndarray  # (B, 3, 3) from the drawn pose
    bellcrank: np.ndarray  # (B,) rad about x

    def difference(self, other: Poses) -> float:
        """Largest difference of any number, m and rad."""
        return max(float(np.abs(a - b).max()) for a, b in zip(self, other, strict=True))


def axle_of(values: Values) -> Axle:
    """The axle of a described car whose rear copy has these links."""
    at = {key: np.asarray(value, dtype=float).ravel() for key, value in values.items() if np.size(value) == 3}
    wheels = np.stack([at["LR.centre"], at["RR.centre"]])
    return Axle(
        middle=wheels.mean(axis=0),
        wheels=wheels,
        inner=np.stack([at[f"rear.{name}.a"] for name in LINKS]),
        outer=np.stack([at[f"rear.{name}.b"] for name in LINKS]),
        pivot=at["rear.bellcrank.axis_a"],
    )


def rotation_of(half: np.ndarray) -> np.ndarray:
    """Rotations (B, 3, 3) of Rodrigues vectors (B, 3), tan(angle / 2) along the axis (Shuster, 1993, from memory)."""
    square = (half * half).sum(axis=-1)[:, None, None]
    x, y, z = half.T
    zero = np.zeros_like(x)
    cross = np.stack([zero, -z, y, z, zero, -x, -y, x, zero], axis=-1).reshape(-1, 3, 3)
    outer = half[:, :, None] * half[:, None]
    return ((1.0 - square) * np.eye(3) + 2.0 * (outer + cross)) / (1.0 + square)

"""SciPy: `root` (MINPACK's hybrid Powell method) with the closed-form slopes, pose by pose."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from scipy.optimize import root

from benchmarks.engines.axle import CLOSED, Axle, Poses, rotation_of

NAME = "SciPy root, analytic Jacobian"
NEEDS = "scipy"
STEP = 1e-13  # relative step at which MINPACK stops: the default of 1.5e-8 would leave more than CLOSED
_AFTER, _LAST = [1, 2, 0], [2, 0, 1]  # of a cross product


def solver(axle: Axle) -> Callable[[np.ndarray], Poses]:
    """Poses of wheel centres at heights (2, B), m."""
    on_axle = np.concatenate([axle.outer, axle.wheels]) - axle.middle
    arms, lengths = axle.inner[3:] - axle.pivot, axle.lengths
    inner, zero = axle.inner.copy(), np.zeros(7)
    matrix = np.zeros((7, 7))
    matrix[5:, 2] = 1.0

    def place(q: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Points of the axle from its middle (7, 3), spans of the links (5, 3), and bellcrank arms (2, 3)."""
        x, y, z = q[3:6]
        square = x * x + y * y + z * z
        cross = np.array([[0.0, z, -y], [-z, 0.0, x], [y, -x, 0.0]])  # transposed
        arm = on_axle + (2.0 / (1.0 + square)) * on_axle @ (cross + cross @ cross)
        cos, sin = math.cos(q[6]), math.sin(q[6])
        up = arms @ np.array([[1.0, 0.0, 0.0], [0.0, cos, sin], [0.0, -sin, cos]])
        inner[3:] = axle.pivot + up
        return arm, axle.middle + q[:3] + arm[:5] - inner, up

    def residual(q: np.ndarray, heights: np.ndarray) -> np.ndarray:
        arm, span, _ = place(q)
        return np.concatenate(
            [np.sqrt((span * span).sum(axis=1)) - lengths, axle.middle[2] + q[2] + arm[5:, 2] - heights]
        )

    def slope(q: np.ndarray, heights: np.ndarray) -> np.ndarray:
        del heights
        arm, span, up = place(q)
        line = span / np.sqrt((span * span).sum(axis=1))[:, None]
        matrix[:5, :3] = line
        x, y, z = q[3:6]
        # Angular velocity of a Rodrigues vector's rate: 2 (1 + [c]) / (1 + c c)
        to_spin = (2.0 / (1.0 + x * x + y * y + z * z)) * np.array([[1.0, -z, y], [z, 1.0, -x], [-y, x, 1.0]])
        turning = np.empty((7, 3))
        turning[:5] = (arm[:5, _AFTER] * line[:, _LAST]) - (arm[:5, _LAST] * line[:, _AFTER])
        turning[5:, 0], turning[5:, 1], turning[5:, 2] = arm[5:, 1], -arm[5:, 0], 0.0
        matrix[:, 3:6] = turning @ to_spin
        matrix[3:5, 6] = line[3:, 1] * up[:, 2] - line[3:, 2] * up[:, 1]
        return matrix.copy()

    def solve(heights: np.ndarray) -> Poses:
        found = np.empty((heights.shape[1], 7))
        for i, height in enumerate(heights.T):
            answer = root(residual, zero, args=(height,), jac=slope, method="hybr", options={"xtol": STEP})
            assert np.abs(answer.fun).max() < CLOSED, answer.message
            found[i] = answer.x
        return Poses(axle.middle + found[:, :3], rotation_of(found[:, 3:6]), found[:, 6])

    return solve

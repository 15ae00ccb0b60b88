"""NumPy: Newton by hand on closed-form lengths and slopes, all poses side by side."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from benchmarks.engines.axle import CLOSED, STEPS, Axle, Poses, rotation_of

NAME = "NumPy Newton, batched"
NEEDS = "numpy"


def solver(axle: Axle) -> Callable[[np.ndarray], Poses]:
    """Poses of wheel centres at heights (2, B), m."""
    outer, wheels = axle.outer - axle.middle, axle.wheels - axle.middle
    on_axle = np.concatenate([outer, wheels])
    arms, lengths = axle.inner[3:] - axle.pivot, axle.lengths

    def solve(heights: np.ndarray) -> Poses:
        batch = heights.shape[1]
        middle = np.tile(axle.middle, (batch, 1))
        half, angle = np.zeros((batch, 3)), np.zeros(batch)
        matrix = np.zeros((batch, 7, 7))
        error = np.inf
        for _ in range(STEPS):
            turn = rotation_of(half)
            arm = on_axle @ turn.swapaxes(1, 2)  # (B, 7, 3)
            cos, sin = np.cos(angle)[:, None], np.sin(angle)[:, None]
            y, z = arms[:, 1] * cos - arms[:, 2] * sin, arms[:, 1] * sin + arms[:, 2] * cos
            inner = np.broadcast_to(axle.inner, (batch, 5, 3)).copy()
            inner[:, 3:, 1], inner[:, 3:, 2] = axle.pivot[1] + y, axle.pivot[2] + z
            span = middle[:, None] + arm[:, :5] - inner
            length = np.sqrt((span * span).sum(axis=2))
            residual = np.concatenate([length - lengths, middle[:, 2:] + arm[:, 5:, 2] - heights.T], axis=1)
            error = np.abs(residual).max()
            if error < CLOSED:
                return Poses(middle, turn, angle)
            line = span / length[:, :, None]
            matrix[:, :5, :3], matrix[:, 5:, 2] = line, 1.0
            direction = np.zeros((batch, 7, 3))
            direction[:, :5], direction[:, 5:, 2] = line, 1.0
            matrix[:, :, 3:6] = np.cross(arm, direction)
            matrix[:, 3:5, 6] = line[:, 3:, 1] * z - line[:, 3:, 2] * y
            step = np.linalg.solve(matrix, -residual[:, :, None])[:, :, 0]
            middle = middle + step[:, :3]
            # Rate of a Rodrigues vector c for the angular velocity w: (w + w x c + (w . c) c) / 2
            spin = step[:, 3:6]
            half = half + 0.5 * (spin + np.cross(spin, half) + (spin * half).sum(axis=1)[:, None] * half)
            angle = angle + step[:, 6]
        raise AssertionError(f"poses not reached: {error} m")

    return solve

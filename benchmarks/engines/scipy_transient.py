"""SciPy: `solve_ivp` (DOP853) on a right-hand side in NumPy that solves for constraint forces (index 1)."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from scipy.integrate import solve_ivp

from benchmarks.engines.hit import RIGID, History, Hit, moments

NAME = "SciPy DOP853, forces in NumPy"
NEEDS = "scipy"
SETTINGS = (1e-6, 1e-8)  # relative and absolute tolerance
_AFTER, _LAST = [1, 2, 0], [2, 0, 1]  # of a cross product
POSE, RATE = slice(0, 8), slice(8, 15)  # of the state: place, quaternion and crank angle; their speeds


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return a[..., _AFTER] * b[..., _LAST] - a[..., _LAST] * b[..., _AFTER]


def _turned(q: np.ndarray) -> np.ndarray:
    """Rotation (3, 3) of a quaternion (4,)."""
    w, x, y, z = q
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
            [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
            [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
        ]
    )


def solver(hit: Hit, tolerance: float) -> Callable[[], History]:  # noqa: PLR0915
    """One run."""
    rigid, watt = len(RIGID), slice(2, 4)
    on_axle = np.concatenate([hit.outer, hit.contacts]) - hit.centre
    arms, inner, lengths = hit.inner[watt] - hit.pivot, hit.inner.copy(), hit.lengths
    links = len(lengths)
    matrix, right = np.zeros((7 + rigid, 7 + rigid)), np.zeros(7 + rigid)
    matrix[:3, :3] = hit.mass * np.eye(3)
    weight = np.array([0.0, 0.0, -hit.mass * hit.gravity])
    force, crank_arm, crank_speed = np.zeros((2, 3)), np.zeros((2, 3)), np.zeros((links, 3))
    rows = np.zeros((links, 7))

    def pulls(state: np.ndarray) -> tuple[np.ndarray, ...]:
        """Rows of all links (7, 7), their lengths and rates, and what else the right-hand side needs."""
        turn = _turned(state[3:7])
        arm, velocity, spin = on_axle @ turn.T, state[8:11], state[11:14]
        cos, sin, rate = math.cos(state[7]), math.sin(state[7]), state[14]
        crank_arm[:] = arms @ np.array([[1.0, 0.0, 0.0], [0.0, cos, sin], [0.0, -sin, cos]])
        inner[watt] = hit.pivot + crank_arm
        crank_speed[watt, 1], crank_speed[watt, 2] = -rate * crank_arm[:, 2], rate * crank_arm[:, 1]
        span = state[:3] + arm[:links] - inner
        length = np.sqrt((span * span).sum(axis=1))
        line = span / length[:, None]
        swing = _cross(np.broadcast_to(spin, arm.shape), arm)
        closing = velocity + swing[:links] - crank_speed
        rows[:, :3], rows[:, 3:6] = line, _cross(arm[:links], line)
        rows[watt, 6] = line[watt, 1] * crank_arm[:, 2] - line[watt, 2] * crank_arm[:, 1]
        return turn, arm, line, length, closing, (line * closing).sum(axis=1), swing

    def tensions(length: np.ndarray, rate: np.ndarray) -> np.ndarray:
        stretch = length[rigid:] - lengths[rigid:]
        return hit.preload + hit.stiffness * stretch + hit.damping * rate[rigid:]

    def slope(_: float, state: np.ndarray) -> np.ndarray:
        turn, arm, line, length, closing, rate, swing = pulls(state)
        spin, q = state[11:14], state[3:7]
        inertia = (turn * hit.inertia) @ turn.T
        matrix[3:6, 3:6] = inertia
        matrix[7:, :7], matrix[:7, 7:] = rows[:rigid], rows[:rigid].T
        force[:, 0] = hit.push
        force[:, 2] = hit.load - hit.tyre_rate * (state[2] + arm[links:, 2])
        right[:3] = weight + force.sum(axis=0)
        right[3:6] = _cross(arm[links:], force).sum(axis=0) - _cross(spin, inertia @ spin)
        right[6] = 0.0
        right[:7] -= tensions(length, rate) @ rows[rigid:]
        drawn_in = _cross(np.broadcast_to(spin, (rigid, 3)), swing[:rigid])
        drawn_in[watt, 1:] += state[14] ** 2 * crank_arm[:, 1:]
        whirl = ((closing * closing).sum(axis=1) - rate * rate)[:rigid] / length[:rigid]
        right[7:] = -(line[:rigid] * drawn_in).sum(axis=1) - whirl
        out = np.empty(15)
        out[:3], out[7] = state[8:11], state[14]
        out[3], out[4:7] = -0.5 * q[1:] @ spin, 0.5 * (q[0] * spin + _cross(spin, q[1:]))
        out[RATE] = np.linalg.solve(matrix, right)[:7]
        return out

    start = np.zeros(15)
    start[:3], start[3] = hit.centre, 1.0
    times = moments()

    def solve() -> History:
        found = solve_ivp(slope, (0.0, times[-1]), start, method="DOP853", t_eval=times, rtol=tolerance, atol=tolerance)
        assert found.success, found.message
        history = History(np.empty(len(times)), np.empty(len(times)))
        for i, state in enumerate(found.y.T):
            turn, _, _, length, _, rate, _ = pulls(state)
            history.pitch[i], history.tension[i] = -math.asin(turn[2, 0]), tensions(length, rate)[0]
        return history

    return solve

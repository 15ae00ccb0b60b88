"""Walking a solution curve F(x, lambda) = 0 by pseudo-arclength, through its folds, for a batch of members at once.

Keller's method (H. B. Keller, 1977; any text on continuation, from memory): the next point lies on the curve and on the
plane square to the tangent at the predicted distance, which stays regular where the derivative to x alone is singular.
Unknowns are scaled to order one. The linear algebra is dense and on the host; only the model's derivative is compiled.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from axlewright.solve.machine import Machine
from axlewright.solve.newton import TOLERANCE

CORRECTIONS = 10
CLOSE = 3e-9  # scaled residual of a point on the way; the final point is polished to the solver's own tolerance


@dataclass(frozen=True)
class Curve:
    """The curve of one batch: demand = base + lambda * direction, parameters fixed."""

    machine: Machine
    car: np.ndarray  # (parameters, B)
    base: np.ndarray  # (demands, B)
    direction: np.ndarray  # (demands, B)
    scale: np.ndarray  # (N + 1,) size of each unknown, lambda last

    def derivative(self, z: np.ndarray, members: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """F (b, N) and its scaled derivative (b, N, N + 1) at scaled z (N + 1, b) of some members."""
        x = z * self.scale[:, None]
        car, direction = self.car[:, members], self.direction[:, members]
        demand = self.base[:, members] + x[-1] * direction
        state = self.machine.packed(x[:-1])
        f, j = self.machine.linearise(car, demand, state)
        by_lambda = self.machine.push(car, demand, state, demand_change=direction)[1]
        full = np.concatenate([j, by_lambda[:, None]], axis=1) * self.scale[None, :, None]
        return f.T, np.moveaxis(full, -1, 0)

    def tangent(self, derivative: np.ndarray, guess: np.ndarray) -> np.ndarray:
        """Unit tangent (N + 1, b) along `guess`: J t = 0, guess . t = 1, normalised."""
        t = _solve(np.concatenate([derivative, guess.T[:, None]], axis=1), _last_one(guess)).T
        return t / np.linalg.norm(t, axis=0)

    def correct(
        self, start: np.ndarray, along: np.ndarray, members: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Newton onto the curve in the plane through `start` square to `along`: (z, tangent, ok)."""
        z, ok = start.copy(), np.zeros(start.shape[1], dtype=bool)
        tangent = along.copy()
        for _ in range(CORRECTIONS):
            todo = np.flatnonzero(~ok)
            if not todo.size:
                break
            f, j = self.derivative(z[:, todo], members[todo])
            size = np.abs(f).max(axis=1)
            there = size < CLOSE
            tangent[:, todo] = self.tangent(j, along[:, todo])
            ok[todo[there]] = True
            go = ~there & np.isfinite(size)
            if not go.any():
                break
            plane = ((z - start)[:, todo[go]] * along[:, todo[go]]).sum(axis=0)
            matrix = np.concatenate([j[go], along[:, todo[go]].T[:, None]], axis=1)
            step = -_solve(matrix, np.concatenate([f[go], plane[:, None]], axis=1)).T
            step *= np.minimum(1.0, 5.0 / np.maximum(np.abs(step).max(axis=0), 1e-300))
            z[:, todo[go]] += step
        return z, tangent, ok & np.isfinite(z).all(axis=0)


def _last_one(like: np.ndarray) -> np.ndarray:
    right = np.zeros(like.T.shape)
    right[:, -1] = 1.0
    return right


def _solve(matrix: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Batched solve; a singular member gives NaN instead of stopping the batch."""
    try:
        return np.linalg.solve(matrix, right[..., None])[..., 0]
    except np.linalg.LinAlgError:
        out = np.full(right.shape, np.nan)
        for i in range(len(matrix)):
            try:
                out[i] = np.linalg.solve(matrix[i], right[i])
            except np.linalg.LinAlgError:
                continue
        return out


def unknown_scale(machine: Machine) -> np.ndarray:
    """Size of each unknown, lambda (a share of the demand) last: 10 mm, 10 mrad, 1 kN, 1 % slip, ..."""
    sizes: list[float] = []
    for block in machine.topology.blocks:
        own = [0.01] * block.n_motion + [1e3] * block.n_forces
        sizes += own * block.n_copies
    by_name = {
        "heave": 0.01,
        "pitch": 0.01,
        "roll": 0.01,
        "rack": 0.01,
        "sideslip": 0.01,
        "effort": 1e3,
        "difference": 100.0,
    }
    for name in machine.topology.border:
        sizes.append(by_name.get(name, 0.01 if name.startswith("slip") else 0.01 if name == "twist" else 100.0))
    return np.array([*sizes, 0.1])


__all__ = ["CLOSE", "TOLERANCE", "Curve", "unknown_scale"]

"""Walking a solution curve F(x, lambda) = 0 by pseudo-arclength, through its folds, for a batch of members at once.

Keller's method (H. B. Keller, 1977; any text on continuation, from memory): the next point lies on the curve and on the
plane square to the tangent at the predicted distance, which stays regular where the derivative to x alone is singular.
Unknowns are scaled to order one. The linear algebra is dense and on the host; only the model's derivative is compiled.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from axlewright.solve.machine import Machine

CORRECTIONS = 10
CLOSE = 3e-9  # scaled residual of a point on the curve: 3e-6 N


@dataclass(frozen=True)
class Curve:
    """The curve of one batch: demand = base + lambda * direction, parameters fixed."""

    machine: Machine
    car: np.ndarray  # (parameters, B)
    base: np.ndarray  # (demands, B)
    direction: np.ndarray  # (demands, B)
    scale: np.ndarray  # (N + 1,) size of each unknown, lambda last

    def residual(self, z: np.ndarray, members: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """F (b, N) and its scaled derivative to the unknowns (b, N, N) at scaled z (N + 1, b) of some members."""
        f, j = self.machine.linearise(*self._at(z, members))
        return f.T, np.moveaxis(j * self.scale[None, :-1, None], -1, 0)

    def pull(self, z: np.ndarray, members: np.ndarray) -> np.ndarray:
        """Scaled derivative of F to lambda, (b, N)."""
        return self.machine.push(*self._at(z, members), demand_change=self.direction[:, members])[1].T * self.scale[-1]

    def _at(self, z: np.ndarray, members: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        x = z * self.scale[:, None]
        demand = self.base[:, members] + x[-1] * self.direction[:, members]
        return self.car[:, members], demand, self.machine.packed(x[:-1])

    def tangent(self, j: np.ndarray, pull: np.ndarray, guess: np.ndarray) -> np.ndarray:
        """Unit tangent (N + 1, b) along `guess`: J t + pull t_lambda = 0, guess . t = 1, normalised."""
        t = _solve(_bordered(j, pull, guess), _last_one(guess)).T
        return t / np.linalg.norm(t, axis=0)

    def correct(
        self,
        start: np.ndarray,
        along: np.ndarray,
        members: np.ndarray,
        guess: np.ndarray | None = None,
        close: float = CLOSE,
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Newton onto the curve in the plane through `start` square to `along`: (z, tangent, ok).

        Begins at `guess` (in that plane) or at `start`. The pull of lambda changes little on the way and is taken once:
        the solution doesn't depend on it, nor does where the tangent's lambda component vanishes.
        """
        z, ok = (start if guess is None else guess).copy(), np.zeros(start.shape[1], dtype=bool)
        tangent = along.copy()
        pull = self.pull(z, members)
        for _ in range(CORRECTIONS):
            todo = np.flatnonzero(~ok)
            if not todo.size:
                break
            f, j = self.residual(z[:, todo], members[todo])
            size = np.abs(f).max(axis=1)
            there = size < close
            ok[todo[there]] = True
            done = todo[there]
            tangent[:, done] = self.tangent(j[there], pull[done], along[:, done])
            go = ~there & np.isfinite(size)
            if not go.any():
                break
            moving = todo[go]
            plane = ((z - start)[:, moving] * along[:, moving]).sum(axis=0)
            matrix = _bordered(j[go], pull[moving], along[:, moving])
            step = -_solve(matrix, np.concatenate([f[go], plane[:, None]], axis=1)).T
            step *= np.minimum(1.0, 5.0 / np.maximum(np.abs(step).max(axis=0), 1e-300))
            z[:, moving] += step
        return z, tangent, ok & np.isfinite(z).all(axis=0)


def _bordered(j: np.ndarray, pull: np.ndarray, along: np.ndarray) -> np.ndarray:
    """(b, N + 1, N + 1): the derivative with lambda's column, and the plane's row."""
    return np.concatenate([np.concatenate([j, pull[..., None]], axis=2), along.T[:, None]], axis=1)


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

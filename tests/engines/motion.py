"""Prescribed motion and statics of one block by the package's own balances and derivatives: small Newton solvers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import jax
import jax.numpy as jnp
import numpy as np

from axlewright.car.mechanism import Mechanism
from axlewright.model.assemble import assemble
from axlewright.model.parameters import BlockParameters
from axlewright.model.suspension import FORCE_SCALE, LENGTH_SCALE, Balance, Derivatives, derivatives, placed
from axlewright.model.topology import BlockTopology, Topology
from axlewright.model.vectors import cayley, cayley_rate

STEPS = 12  # Newton steps; the hardest pose needs 6
CLOSED = 1e-11  # m and kN, kN m: the tolerance that the reference solvers worked to


@partial(jax.jit, static_argnums=0)
def _derivatives(
    topology: BlockTopology, p: BlockParameters, motion: jax.Array, rack: jax.Array, forces: jax.Array
) -> tuple[Balance, Derivatives]:
    bars = jnp.zeros((len(topology.bar_ends), *motion.shape[1:]))
    return derivatives(topology, p, motion, rack, forces, bars)


@dataclass(frozen=True)
class OneBlock:
    """One block with one copy and one body, chassis held still; arrays (n, B)."""

    topology: BlockTopology
    p: BlockParameters

    @staticmethod
    def of(mechanism: Mechanism, values: dict, batch: int) -> OneBlock:
        """The only block of a mechanism."""
        topology = Topology(mechanism)
        return OneBlock(topology.blocks[0], assemble(topology, values, batch).blocks[0])

    @property
    def reference(self) -> np.ndarray:
        """The body's reference point at the drawn pose, (3, B)."""
        return np.asarray(self.p.body_at[:, 0, 0])

    def balance(self, motion: np.ndarray, forces: np.ndarray, rack: np.ndarray) -> tuple[Balance, Derivatives]:
        """The package's balances and derivatives, scaled as `Balance.rows`; copy axis taken out."""
        found = _derivatives(self.topology, self.p, motion[:, None], rack, forces[:, None])
        return jax.tree.map(lambda x: np.asarray(x).squeeze(-2), found)

    def points(self, motion: np.ndarray, rack: np.ndarray) -> np.ndarray:
        """Present positions of all link ends and joints, (3, points, B)."""
        return np.asarray(placed(self.topology, self.p, jnp.asarray(motion[:, None]), jnp.asarray(rack)).points)[
            :, :, 0
        ]

    def rotation(self, motion: np.ndarray) -> np.ndarray:
        """The body's rotation relative to the chassis, (3, 3, B)."""
        return np.asarray(cayley(jnp.asarray(motion[3:6])))

    def carried(self, motion: np.ndarray, drawn: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """A body point (3,) drawn at `drawn`: its position (3, B) and derivative (3, motions, B)."""
        arm = np.einsum("ijb,jb->ib", self.rotation(motion), drawn[:, None] - self.reference)
        rate = np.zeros((3, *motion.shape))
        rate[:, :3] = np.eye(3)[:, :, None]
        rate[:, 3:6] = np.einsum("ijb,jkb->ikb", -_cross(arm), np.asarray(cayley_rate(jnp.asarray(motion[3:6]))))
        return self.reference + motion[:3] + arm, rate

    def reach(self, marks: np.ndarray, heights: np.ndarray, rack: np.ndarray) -> np.ndarray:
        """Motion (motions, B) at which body points `marks` (k, 3) are at `heights` (k, B), all rigid links kept."""
        n, batch = self.topology.n_motion, heights.shape[-1]
        motion, forces = np.zeros((n, batch)), np.zeros((self.topology.n_forces, batch))
        error = np.inf
        for _ in range(STEPS):
            found, slope = self.balance(motion, forces, rack)
            carried = [self.carried(motion, mark) for mark in marks]
            high = np.stack([at[2] for at, _ in carried]) - heights
            residual = np.concatenate([found.length_error, found.closure, high])
            kept = slope.motion[n : self.topology.size] / LENGTH_SCALE
            matrix = np.concatenate([kept, np.stack([rate[2] for _, rate in carried])])
            error = float(np.abs(residual).max())
            if error < CLOSED:
                return motion
            motion = motion - _solve(matrix, residual)
        raise AssertionError(f"prescribed motion not reached: {error} m")

    def settle(self, loads: list[tuple[np.ndarray, np.ndarray]], motion: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Equilibrium (motion, forces), each (n, 1), under dead loads: (body point (3,), force (3,) N) pairs."""
        n, rack = self.topology.n_motion, np.zeros(1)
        forces, error = np.zeros((self.topology.n_forces, 1)), np.inf
        for _ in range(3 * STEPS):
            found, slope = self.balance(motion, forces, rack)
            matrix = np.concatenate([slope.motion, slope.forces], axis=1)[: self.topology.size]
            outside = np.zeros((n, 1))
            for drawn, force in loads:
                at, rate = self.carried(motion, drawn)
                arm = at - self.reference - motion[:3]
                outside[:6, 0] += np.concatenate([force, np.cross(arm[:, 0], force)])
                turned = -np.einsum("ijb,jkb->ikb", _cross(force[:, None]), rate[:, 3:6])
                matrix[3:6, 3:6] += FORCE_SCALE * turned
            balance = (found.motion + outside) * FORCE_SCALE
            residual = np.concatenate([balance, found.length_error * LENGTH_SCALE, found.closure * LENGTH_SCALE])
            error = float(np.abs(residual).max())
            if error < CLOSED:
                return motion, forces
            step = _solve(matrix, residual)
            step = step * min(1.0, 0.1 / float(np.abs(step[:n]).max()))
            motion, forces = motion - step[:n], forces - step[n:]
        raise AssertionError(f"no equilibrium found: {error}")


def _solve(matrix: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Solve matrix (n, n, B) x = right (n, B)."""
    return np.linalg.solve(np.moveaxis(matrix, -1, 0), right.T[:, :, None])[:, :, 0].T


def _cross(a: np.ndarray) -> np.ndarray:
    """[a]x of (3, B), as (3, 3, B)."""
    x, y, z = a
    zero = np.zeros_like(x)
    return np.array([[zero, -z, y], [z, zero, -x], [-y, x, zero]])

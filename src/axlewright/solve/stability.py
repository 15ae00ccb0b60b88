"""Whether a held car would stay in its turn with the steering wheel held still."""

from __future__ import annotations

import numpy as np

from axlewright.solve.solved import Solved


def rack_by_acceleration(solved: Solved) -> np.ndarray:
    """Change of the rack with sideways acceleration at constant speed, both to the left, m per m/s2, (B,).

    Positive below the critical speed, any car's when slow: L/V^2 + K of the linear car. By Cramer's rule its sign is
    that of the determinant of the balances of side force and yaw moment to sideslip and yaw rate, everything else
    following: negative where a held wheel lets the car turn in further and further (any text on vehicle dynamics, from
    memory).
    NaN at rest and at standstill, where no turn is defined.
    """
    moving = np.asarray(solved.asked.inverse_speed_squared) > 0
    found = np.full(solved.batch, np.nan)
    if moving.any():
        part = solved.take(np.flatnonzero(moving))
        zero = np.zeros(part.batch)
        nothing = type(part.asked)(*(np.zeros_like(np.asarray(field)) for field in part.asked))
        by_side = nothing._replace(force=np.stack([zero, zero - 1.0, zero]), ay=zero + 1.0)
        topology = part.machine.topology
        row = part.machine.flat_size - topology.n_border + topology.border.index("rack")
        found[moving] = part.response(by_side)[row]
    return found


def past_critical_speed(solved: Solved) -> np.ndarray:
    """Whether the car is unstable in its turn: an oversteering car above its critical speed, (B,) bool."""
    return rack_by_acceleration(solved) < 0.0

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
    machine = solved.machine
    zero = np.zeros_like(np.asarray(solved.asked.ay))
    by_side = type(solved.asked)(*(np.zeros_like(np.asarray(field)) for field in solved.asked))
    by_side = by_side._replace(force=np.stack([zero, zero - 1.0, zero]), ay=zero + 1.0)
    pushed = machine.push(solved.car, solved.demand, solved.state, demand_change=machine.form.demand.pack(by_side))[1]
    moving = np.asarray(solved.asked.inverse_speed_squared) > 0
    derivative = solved.linear[1].transpose(2, 0, 1)
    slope = np.full(solved.batch, np.nan)
    row = machine.flat_size - machine.topology.n_border + machine.topology.border.index("rack")
    slope[moving] = -np.linalg.solve(derivative[moving], pushed.T[moving][..., None])[:, row, 0]
    return slope


def past_critical_speed(solved: Solved) -> np.ndarray:
    """Whether the car is unstable in its turn: an oversteering car above its critical speed, (B,) bool."""
    return rack_by_acceleration(solved) < 0.0

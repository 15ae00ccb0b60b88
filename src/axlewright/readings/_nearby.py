"""Two neighbouring states a little before and after each member along a change of its demand, to first order.

The unknowns move by dx = -J^-1 F_demand: readings between the two are derivatives along that path, at the cost of one
derivative of the model a member and no further solve. At the corner of a stop or a slack link it is one side's slope.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from axlewright.model.parameters import Demand
from axlewright.readings._frames import STRAIGHT
from axlewright.solve.solved import Solved

ACCELERATION = 1e-4  # m/s2 between a state and each neighbour: far above rounding, below what any path bends over


def constant_radius(asked: Demand) -> Demand:
    """Change of the demand per m/s2 of centripetal acceleration towards the turn, the path kept; ISO 4138 5.2.

    In a straight line, where no speed gives the acceleration, the speed is kept instead, to the left.
    """
    ay, inverse = np.asarray(asked.ay), np.asarray(asked.inverse_speed_squared)
    turning = np.abs(ay) > STRAIGHT
    towards, size = np.where(turning, np.sign(ay), 1.0), np.where(turning, np.abs(ay), 1.0)
    speed = np.where(turning, np.asarray(asked.speed) / (2.0 * size), 0.0)
    return _none(asked)._replace(
        force=np.stack([np.zeros_like(ay), -towards, np.zeros_like(ay)]),
        ay=towards,
        speed=speed,
        inverse_speed_squared=np.where(turning, -inverse / size, 0.0),
    )


def more_forward(asked: Demand) -> Demand:
    """Change of the demand per m/s2 of forward acceleration, speed and turn kept."""
    one = np.ones_like(np.asarray(asked.ax))
    return _none(asked)._replace(force=np.stack([-one, 0.0 * one, 0.0 * one]), ax=one)


def slope(solved: Solved, path: Callable[[Demand], Demand], read: Callable[[Solved], np.ndarray]) -> np.ndarray:
    """Derivative of a reading along a path, per m/s2, (B,)."""
    before, after = neighbours(solved, path)
    return (read(after) - read(before)) / (2.0 * ACCELERATION)


def neighbours(solved: Solved, path: Callable[[Demand], Demand]) -> tuple[Solved, Solved]:
    """The states before and after; worked out once a batch and path."""
    store, key = vars(solved), f"neighbours along {path.__name__}"
    if key not in store:
        store[key] = _neighbours(solved, path(solved.asked))
    return store[key]


def _neighbours(solved: Solved, change: Demand) -> tuple[Solved, Solved]:
    machine, size = solved.machine, ACCELERATION
    direction = machine.form.demand.pack(change)
    step = size * solved.response(change)
    flat = machine.flat(solved.state)

    def at(sign: float) -> Solved:
        state = machine.packed(flat + sign * step)
        demand = solved.demand + sign * size * direction
        return Solved(machine, solved.car, demand, state, solved.error, solved.result, solved.rest)

    return at(-1.0), at(1.0)


def _none(asked: Demand) -> Demand:
    return Demand(*(np.zeros_like(np.asarray(field)) for field in asked))

"""Driven wheels in a turn: each follows its own path. Geometry of a turn, any text; the locked axle's push as Milliken,
Race Car Vehicle Dynamics, ch. 20, describes it (from memory).
"""

from __future__ import annotations

import numpy as np

from axlewright.solve.demand import held_demand
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved
from axlewright.solve.verbs import hold_batch, machine_of
from tests.cars import TEASEL

TRACK, SPEED, AY = 1.56, 20.0, 1.0  # m, m/s, m/s2
SPOOL, OPEN = 1e6, 0.0  # N m of preload
SLIPS = 0.03  # of the difference: the heading's and the wheels' own angles, toe, and the square of the slips
OPENED = 1e-3  # N m: what an open differential holds


def turning(preload: float) -> Solved:
    machine: Machine = machine_of(TEASEL.car)
    values = {**machine.values, "driveline.preload": preload, "driveline.lock_drive": 0.0, "driveline.lock_coast": 0.0}
    one = np.ones(1)
    demand = held_demand(
        ax=0 * one, ay=AY * one, speed=SPEED * one, effort=np.array(["engine"]), grip=one, road_height=np.zeros((4, 1))
    )
    return hold_batch(machine, machine.parameters(values), machine.form.demand.pack(demand))


def difference(solved: Solved) -> float:
    """How much faster the outer wheel would turn if both rolled: longer path, smaller rolling radius under its load."""
    radii = solved.wheel("rolling_radius")[2:, 0]
    return TRACK / (SPEED**2 / AY) + (radii[0] - radii[1]) / radii.mean()


def test_a_spool_drags_the_inner_wheel_round():
    """Wheels that turn alike on paths of different length slip by track over radius between them."""
    locked = turning(SPOOL)
    slips = locked.unknowns.border[7:11, 0]
    assert abs((slips[2] - slips[3]) / difference(locked) - 1.0) < SLIPS


def test_a_spool_pushes():
    locked, free = turning(SPOOL), turning(OPEN)
    assert abs(free.border("difference")[0]) < OPENED
    forces = locked.wheel("longitudinal")[2:, 0]
    assert forces[0] > forces[1]  # left turn: the inner wheel drives, the outer one drags, against the turn
    assert locked.border("rack")[0] > free.border("rack")[0]


def test_an_open_differential_lets_them_turn_as_they_roll():
    free = turning(OPEN)
    turn = free.wheel("turning")[2:, 0]
    assert abs((turn[1] - turn[0]) / turn.mean() / difference(free) - 1.0) < SLIPS

"""Brake: a capacity, not a torque. A locked wheel is a state of its own.

The brake opposes the wheel's spin against its carrier with a magnitude of at most gain x effort. With

    surplus = T_drive - gain * effort + tyre moment - drag - spin-up        N m, positive = would spin the wheel up

(the spin balance of the design, brake at full capacity) a rolling wheel has surplus = 0 and slip ratio > -1. A locked
wheel has slip ratio = -1 and surplus < 0: the brake then needs only capacity + surplus. Both states are

    min(slip ratio + 1, -surplus / scale) = 0

a complementarity in its plainest form (any text on contact mechanics; from memory). Valid for a car that rolls forward.
"""

from __future__ import annotations

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule

SCALE = 1000.0  # N m that weigh as much as slip ratio 1; only conditions the solver


def gains(total: Array, front_share: Array) -> tuple[Array, Array]:
    """(front, rear) capacity of one wheel, N m, when all four together have `total` N m and the front has its share."""
    return 0.5 * total * front_share, 0.5 * total * (1.0 - front_share)


def capacity(gain: Array, effort: Array) -> Array:
    """Most torque the brake can hold, N m: gain N m per unit of effort, effort >= 0."""
    return gain * effort


def residual(slip_ratio: Array, surplus: Array, scale: Array = SCALE, xp: ArrayModule = np) -> Array:
    """Zero for a braked wheel that rolls (surplus 0) or is locked (slip ratio -1, surplus < 0); no unit."""
    return xp.minimum(slip_ratio + 1.0, -surplus / scale)


def torque(full: Array, surplus: Array, xp: ArrayModule = np) -> Array:
    """Brake torque in N m, a magnitude: the capacity `full` while rolling, what it takes to hold while locked."""
    return full + xp.minimum(surplus, 0.0)

"""Differential: how far the two half shafts' torques may differ.

T_left + T_right = T_axle and dT = T_left - T_right is an unknown of the car. Clutches or preload carry any dT up to
T_lock while the wheels turn together, and exactly T_lock against the faster wheel while they don't:

    dT = clip(dT - c (w_left - w_right), -T_lock, T_lock)        T_lock = preload + lock |T_axle|

which is Coulomb friction written as a projection: exact, with no creep (any text on contact mechanics; from memory).
An open differential has a small preload and no lock; a spool has preload = inf.
"""

from __future__ import annotations

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule

SCALE = 10.0  # N m s/rad; c only weighs speed against torque in the solver, the solution doesn't depend on it


def lock_torque(preload: Array, lock: Array, axle_torque: Array, xp: ArrayModule = np) -> Array:
    """T_lock in N m. `lock` is a share, the drive or the coast one as the phase's effort says; preload inf = spool."""
    return preload + lock * xp.abs(axle_torque)


def half_shaft(side: Array, axle_torque: Array, torque_difference: Array) -> Array:
    """Torque that a half shaft puts on its wheel, N m; side +1 left, -1 right, 0 for a wheel that isn't driven."""
    return 0.5 * (abs(side) * axle_torque + side * torque_difference)


def residual(
    torque_difference: Array, speed_difference: Array, limit: Array, scale: Array = SCALE, xp: ArrayModule = np
) -> Array:
    """Zero where the differential's law holds, N m.

    torque_difference dT = left - right, N m; speed_difference w_left - w_right, rad/s; limit T_lock, N m (inf is safe);
    scale c > 0, N m s/rad. Its slope is c to the speeds while locked and 1 to dT while slipping.
    """
    return torque_difference - xp.clip(torque_difference - scale * speed_difference, -limit, limit)

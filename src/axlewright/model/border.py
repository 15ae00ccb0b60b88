"""The equations that couple the blocks: chassis balance, differential, wheel spins, bars and chassis twist.

Rows, in the order of the border unknowns they chiefly determine: Fz (heave), My (pitch), Mx (roll), Mz (rack), Fy
(sideslip), Fx (effort) of the chassis about its origin, differential law, one spin balance a wheel, one law a bar,
twist. At rest on slip plates Mz, Fy, Fx, the differential and the spins are identically satisfied; their rows then hold
the unknowns that have no meaning at rest at zero, which leaves exactly the reduced system.
"""

from __future__ import annotations

from typing import NamedTuple

import jax.numpy as jnp

from axlewright.model.ground import Attitude, specific_load
from axlewright.model.parameters import CarParameters, Demand
from axlewright.model.suspension import FORCE_SCALE
from axlewright.model.vectors import Array, cross, rotate_back
from axlewright.parts import aero, brake, differential

WRENCH_ROWS = (2, 4, 3, 5, 1, 0)  # chassis wrench component of border rows 0..5
LAW_ROW = 6
TORQUE_SCALE = 1.0 / brake.SCALE
# N m per rad/m of spin difference: weight inside the differential's projection, no effect on its root
SPIN_PER_TORQUE = 1e4


class Gathered(NamedTuple):
    """What the blocks hand to the border, summed or listed over the whole car."""

    wrench: Array  # (6, B) N, N m on the chassis from all links, about the chassis origin
    spin: Array  # (wheels, B) N m
    turning: Array  # (B,) rad/m, left minus right driven wheel
    arm_difference: Array  # (bars, B) rad, left minus right arm angle; their sum for a third spring
    rear_moment: Array  # (B,) N m about the twist axis from the rear blocks


def chassis_wrench(p: CarParameters, demand: Demand, road: Attitude) -> Array:
    """Weight, inertia and air forces on the chassis, chassis axes about its origin, (6, B)."""
    force = _sprung_loads(p, demand, road)
    zero = jnp.zeros_like(demand.ax)
    yaw = jnp.stack([zero, zero, -p.sprung_yaw_inertia * demand.yaw_acceleration])
    total = force.sum(axis=1)
    moment = cross(p.mass_at, force).sum(axis=1) + rotate_back(road.rotation, yaw)
    for push, at in air(p, demand.speed):
        turned = rotate_back(road.rotation, push)
        total, moment = total + turned, moment + cross(at, turned)
    return jnp.concatenate([total, moment])


def _sprung_loads(p: CarParameters, demand: Demand, road: Attitude) -> Array:
    """Weight and inertia of each sprung mass, N, chassis axes, (3, items, B)."""
    return rotate_back(road.rotation, specific_load(demand, road, p.centre, p.mass_at) * p.mass)


def air(p: CarParameters, speed: Array) -> list[tuple[Array, Array]]:
    """(force in road axes, chassis point) of drag and of front and rear downforce."""
    drag, front, rear = aero.loads(p.aero, speed, p.air_density)
    zero = jnp.zeros_like(drag)
    return [
        (jnp.stack([-drag, zero, zero]), jnp.stack([p.centre[0], zero, p.aero.drag_height])),
        (jnp.stack([zero, zero, -front]), jnp.stack([p.aero.x_front, zero, zero])),
        (jnp.stack([zero, zero, -rear]), jnp.stack([p.aero.x_rear, zero, zero])),
    ]


def axle_torque(demand: Demand, effort: Array) -> Array:
    """Torque of the engine on the driven axle, N m; zero when the effort is the brakes."""
    return effort * (1.0 - demand.braking)


def rows(
    p: CarParameters, demand: Demand, road: Attitude, gains: Array, driven: Array, border: Array, gathered: Gathered
) -> Array:
    """Border residual `(n, B)`, scaled: kN, kN m, rad, slip.

    gains: (wheels, B) brake capacity per effort; driven: (wheels, B) +1 left, -1 right driven wheel, 0 free.
    """
    nw, nb = gains.shape[0], gathered.arm_difference.shape[0]
    rack, sideslip, effort, difference = border[3], border[4], border[5], border[6]
    slips, bars = border[7 : 7 + nw], border[7 + nw : 7 + nw + nb]
    held = demand.rolling > 0
    wrench = (gathered.wrench + chassis_wrench(p, demand, road)) * FORCE_SCALE
    heave, pitch, roll, yaw, side, forward = (wrench[i] for i in WRENCH_ROWS)
    torque = axle_torque(demand, effort)
    share = jnp.where(demand.coasting > 0, p.lock_coast, p.lock_drive)
    limit = differential.lock_torque(p.difference_preload, share, torque, xp=jnp)
    law = differential.residual(difference, gathered.turning, limit, SPIN_PER_TORQUE, xp=jnp)
    drive = differential.half_shaft(driven, torque, difference)
    surplus = gathered.spin + drive - brake.capacity(gains, effort * demand.braking)
    braked = -brake.residual(slips, surplus, xp=jnp)
    spin = jnp.where(demand.braking > 0, braked, surplus * TORQUE_SCALE)
    out = [
        jnp.stack([heave, pitch, roll]),
        jnp.where(
            held, jnp.stack([yaw, side, forward]), jnp.stack([rack - p.rack_travel, sideslip, effort * TORQUE_SCALE])
        ),
        jnp.where(held, law, difference)[None] * TORQUE_SCALE,
        jnp.where(held, spin, slips),
        (bars - p.bar_stiffness * (gathered.arm_difference - p.bar_neutral)) * TORQUE_SCALE,
    ]
    if border.shape[0] > 7 + nw + nb:
        moment = gathered.rear_moment + p.twist_rear_share * _sprung_moment(p, demand, road)
        out.append((border[7 + nw + nb] - p.twist_compliance * (moment - p.twist_neutral))[None])
    return jnp.concatenate(out)


def _sprung_moment(p: CarParameters, demand: Demand, road: Attitude) -> Array:
    """Moment of the sprung loads about the twist axis, N m."""
    force = _sprung_loads(p, demand, road)
    return (p.mass_at[1] * force[2] - (p.mass_at[2] - p.twist_height) * force[1]).sum(axis=0)

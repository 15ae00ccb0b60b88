"""Wheels and tyres of one block in motion, road axes.

A contact patch follows the wheel with a lag: it is carried away from the wheel by slip and comes back as the tyre
rolls (`parts.tyre_lag`). Its forces are those of the held tyre law at the slip that the deflection stands for, so a
wheel that keeps its slip ends where the held state is. Spin is counted against the road's axes, not the carrier's: what
turns with the wheel's carrier does not roll the tyre.
"""

from __future__ import annotations

from typing import NamedTuple

import jax.numpy as jnp

from axlewright.model.ground import Footprint, Stance, footprint, rolling_radius
from axlewright.model.moving.parameters import MovingWheels
from axlewright.model.parameters import Wheels
from axlewright.model.vectors import Array, cross, dot
from axlewright.parts import TyreLaw
from axlewright.parts.tyre import vertical_load
from axlewright.parts.tyre_lag import lag_rate, low_speed_loss, relaxation_lengths


class Carried(NamedTuple):
    """How wheels are carried, road axes, (3, wheels, c, B)."""

    velocity: Array  # of the wheel centre
    turning: Array  # of its carrier


class Rolling(NamedTuple):
    """What the tyres do; (wheels, c, B) unless said, forces in tyre axes, N."""

    at: Footprint
    load: Array
    longitudinal: Array
    lateral: Array
    slip_ratio: Array
    slip_angle: Array
    lag_rate: Array  # (2, wheels, c, B) m/s
    force: Array  # (3, ...) on the wheel, road axes
    moment: Array  # (3, ...) about its centre
    point_velocity: Array  # (3, ...) of the contact centre without the wheel's spin


def rolling(
    law: TyreLaw,
    w: Wheels,
    moving: MovingWheels,
    where: Stance,
    frames: tuple[int, ...],
    carried: Carried,
    speed_of_tread: Array,
    lag: Array,
    height: Array,
    height_rate: Array,
    grip: Array,
) -> Rolling:
    """Tyre forces. speed_of_tread: (wheels, c, B) rad/s of the belt, or of the rim; lag (2, wheels, c, B) m."""
    n, centre = where.axis, where.centre(frames)
    at = footprint(w.free_radius, height, centre, n)
    arm = at.point - centre
    swing = carried.turning - n * dot(n, carried.turning)
    velocity = carried.velocity + cross(swing, arm)
    yawing = n[2] * carried.turning[2]  # what a leaning wheel has of the car's yaw rate about its own axis
    along = velocity[0] * at.forward[0] + velocity[1] * at.forward[1] - yawing * (w.free_radius - at.deflection)
    across = velocity[1] * at.forward[0] - velocity[0] * at.forward[1]
    closing = -(velocity[2] - height_rate) / at.upright
    load = vertical_load(w.tyre, at.deflection + moving.vertical_loss * closing, w.pressure, xp=jnp)
    slipping = jnp.stack([(speed_of_tread - yawing) * rolling_radius(w.free_radius, at.deflection) - along, across])
    length = relaxation_lengths(law, w.tyre, load, moving.contact_length, xp=jnp)
    rate = lag_rate(lag, slipping, along, length, xp=jnp)
    lively = (lag + low_speed_loss(along, xp=jnp) * rate) / length
    ratio, angle = lively[0], jnp.arctan(lively[1])
    fx, fy = law.forces(w.tyre, load, angle, ratio, at.inclination, grip, xp=jnp)
    force = jnp.stack([fx * at.forward[0] - fy * at.forward[1], fx * at.forward[1] + fy * at.forward[0], load])
    return Rolling(at, load, fx, fy, ratio, angle, rate, force, moment=cross(arm, force), point_velocity=velocity)

"""Where drive and brake torques go: on which body, part or chassis each one acts and reacts."""

from __future__ import annotations

from typing import NamedTuple

import jax.numpy as jnp

from axlewright.car.mechanism import Wheel
from axlewright.model.parameters import BlockParameters, CarParameters
from axlewright.model.topology import BlockTopology
from axlewright.model.vectors import Array, dot


class Torques(NamedTuple):
    """Loads of the driveline and the brakes on a block, chassis axes."""

    bodies: Array  # (6, bodies, c, B) wrench
    parts: Array  # (parts, c, B) moment about the part's axis
    chassis: Array  # (6, c, B) wrench


def stays_inside(wheel: Wheel) -> bool:
    """Whether all torques on a wheel react on the body that carries it, where they cancel."""
    return wheel.drive_on_body and wheel.brake_on_body and wheel.brake_frame is None


def torques(
    block: BlockTopology,
    p: BlockParameters,
    car: CarParameters,
    axis: Array,
    axle_torque: Array,
    drive: Array,
    brake: Array,
) -> Torques:
    """Pinion, shaft and brake-bracket torques.

    axis: (3, wheels, c, B) spin axes, chassis axes; axle_torque (c, B); drive, brake: (wheels, c, B) N m on each wheel,
    the brake's against its spin.

    Usual shaft sense: the pinion turns the housing about -x and the chassis about +x. Where the differential is on the
    chassis its torque stays inside it. A shaft from wheel to chassis carries what drives or brakes the wheel there. A
    bracket that turns on the wheel's body takes the brake torque about its own axis; body and bracket together feel
    what they would without it.
    """
    mechanism = block.block
    bodies = jnp.zeros((6, block.n_bodies, *axle_torque.shape))
    parts = jnp.zeros((block.n_parts, *axle_torque.shape))
    chassis = jnp.zeros((6, *axle_torque.shape))
    if mechanism.pinion_body is not None:
        about_x = jnp.array([0.0, 0.0, 0.0, 1.0, 0.0, 0.0])
        pinion = about_x.reshape((6,) + (1,) * axle_torque.ndim) * (car.shaft_sense * axle_torque / car.final_drive)
        on = jnp.array([float(name == mechanism.pinion_body) for name in mechanism.bodies])
        bodies = -pinion[:, None] * on.reshape((1, -1) + (1,) * axle_torque.ndim)
        chassis = pinion
    for w, wheel in enumerate(mechanism.wheels):
        if stays_inside(wheel):
            continue
        bracket = block.brake_parts[w]
        if bracket is not None:
            turn = dot(p.wheels.axis[:, w], p.part_axis[:, bracket])  # both axes are fixed in the wheel's body
            on = jnp.array([float(k == bracket) for k in range(block.n_parts)])
            parts = parts + (brake[w] * turn)[None] * on.reshape((-1,) + (1,) * axle_torque.ndim)
        shaft = drive[w] * float(not wheel.drive_on_body) - brake[w] * float(not wheel.brake_on_body)
        moment = axis[:, w] * shaft
        whole = jnp.concatenate([jnp.zeros_like(moment), moment])
        chassis = chassis - whole
        on = jnp.array([float(i == block.wheel_frames[w] - 1) for i in range(block.n_bodies)])
        bodies = bodies + whole[:, None] * on.reshape((1, -1) + (1,) * axle_torque.ndim)
    return Torques(bodies, parts, chassis)

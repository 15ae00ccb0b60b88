"""Newton and Euler for the bodies of one block, ready to be solved for speeds' changes and constraint forces.

Everything is in chassis axes. u = (A, alpha) is the acceleration of the chassis origin and the chassis' angular
acceleration, q'' how the speeds of bodies and parts against the chassis change, T the forces of rigid links and joints:

    M (q'' + C u + b) = Q - G^T T        G q'' = -bias

C carries the chassis' acceleration to the bodies and b is what their motion on a turning chassis adds (Coriolis and
centripetal terms, and omega x I omega). Parts have no mass; G keeps the whole regular.
"""

from __future__ import annotations

from typing import NamedTuple

import jax.numpy as jnp

from axlewright.model.moving.parameters import MovingBlock
from axlewright.model.parameters import BlockParameters
from axlewright.model.suspension import Placed
from axlewright.model.topology import BlockTopology
from axlewright.model.vectors import Array, cross, identity, rotate, skew


class BodyMotion(NamedTuple):
    """Velocities of a block's bodies, chassis axes, (3, bodies, c, B)."""

    velocity: Array  # of the reference point, absolute
    turning: Array  # absolute
    sliding: Array  # of the reference point, against the chassis
    swinging: Array  # against the chassis


def body_motion(topology: BlockTopology, at: Placed, chassis: Array, rate: Array) -> BodyMotion:
    """Velocities from the chassis' (6, B) and the block's rates (motions, c, B)."""
    nb = topology.n_bodies
    each = rate[: 6 * nb].reshape((nb, 6, *rate.shape[1:])).swapaxes(0, 1)
    sliding, swinging = each[:3], each[3:]
    origin, turn = _spread(chassis[:3], sliding), _spread(chassis[3:], sliding)
    return BodyMotion(origin + cross(turn, at.body_at) + sliding, turn + swinging, sliding, swinging)


def _spread(a: Array, like: Array) -> Array:
    """(3, B) broadcast over the axes in between."""
    return jnp.broadcast_to(a.reshape((3,) + (1,) * (like.ndim - 2) + a.shape[1:]), like.shape)


class Inertias(NamedTuple):
    """Mass matrix of a block and what goes with it."""

    matrix: Array  # (motions, motions, c, B)
    carried: Array  # (motions, 6, c, B) M C
    bias: Array  # (motions, c, B) M b
    carry: Array  # (motions, 6, c, B) C


def inertias(
    topology: BlockTopology, p: BlockParameters, moving: MovingBlock, at: Placed, chassis: Array, motion: BodyMotion
) -> Inertias:
    """Mass terms; chassis (6, B) velocity."""
    nb, nm, tail = topology.n_bodies, topology.n_motion, at.body_at.shape[2:]
    rotation = at.body_rotation
    inertia = (rotation[:, None] * rotation[None] * moving.inertia[None, None]).sum(axis=2)  # (3, 3, bodies, c, B)
    turn = _spread(chassis[3:], motion.sliding)
    drawn_in = cross(turn, cross(turn, at.body_at) + 2.0 * motion.sliding)
    momentum = rotate(inertia, motion.turning)
    twist = rotate(inertia, cross(turn, motion.swinging)) + cross(motion.turning, momentum)
    one = jnp.broadcast_to(identity(at.body_at[:, 0]), (3, 3, *tail))
    none, rows, carried, carry, bias = jnp.zeros((3, 3, *tail)), [], [], [], []
    for i in range(nb):
        mass, lever = p.body_mass[i], -skew(at.body_at[:, i])
        for k, block in ((2 * i, one * mass), (2 * i + 1, inertia[:, :, i])):
            pad = [jnp.zeros((3, n, *tail)) for n in (3 * k, nm - 3 * k - 3)]
            rows.append(jnp.concatenate([pad[0], block, pad[1]], axis=1))
        carried += [jnp.concatenate([one * mass, lever * mass], axis=1)]
        carried += [jnp.concatenate([none, inertia[:, :, i]], axis=1)]
        carry += [jnp.concatenate([one, lever], axis=1), jnp.concatenate([none, one], axis=1)]
        bias += [drawn_in[:, i] * mass, twist[:, i]]
    parts = nm - 6 * nb
    if parts:
        rows.append(jnp.zeros((parts, nm, *tail)))
        carried.append(jnp.zeros((parts, 6, *tail)))
        carry.append(jnp.zeros((parts, 6, *tail)))
        bias.append(jnp.zeros((parts, *tail)))
    matrix, carried, carry, bias = (jnp.concatenate(each) for each in (rows, carried, carry, bias))
    return Inertias(matrix, carried, bias, carry)


class ChassisInertia(NamedTuple):
    """The sprung masses, chassis axes about the chassis origin."""

    matrix: Array  # (6, 6, B)
    bias: Array  # (6, B) N and N m
    mass: Array  # (B,)
    moment: Array  # (3, B) first moment, kg m


def chassis_inertia(mass: Array, at: Array, inertia: Array, turn: Array) -> ChassisInertia:
    """mass (items, B), at (3, items, B), inertia (3, B) of the first item about its own centre, turn (3, B) rad/s."""
    total, first = mass.sum(axis=0), (mass * at).sum(axis=1)
    square = (at * at).sum(axis=0)
    unit = identity(first)
    spread = (mass * (square * unit[:, :, None] - at[:, None] * at[None])).sum(axis=2)
    whole = spread + unit * inertia[None]
    lever = skew(first)
    matrix = jnp.concatenate([jnp.concatenate([unit * total, -lever], axis=1), jnp.concatenate([lever, whole], axis=1)])
    force, moment = cross(turn, cross(turn, first)), cross(turn, rotate(whole, turn))
    return ChassisInertia(matrix, jnp.concatenate([force, moment]), total, first)

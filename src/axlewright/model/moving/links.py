"""Links, joints, bars and dampers of one block in motion: forces that are known, and the constraints that are not.

With q' the speeds of bodies and parts against the chassis, G q' = 0 is what rigid links and joints allow (rack apart).
An elastic term of loss time t has the tension of the extension e + t e': as its law never falls, what that adds always
takes energy away, and a part that only pushes never pulls (Kelvin-Voigt for small movements).
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from axlewright.model.moving.parameters import MovingBlock
from axlewright.model.parameters import BlockParameters
from axlewright.model.suspension import Placed, placed, taken
from axlewright.model.topology import BlockTopology
from axlewright.model.vectors import Array, norm
from axlewright.parts.bar_arm import BarArm, bar_arm
from axlewright.parts.elastic import energy, tension


class Lines(NamedTuple):
    """Lengths and gaps at a pose, and their derivative to the motions (first) and the rack (last)."""

    length: Array  # (links, c, B)
    direction: Array  # (3, links, c, B)
    length_rate: Array  # (motions + 1, links, c, B)
    gap: Array  # (3, joints, c, B)
    gap_rate: Array  # (3, motions + 1, joints, c, B)


def lines(topology: BlockTopology, at: Placed) -> Lines:
    """Links and joints of a placed block."""
    nl, nj = len(topology.links), topology.n_joints
    a, b = slice(0, nl), slice(nl, 2 * nl)
    ja, jb = slice(2 * nl, 2 * nl + nj), slice(2 * nl + nj, 2 * nl + 2 * nj)
    span = at.points[:, b] - at.points[:, a]
    length = norm(span)
    direction = span / length
    rate = (direction[:, None] * (at.along[:, :, b] - at.along[:, :, a])).sum(axis=0)
    return Lines(length, direction, rate, at.points[:, jb] - at.points[:, ja], at.along[:, :, jb] - at.along[:, :, ja])


def held_rows(topology: BlockTopology, found: Lines) -> Array:
    """G and the rack's column: (rigid + 3 joints, motions + 1, c, B), one row a force, in the order of the forces."""
    nj, tail = topology.n_joints, found.length.shape[1:]
    gap = found.gap_rate.transpose((2, 0, 1, 3, 4)).reshape((3 * nj, topology.n_motion + 1, *tail))
    return jnp.concatenate([found.length_rate[:, : topology.n_rigid].swapaxes(0, 1), gap])


def errors(topology: BlockTopology, p: BlockParameters, found: Lines) -> Array:
    """How far rigid lengths and joints are from closed, m, (rigid + 3 joints, c, B)."""
    nj, tail = topology.n_joints, found.length.shape[1:]
    return jnp.concatenate(
        [(found.length - p.link_length)[: topology.n_rigid], found.gap.swapaxes(0, 1).reshape((3 * nj, *tail))]
    )


class Pulls(NamedTuple):
    """Known forces of a block in motion."""

    on_motion: Array  # (motions, c, B) N and N m on each motion, without rigid links and joints
    extension: Array  # (elastic, c, B) m from the drawn length
    extension_rate: Array  # (elastic, c, B) m/s
    term_tension: Array  # (terms, c, B) N, losses included
    held_tension: Array  # (terms, c, B) N at no rate
    link_tension: Array  # (elastic, c, B) N, all on it
    damper_tension: Array  # (damped, c, B) N, damping only
    seal_tension: Array  # (damped, c, B) N
    arm: BarArm
    drop_tension: Array  # (ends, c, B) N
    elastic_energy: Array  # (B,) J


def drop_arms(topology: BlockTopology, p: BlockParameters, at: Placed) -> BarArm:
    """Bar arms of a placed block."""
    e, first = p.ends, 2 * len(topology.links) + 2 * topology.n_joints
    return bar_arm(e.pivot, e.axis, e.direction, e.arm, e.drop_length, at.points[:, first:], e.side, xp=jnp)


def pulls(
    topology: BlockTopology,
    p: BlockParameters,
    moving: MovingBlock,
    at: Placed,
    found: Lines,
    rate: Array,
    seal_tension: Array,
    arm: BarArm,
    bars: Array,
) -> Pulls:
    """Forces of elastic links, dampers, seals and bars.

    rate: (motions + 1, c, B), the rack's last; bars as for `suspension.balance`.
    """
    nr, nm = topology.n_rigid, topology.n_motion
    stretch = (found.length - p.link_length)[nr:]
    speed = (found.length_rate[:, nr:] * rate[:, None]).sum(axis=0)
    none = stretch[:0]
    owners = [link for link, _, _ in topology.terms]
    if owners:
        extension, term_speed = stretch[np.array(owners)], speed[np.array(owners)]
        held = tension(p.elastic, extension, xp=jnp)
        lively = tension(p.elastic, extension + moving.loss * term_speed, xp=jnp)
        stored = energy(p.elastic, extension, xp=jnp).sum(axis=(0, 1))
    else:
        held = lively = none
        stored = jnp.zeros(rate.shape[-1])
    damped = np.array(topology.damped, dtype=int)
    damping = tension(moving.damping, speed[damped], xp=jnp) if topology.damped else none
    per_link = [jnp.zeros(rate.shape[1:]) for _ in topology.elastic]
    for term, owner in enumerate(owners):
        per_link[owner] = per_link[owner] + lively[term]
    for i, owner in enumerate(topology.damped):
        per_link[owner] = per_link[owner] + damping[i] + seal_tension[i]
    total = jnp.stack(per_link) if per_link else none
    on_motion = -(found.length_rate[:nm, nr:] * total).sum(axis=1)
    if topology.end_frames:
        first = 2 * len(topology.links) + 2 * topology.n_joints
        pull = -bars * arm.along / arm.lever  # (3, ends, c, B) on the drop link's lower end
        on_motion = on_motion + (pull[:, None] * at.along[:, :nm, first:]).sum(axis=(0, 2))
    drop = -bars / arm.lever
    return Pulls(on_motion, stretch, speed, lively, held, total, damping, seal_tension, arm, drop, stored)


def bias(
    topology: BlockTopology, p: BlockParameters, motion: Array, unknown_rate: Array, rack: Array, rate: Array
) -> Array:
    """d(G)/dt q' of the held rows, rack included, m/s2: what accelerates a length although no speed changes.

    unknown_rate: rate of the motion unknowns (Cayley vectors); rack: position and speed (2, B); rate: (motions + 1, c,
    B) speeds.
    """
    chosen = _only_held(topology)
    own = _held_parameters(topology, p)

    def speeds(x: Array, shift: Array) -> Array:
        rows = held_rows(chosen, lines(chosen, placed(chosen, own, x, shift)))
        return (rows * rate[None]).sum(axis=1)

    return jax.jvp(speeds, (motion, rack[0]), (unknown_rate, rack[1]))[1]


def _only_held(topology: BlockTopology) -> BlockTopology:
    """The block without elastic links and bars, which constrain nothing."""
    links = tuple(topology.link(name) for name in topology.rigid)
    return replace(topology, block=replace(topology.block, links=links), bar_ends=(), bar_end_frames=())


def _held_parameters(topology: BlockTopology, p: BlockParameters) -> BlockParameters:
    nl, nr, nj = len(topology.links), topology.n_rigid, topology.n_joints
    keep = [*range(nr), *range(nl, nl + nr), *range(2 * nl, 2 * nl + 2 * nj)]
    return p._replace(points=taken(p.points, keep), link_length=p.link_length[:nr])


def damped_rates(topology: BlockTopology, found: Lines, rate: Array) -> Array:
    """Speed at which each damped link lengthens, m/s, (damped, c, B); rate with the rack's last."""
    rows = np.array([topology.n_rigid + i for i in topology.damped], dtype=int)
    return (found.length_rate[:, rows] * rate[:, None]).sum(axis=0)


def loss_power(topology: BlockTopology, found: Pulls) -> Array:
    """Power that the losses of elastic terms give to the car (never positive), W, (c, B)."""
    if not topology.terms:
        return jnp.zeros(found.on_motion.shape[1:])
    speed = found.extension_rate[np.array([link for link, _, _ in topology.terms])]
    return -((found.term_tension - found.held_tension) * speed).sum(axis=0)


def rack_power(topology: BlockTopology, found: Lines, forces: Pulls, rack: Array) -> Array:
    """Power of what moves the rack against elastic links on it, W, (c, B)."""
    return (forces.link_tension * found.length_rate[-1, topology.n_rigid :]).sum(axis=0) * rack

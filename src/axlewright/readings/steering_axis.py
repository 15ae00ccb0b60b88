"""Steering axis of each wheel with a tie rod or toe link: inclination, caster, scrub radius and mechanical trail.

The axis is that of the turn which the wheel's body can make, by the velocities of its links, when its steering link is
drawn in or let out: a pure turn, at (or nearest to) the spring's present length. So it needs no ball joints and is
right for any layout; between two ball joints, real or virtual, it is the line through both. Angles are against the
chassis (ISO 8855 castor and steering-axis inclination); the offsets are on the road, in the tyre's own axes (ISO 8855,
from memory): both where the axis meets the road at the contact centre's height.
"""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

import numpy as np

from axlewright.model.topology import BlockTopology
from axlewright.readings._frames import WHEEL_NAMES, half_of, in_model_order
from axlewright.readings._kept import kept
from axlewright.readings._modes import least_motion
from axlewright.readings._vectors import cross, dot, rotate
from axlewright.readings._velocity import block_motions
from axlewright.readings.base import Reading
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

SMALL_ANGLE = np.radians(0.01)


class SteeringAxis(NamedTuple):
    """Steering axis of one wheel, (B,) each."""

    inclination: np.ndarray  # rad, top inward positive
    caster: np.ndarray  # rad, top rearward positive
    scrub: np.ndarray  # m, axis meets the road inboard of the contact centre
    trail: np.ndarray  # m, axis meets the road ahead of the contact centre
    direction: np.ndarray  # (3, B) unit, upwards, axes of the chassis half
    point: np.ndarray  # (3, B) on the axis, axes of the chassis half


TOE_LINK = "toe_link"  # what steers a wheel that no rack does


def steering_links(topology: BlockTopology) -> list[int]:
    """Links of a block of one wheel that steer it: its tie rod, or the toe link of a rear wheel."""
    if topology.n_wheels > 1:
        return []
    return list(topology.rack_links) or [i for i, name in enumerate(topology.rigid) if name == TOE_LINK]


def steered_blocks(machine: Machine) -> list[int]:
    """Blocks whose wheels have a steering axis, one a copy."""
    return [i for i, block in enumerate(machine.topology.blocks) if steering_links(block)]


@kept
def steering_axes(solved: Solved) -> dict[str, SteeringAxis]:
    """Axis of every steered wheel, by the wheel's name."""
    found: dict[str, SteeringAxis] = {}
    for block in steered_blocks(solved.machine):
        found |= _axes(solved, block)
    return found


def _freedoms(solved: Solved, block: int) -> np.ndarray:
    """Motions (n, 2, c, B) of a block of one wheel: its steering link lengthens by 1 while its spring keeps its length,
    and the reverse. Without a spring the wheel centre's height stands for its length.
    """
    motion, topology = block_motions(solved)[block], solved.machine.topology.blocks[block]
    springs = [topology.n_rigid + i for i, _, term in topology.terms if term.kind == "coil_spring"]
    bump = motion.length_rate[springs[:1]] if springs else motion.centre_rate[2]
    stacked = np.concatenate([motion.length_rate[: topology.n_rigid], motion.closure_rate, bump])
    asked = np.zeros((stacked.shape[0], 2))
    asked[steering_links(topology), 0] = 1.0
    asked[-1, 1] = 1.0
    return least_motion(solved, block, stacked, asked)


def _pure_turn(shift: np.ndarray, turn: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The steering motion that turns without sliding along its own axis, from the two freedoms (3, 2, ...) of a body.

    Steering s and as much bump b as makes (turn_s + x turn_b) . (shift_s + x shift_b) = 0: the nearer of two roots, the
    other one is the axis that the wheel swings about in bump.
    """
    bump = dot(turn[:, 1], shift[:, 1])
    both = dot(turn[:, 0], shift[:, 1]) + dot(turn[:, 1], shift[:, 0])
    steer = dot(turn[:, 0], shift[:, 0])
    root = np.sqrt(np.maximum(both**2 - 4.0 * bump * steer, 0.0))
    share = -2.0 * steer / (both + np.copysign(root, both))
    return shift[:, 0] + share * shift[:, 1], turn[:, 0] + share * turn[:, 1]


def _axes(solved: Solved, block: int) -> dict[str, SteeringAxis]:
    topology, half = solved.machine.topology.blocks[block], half_of(solved, block)
    body, motion = topology.wheel_frames[0] - 1, _freedoms(solved, block)
    shift, turn = _pure_turn(motion[6 * body : 6 * body + 3], motion[6 * body + 3 : 6 * body + 6])
    size = dot(turn, turn)
    point = block_motions(solved)[block].placed.body_at[:, body] + cross(turn, shift) / size
    direction = turn * np.copysign(1.0 / np.sqrt(size), turn[2])
    contact = in_model_order(np.asarray(solved.blocks[block].contact.point))
    forward = in_model_order(np.asarray(solved.blocks[block].contact.forward))
    along, start = rotate(half.rotation, direction), half.on_road(point)
    from_contact = start + along * (contact[2] - start[2]) / along[2] - contact
    ahead = from_contact[0] * forward[0] + from_contact[1] * forward[1]
    left = from_contact[1] * forward[0] - from_contact[0] * forward[1]
    found = {}
    for c, wheel in enumerate(topology.block.wheels[0].names):
        inward = -1.0 if wheel.startswith("L") else 1.0
        found[wheel] = SteeringAxis(
            inclination=np.arctan2(inward * direction[1, c], direction[2, c]),
            caster=np.arctan2(-direction[0, c], direction[2, c]),
            scrub=inward * left[c],
            trail=ahead[c],
            direction=direction[:, c],
            point=point[:, c],
        )
    return found


def _field(solved: Solved, wheel: str, field: str) -> np.ndarray:
    return getattr(steering_axes(solved)[wheel], field)


FIELDS = {  # id: (field, name, unit, shown, more, less, smallest)
    "kingpin": ("inclination", "steering-axis inclination (kingpin)", "rad", "deg",
                "top of the steering axis further in",
                "top of the steering axis further out", SMALL_ANGLE),
    "caster": ("caster", "caster", "rad", "deg", "top of the steering axis further back",
               "top of the steering axis further forward", SMALL_ANGLE),
    "scrub": ("scrub", "scrub radius", "m", "mm", "steering axis meets the road further in",
              "steering axis meets the road further out", 1e-4),
    "trail": ("trail", "mechanical trail", "m", "mm", "steering axis meets the road further ahead",
              "steering axis meets the road further back", 1e-4),
}  # fmt: skip


def steering_axes_of(machine: Machine) -> list[Reading]:
    """Readings of every steered wheel's axis."""
    wheels = [w for block in steered_blocks(machine) for w in machine.topology.blocks[block].block.wheels[0].names]
    return [
        Reading(
            id=f"{ident}_{wheel}", name=f"{name}, {WHEEL_NAMES[wheel]}", unit=unit, shown=shown,
            more=f"{more}, {WHEEL_NAMES[wheel]}", less=f"{less}, {WHEEL_NAMES[wheel]}",
            source="ISO 8855; the turn that the links leave to the steered wheel",
            read=partial(_field, wheel=wheel, field=field), smallest=smallest, at_rest=True, travel=True, detail=True,
            moving=True,
        )
        for wheel in wheels
        for ident, (field, name, unit, shown, more, less, smallest) in FIELDS.items()
    ]  # fmt: skip

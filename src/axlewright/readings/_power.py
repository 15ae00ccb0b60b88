"""Virtual work of everything that acts on a block while it moves, the chassis held fixed.

In a balanced state the powers of all loads on a block add up to zero for any motion that its rigid links and joints
allow: the principle of virtual work (elementary statics). So the wheel loads that a motion lifts against are the sum
of what the other loads give in the same motion, part by part and without remainder.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.model.border import axle_torque
from axlewright.parts.differential import half_shaft
from axlewright.readings._frames import half_of
from axlewright.readings._modes import LOCATING, moved
from axlewright.readings._vectors import cross, dot, rotate
from axlewright.readings._velocity import BlockMotion, block_motions
from axlewright.solve.solved import Solved


class Powers(NamedTuple):
    """Power of each kind of load in a motion, (copies, B), W for motions in m/s and rad/s."""

    load: np.ndarray  # vertical tyre forces
    side: np.ndarray  # horizontal tyre forces, and the unsprung masses' horizontal loads moved down to the road
    locating: np.ndarray  # torque links and compliant links
    springs: np.ndarray  # springs, gas, stops and bars
    unsprung: np.ndarray  # weight and inertia of the unsprung bodies, turned about the road
    driveline: np.ndarray  # pinion torque, shaft torques that react on the chassis, brake torques on brackets
    wheels: np.ndarray  # gyroscopic and spin-up moments of the wheels


def powers(solved: Solved, block: int, motion: np.ndarray) -> Powers:
    """Powers in a motion (motions, c, B) of a block."""
    rates, at = block_motions(solved)[block], solved.blocks[block]
    contact = moved(rates.contact_rate, motion)  # (3, wheels, c, B)
    forward, fx, fy = (np.asarray(x) for x in (at.contact.forward, at.contact.longitudinal, at.contact.lateral))
    along, across = fx * forward[0] - fy * forward[1], fx * forward[1] + fy * forward[0]
    load = (np.asarray(at.contact.load) * contact[2]).sum(axis=0)
    side = (along * contact[0] + across * contact[1]).sum(axis=0)
    twists = _twists(rates, motion)
    outside = (np.asarray(at.ground.wrench) * twists).sum(axis=(0, 1))  # tyres, weight and inertia of every body
    mass, lowered = _mass(solved, block, rates, twists, contact)
    locating, springs = _elastic(solved, block, rates, motion)
    return Powers(
        load=load,
        side=side + lowered,
        locating=locating,
        springs=springs + _bars(solved, block, rates, motion),
        unsprung=mass - lowered,
        driveline=_driveline(solved, block, twists, motion),
        wheels=outside - mass - load - side,
    )


def _twists(rates: BlockMotion, motion: np.ndarray) -> np.ndarray:
    """Velocity of each body, chassis axes: (6, bodies, c, B)."""
    nb = rates.placed.topology.n_bodies
    return np.swapaxes(motion[: 6 * nb].reshape((nb, 6, *motion.shape[1:])), 0, 1)


def _mass(
    solved: Solved, block: int, rates: BlockMotion, twists: np.ndarray, contact: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Power of the bodies' weight and inertia, and what of it the horizontal loads would give at the contact centres.

    An unsprung mass tips its own axle about the road; the rest of its sideways load the links carry.
    """
    half, p, asked = half_of(solved, block), solved.parameters.blocks[block], solved.asked
    from_centre = half.on_road(rates.placed.body_at) - np.asarray(solved.parameters.centre)[:, None, None]
    alpha = np.asarray(asked.yaw_acceleration)
    by_yaw = np.stack([alpha * from_centre[1], -alpha * from_centre[0], np.zeros_like(from_centre[0])])
    force = (np.asarray(asked.force)[:, None, None] + by_yaw) * np.asarray(p.body_mass)
    shift, turn = rotate(half.rotation, twists[:3]), rotate(half.rotation, twists[3:])
    total = (dot(force, shift) - np.asarray(p.body_yaw_inertia) * alpha * turn[2]).sum(axis=0)
    lowered = np.zeros_like(total)
    for body in range(rates.placed.topology.n_bodies):
        own = [w for w, frame in enumerate(rates.placed.topology.wheel_frames) if frame == body + 1]
        if own:
            lowered = lowered + dot(force[:2, body], contact[:2, own].mean(axis=1))
    return total, lowered


def _elastic(solved: Solved, block: int, rates: BlockMotion, motion: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Power of the locating links' and of the springing terms' tensions."""
    topology = rates.placed.topology
    tension = np.asarray(solved.blocks[block].details.term_tension)
    stretch = moved(rates.length_rate, motion)
    found = [np.zeros(motion.shape[1:]), np.zeros(motion.shape[1:])]
    for t, (i, _, term) in enumerate(topology.terms):
        found[int(term.kind not in LOCATING)] -= tension[t] * stretch[topology.n_rigid + i]
    return found[0], found[1]


def _bars(solved: Solved, block: int, rates: BlockMotion, motion: np.ndarray) -> np.ndarray:
    """Power of the drop links on the points that they pull at."""
    drop = moved(rates.drop_rate, motion)
    tension = np.asarray(solved.blocks[block].details.drop_tension)
    return (tension * dot(drop_directions(solved, block), drop)).sum(axis=0)


def drop_directions(solved: Solved, block: int) -> np.ndarray:
    """Unit vectors along the drop links from the lower end to the bar's hole, chassis axes, (3, ends, c, B)."""
    ends, details = solved.parameters.blocks[block].ends, solved.blocks[block].details
    pivot, axis, direction, arm = (np.asarray(x) for x in (ends.pivot, ends.axis, ends.direction, ends.arm))
    angle = np.asarray(details.arm_angle)
    hole = pivot + arm * (np.cos(angle) * direction + np.sin(angle) * cross(axis, direction))
    points = np.asarray(details.points)
    span = hole - points[:, points.shape[1] - hole.shape[1] :]
    return span / np.sqrt(dot(span, span))


def _driveline(solved: Solved, block: int, twists: np.ndarray, motion: np.ndarray) -> np.ndarray:
    """Power of the pinion torque on the housing, of shaft torques whose reaction is on the chassis, and of brake
    torques on brackets that turn on the wheel's body.
    """
    car, topology, at = solved.parameters, solved.machine.topology.blocks[block], solved.blocks[block]
    torque = np.asarray(axle_torque(solved.asked, solved.border("effort")))
    total = np.zeros(twists.shape[2:])
    if topology.block.pinion_body is not None:
        body = topology.block.bodies.index(topology.block.pinion_body)
        pinion = np.asarray(car.shaft_sense) * torque / np.asarray(car.final_drive)
        total = total - pinion * twists[3, body]
    for w, wheel in enumerate(topology.block.wheels):
        if wheel.drive_on_body and wheel.brake_on_body and wheel.brake_frame is None:
            continue
        drive = half_shaft(np.asarray(car.blocks[block].wheels.driven)[w], torque, solved.border("difference"))
        brake = drive + np.asarray(at.ground.spin)[w]
        shaft = drive * float(not wheel.drive_on_body) - brake * float(not wheel.brake_on_body)
        turning = twists[3:, topology.wheel_frames[w] - 1]
        axis = np.asarray(at.ground.axis)[:, w]
        total = total + shaft * dot(axis, turning)
        bracket = topology.brake_parts[w]
        if bracket is not None:
            about = dot(axis, np.asarray(at.details.part_axis)[:, bracket])
            total = total + brake * about * motion[6 * topology.n_bodies + bracket]
    return total

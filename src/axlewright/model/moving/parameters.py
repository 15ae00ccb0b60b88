"""Numbers that matter only in motion, the state of a moving car, and what is asked of it at an instant.

Immutable pytrees: component first, then block copy c, then batch B. SI units.
"""

from __future__ import annotations

from typing import NamedTuple

from axlewright.model.vectors import Array
from axlewright.parts.elastic import Knots


class MovingWheels(NamedTuple):
    """What a wheel has besides the held model's; each (wheels, c, B)."""

    brake_rate: Array  # N m/rad of disc, caliper and mounting
    contact_length: Array  # half of the contact patch, m: the least relaxation length
    vertical_loss: Array  # s
    belt_rate: Array  # N m/rad between rim and belt
    belt_damping: Array  # N m s/rad
    belt_inertia: Array  # kg m2, part of the wheel's spin inertia


class MovingBlock(NamedTuple):
    """One block."""

    inertia: Array  # (3, bodies, c, B) about x, y, z through the body's own centre, as drawn
    loss: Array  # (terms, c, B) loss time of each elastic term, s
    damping: Knots  # law of each damped link against the rate of its length: (damped, c, B), corners (J, damped, c, B)
    seal: Array  # (damped, c, B) friction of its seal, N
    wheels: MovingWheels


class Moving(NamedTuple):
    """A whole car."""

    blocks: tuple[MovingBlock, ...]
    sprung_inertia: Array  # (3, B) about x, y, z through the centre of the sprung mass as drawn
    engine_inertia: Array  # (B,) seen at the axle, kg m2
    clutch: Array  # (B,) capacity seen at the axle, N m
    half_shaft_rate: Array  # (B,) N m/rad of one


class MovingState(NamedTuple):
    """Where the car is, how it moves, and what its elements remember."""

    place: Array  # (4, B) x, y on the road m, yaw rad, distance along the heading m; of the chassis origin
    attitude: Array  # (3, B) heave m, pitch, roll rad
    velocity: Array  # (6, B) of the chassis: its origin's, m/s, and its turning, rad/s; chassis axes
    motion: tuple[Array, ...]  # a block: (motions, c, B) as in the held state
    rate: tuple[Array, ...]  # a block: (motions, c, B) speeds of bodies and parts against the chassis, chassis axes
    spin: tuple[Array, ...]  # a block: (wheels, c, B) of the rim, rad/s
    lag: tuple[Array, ...]  # a block: (2, wheels, c, B) tyre deflection along and across, m
    belt: tuple[Array, ...]  # a block: (2, wheels, c, B) belt's speed rad/s and rim's lead on it rad; (0, ...) without
    brake: tuple[Array, ...]  # a block: (wheels, c, B) twist held by each brake, rad
    seal: tuple[Array, ...]  # a block: (damped, c, B) length held by each seal, m
    driveline: Array  # (3, B) engine's speed at the axle rad/s, shafts' twist, twist between left and right, rad
    work: Array  # (7, B) J since the start, by `WORK`
    drift: Array  # (1, B) largest error of a rigid length, before any was put right, m


WORK = ("engine", "tyres", "dampers", "losses", "friction", "air", "steering")


class Asked(NamedTuple):
    """What acts on the car at an instant; (B,) unless said."""

    gravity: Array  # (3, B) m/s2, road axes
    engine: Array  # torque before the engine's own inertia, at the axle, N m
    clutch: Array  # share of its capacity
    brake: Array  # effort, as the held state's
    rack: Array  # m, left steer positive
    rack_speed: Array
    rack_acceleration: Array
    height: Array  # (wheels, B) of the road, m
    height_rate: Array  # (wheels, B) m/s as the wheel passes over it
    grip: Array  # (wheels, B) factor

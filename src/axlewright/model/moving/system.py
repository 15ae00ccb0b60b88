"""The car in motion: how its state changes, from the forces of the held model, by an index-1 constraint solve.

Each block is eliminated against the acceleration of the chassis, as in the held solve against the border; what is left
is six equations. Errors of rigid lengths decay at `STABLE` (Baumgarte's stabilisation, critically damped), and
`projected` takes them out once a step.
"""

from __future__ import annotations

from typing import NamedTuple

import jax.numpy as jnp
import numpy as np

from axlewright.model import border
from axlewright.model.driveline import torques
from axlewright.model.elimination import Pivots, eliminate
from axlewright.model.ground import Attitude, chassis_attitude, stance
from axlewright.model.moving import links
from axlewright.model.moving.bodies import BodyMotion, Inertias, body_motion, chassis_inertia, inertias
from axlewright.model.moving.parameters import Asked, Moving, MovingState
from axlewright.model.moving.tyres import Carried, Rolling, rolling
from axlewright.model.parameters import BlockParameters, CarParameters
from axlewright.model.suspension import Placed, placed
from axlewright.model.topology import BlockTopology, Topology
from axlewright.model.vectors import Array, cross, dot, rotate, rotate_back
from axlewright.parts import TYRE_LAWS, friction
from axlewright.parts.bar_arm import BarArm
from axlewright.parts.differential import half_shaft, lock_torque

STABLE = 150.0  # 1/s; slower than the steps, faster than any errors grow
STUCK_LOSS = 0.15 / 200.0  # s; loss factor 0.15 at about 30 Hz for what brakes and shafts twist: common practice
SEAL_RATE = 2e6  # N/m that a damper's seal gives before it slides; common practice, no source


class BlockInstant(NamedTuple):
    """One block at an instant."""

    at: Placed
    pulls: links.Pulls
    rolling: Rolling
    brake_torque: Array  # (wheels, c, B)
    forces: Array  # (rigid + 3 joints, c, B) N
    error: Array  # (rigid + 3 joints, c, B) m
    centre_height: Array  # (wheels, c, B) of the wheel centres above the road plane


class Accelerations(NamedTuple):
    """What the constraint solve gives."""

    chassis: Array  # (6, B) acceleration of the origin m/s2, angular acceleration, chassis axes
    motion: tuple[Array, ...]  # a block: (motions, c, B)
    forces: tuple[Array, ...]  # a block: (rigid + 3 joints, c, B) N


class Driven(NamedTuple):
    """The driveline at an instant, (B,)."""

    torque: Array  # at the axle
    difference: Array
    speed: Array  # rad/s of the engine's side over the wheels': how fast the shafts wind up
    turning: Array  # rad/s right over left driven wheel


class Instant(NamedTuple):
    """Everything at an instant."""

    rates: MovingState
    accelerations: Accelerations
    blocks: tuple[BlockInstant, ...]
    driven: Driven
    stored: Array  # (3, B) J kinetic, of weight, elastic


def unknown_rates(topology: BlockTopology, motion: Array, rate: Array) -> Array:
    """Rate of the motion unknowns: a turning as a change of the Cayley vector (inverse of `vectors.cayley_rate`)."""
    out = []
    for i in range(topology.n_bodies):
        r, w = motion[6 * i + 3 : 6 * i + 6], rate[6 * i + 3 : 6 * i + 6]
        out += [rate[6 * i : 6 * i + 3], w - 0.5 * cross(r, w) + 0.25 * r * dot(r, w)]
    return jnp.concatenate([*out, rate[6 * topology.n_bodies :]])


def by_block(topology: Topology, index: int, values: Array) -> Array:
    """Values of wheels in model order (wheels, B) as a block has them, (wheels, c, B)."""
    first, slots = topology.first_slip, topology.wheel_slots(index)
    return jnp.stack([jnp.stack([values[s - first] for s in row]) for row in slots])


def _with_rack(rate: Array, speed: Array) -> Array:
    """Rates of the motions and the rack's, (motions + 1, c, B)."""
    return jnp.concatenate([rate, jnp.broadcast_to(speed, (1, *rate.shape[1:]))])


def _bar_torques(topology: Topology, car: CarParameters, arms: list[Array]) -> tuple[list[Array], Array]:
    """Torque on the arms of each block (ends, c, B), signed by side, and the energy in all bars (B,)."""
    batch = car.rack_travel.shape[0]
    twist = jnp.zeros((len(topology.mechanism.bars), batch))
    for block, p, angle in zip(topology.blocks, car.blocks, arms, strict=True):
        for e, ends in enumerate(block.bar_ends):
            for c, (bar, _) in enumerate(ends):
                twist = twist.at[bar].add(angle[e, c] * p.ends.sign[e, c])
    twist = twist - car.bar_neutral
    torque = car.bar_stiffness * twist
    out = []
    for block, p in zip(topology.blocks, car.blocks, strict=True):
        rows = [jnp.stack([torque[bar] for bar, _ in ends]) for ends in block.bar_ends]
        none = jnp.zeros((0, block.n_copies, batch))
        out.append(jnp.stack(rows) * p.ends.sign if rows else none)
    return out, 0.5 * (torque * twist).sum(axis=0)


def _about(topology: BlockTopology, p: BlockParameters, axis: Array, bodies: BodyMotion, turn: Array, rate: Array):  # noqa: ANN202
    """Turning about each wheel's axis of what its brake and its drive react on, two (wheels, c, B)."""
    braked, driven = [], []
    for w, wheel in enumerate(topology.block.wheels):
        n, body = axis[:, w], bodies.turning[:, topology.wheel_frames[w] - 1]
        on_chassis = dot(n, jnp.broadcast_to(turn[:, None], n.shape))
        own = dot(n, body)
        bracket = topology.brake_parts[w]
        brake = own if wheel.brake_on_body else on_chassis
        if bracket is not None:
            brake = brake + dot(p.wheels.axis[:, w], p.part_axis[:, bracket]) * rate[6 * topology.n_bodies + bracket]
        braked.append(brake)
        driven.append(own if wheel.drive_on_body else on_chassis)
    return jnp.stack(braked), jnp.stack(driven)


class _Set(NamedTuple):
    """A block placed, before any force is known."""

    at: Placed
    lines: links.Lines
    bodies: BodyMotion
    axis: Array  # (3, wheels, c, B) spin axes, chassis axes
    arm: Array  # (3, wheels, c, B) wheel centre from its body's reference point, chassis axes
    rolling: Rolling
    brake_about: Array  # (wheels, c, B) turning about the wheel's axis of what its brake reacts on, rad/s
    drive_about: Array  # the same of its drive
    arms: BarArm


def _placed(
    topology: Topology, index: int, car: CarParameters, moving: Moving, asked: Asked, state: MovingState
) -> _Set:
    block, p, extra = topology.blocks[index], car.blocks[index], moving.blocks[index]
    motion, rate, spin = state.motion[index], state.rate[index], state.spin[index]
    road = chassis_attitude(*state.attitude)
    at = placed(block, p, motion, asked.rack * car.rack_sense)
    bodies = body_motion(block, at, state.velocity, rate)
    where = stance(block, p, road, motion)
    frames = block.wheel_frames
    turning = rotate(road.rotation, jnp.stack([bodies.turning[:, f - 1] for f in frames], axis=1))
    velocity = rotate(road.rotation, jnp.stack([bodies.velocity[:, f - 1] for f in frames], axis=1))
    carried = Carried(velocity + cross(turning, where.arm), turning)
    tread = state.belt[index][0] if topology.mechanism.belt else spin
    found = rolling(
        TYRE_LAWS[topology.mechanism.tyre_law], p.wheels, extra.wheels, where, frames, carried, tread, state.lag[index],
        *(by_block(topology, index, v) for v in (asked.height, asked.height_rate, asked.grip)),
    )  # fmt: skip
    axis = rotate_back(road.rotation, where.axis)
    about = _about(block, p, axis, bodies, state.velocity[3:], rate)
    arm = rotate_back(road.rotation, where.arm)
    return _Set(at, links.lines(block, at), bodies, axis, arm, found, *about, links.drop_arms(block, p, at))


def _driven(
    topology: Topology, car: CarParameters, moving: Moving, asked: Asked, state: MovingState, sets: list[_Set]
) -> Driven:
    """Shaft torques from their twists."""
    mean, turning = jnp.zeros_like(asked.engine), jnp.zeros_like(asked.engine)
    for i, (block, p, now) in enumerate(zip(topology.blocks, car.blocks, sets, strict=True)):
        relative = state.spin[i] - now.drive_about
        side = p.wheels.driven
        mean = mean + 0.5 * (jnp.abs(side) * relative).sum(axis=(0, 1))
        turning = turning - (side * relative).sum(axis=(0, 1))
        if block.block.pinion_body is not None:
            on = block.block.bodies.index(block.block.pinion_body)
            leaning = state.velocity[3] - now.bodies.turning[0, on].sum(axis=0)
            mean = mean + car.shaft_sense / car.final_drive * leaning
    ahead = state.driveline[0] - mean
    torque = friction.force(
        state.driveline[1], ahead, 2.0 * moving.half_shaft_rate, STUCK_LOSS, asked.clutch * moving.clutch, xp=jnp
    )
    lock = lock_torque(car.difference_preload, jnp.where(torque >= 0.0, car.lock_drive, car.lock_coast), torque, xp=jnp)
    half = friction.force(state.driveline[2], turning, 0.5 * moving.half_shaft_rate, STUCK_LOSS, 0.5 * lock, xp=jnp)
    return Driven(torque, 2.0 * half, ahead, turning)


class _Solvable(NamedTuple):
    """A block's part of the constraint solve."""

    inertias: Inertias
    held: Array  # (forces, motions + 1, c, B) G and the rack's column
    outside: Array  # (motions, c, B) known loads that are not forces of links
    solved: Array  # (motions + forces, 7, c, B) answers to the chassis' six accelerations and to what is known


def _kkt(block: BlockTopology, mass: Array, held: Array) -> Array:
    """[[M, G^T], [G, 0]], (n, n, c, B)."""
    g = held[:, : block.n_motion]
    corner = jnp.zeros((g.shape[0], g.shape[0], *g.shape[2:]))
    upper = jnp.concatenate([mass, g.swapaxes(0, 1)], axis=1)
    return jnp.concatenate([upper, jnp.concatenate([g, corner], axis=1)])


def _wrench(block: BlockTopology, p: BlockParameters, now: _Set, road: Attitude, gravity: Array, rotor: Array) -> Array:
    """Weight, tyres and rotors on the bodies of a block about their reference points, (6, bodies, c, B).

    rotor: (3, wheels, c, B) moment that changes of the wheels' spin put on what carries them.
    """
    weight = rotate_back(road.rotation, gravity)
    weight = weight.reshape((3,) + (1,) * (now.at.body_at.ndim - 2) + weight.shape[1:]) * p.body_mass
    wrench = jnp.concatenate([weight, jnp.zeros_like(weight)])
    force = rotate_back(road.rotation, now.rolling.force)
    moment = rotate_back(road.rotation, now.rolling.moment) + cross(now.arm, force) + rotor
    for w, frame in enumerate(block.wheel_frames):
        wrench = wrench.at[:, frame - 1].add(jnp.concatenate([force[:, w], moment[:, w]]))
    return wrench


class _Spun(NamedTuple):
    """Wheels of a block: how their spin changes, and what that puts on what carries them."""

    spin: Array  # (wheels, c, B) rad/s2
    belt: Array  # (2, wheels, c, B) or (0, ...)
    rotor: Array  # (3, wheels, c, B) N m, chassis axes
    losses: Array  # (B,) W


def _spun(
    topology: Topology,
    index: int,
    p: BlockParameters,
    moving: Moving,
    state: MovingState,
    now: _Set,
    road: Attitude,
    drive: Array,
    brake: Array,
) -> _Spun:
    w, extra = p.wheels, moving.blocks[index].wheels
    spin, belt = state.spin[index], state.belt[index]
    tyre = dot(rotate_back(road.rotation, now.rolling.moment), now.axis)
    drag = w.bearing_drag * spin
    if topology.mechanism.belt:
        through = extra.belt_rate * belt[1] + extra.belt_damping * (spin - belt[0])
        rim, of_belt = w.spin_inertia - extra.belt_inertia, extra.belt_inertia
        spin_rate, belt_rate = (drive - brake - drag - through) / rim, (tyre + through) / of_belt
        momentum, change = rim * spin + of_belt * belt[0], rim * spin_rate + of_belt * belt_rate
        belts = jnp.stack([belt_rate, spin - belt[0]])
        losses = -(extra.belt_damping * (spin - belt[0]) ** 2)
    else:
        spin_rate = (tyre + drive - brake - drag) / w.spin_inertia
        momentum, change = w.spin_inertia * spin, w.spin_inertia * spin_rate
        belts, losses = belt, jnp.zeros_like(spin)
    turning = jnp.stack([now.bodies.turning[:, f - 1] for f in topology.blocks[index].wheel_frames], axis=1)
    rotor = -momentum * cross(turning, now.axis) - change * now.axis
    losses = losses - drag * (spin - dot(turning, now.axis))
    return _Spun(spin_rate, belts, rotor, losses.sum(axis=(0, 1)))


def instant(  # noqa: PLR0915
    topology: Topology,
    pivots: tuple[Pivots, ...],
    car: CarParameters,
    moving: Moving,
    asked: Asked,
    state: MovingState,
    chassis_free: float = 1.0,
    applied: tuple[Array, ...] | None = None,
) -> Instant:
    """The car at an instant. With `chassis_free` 0 the chassis keeps its velocity whatever acts on it.

    `applied`: more loads on the motions of each block, (motions, c, B) N and N m on bodies in chassis axes, which no
    part of the car bears: rig loads, as on a shaker or beside another engine. Their work is in no account.
    """
    road = chassis_attitude(*state.attitude)
    sets = [_placed(topology, i, car, moving, asked, state) for i in range(len(topology.blocks))]
    driven = _driven(topology, car, moving, asked, state, sets)
    bars, bar_energy = _bar_torques(topology, car, [now.arms.angle for now in sets])
    turn = state.velocity[3:]
    sprung = chassis_inertia(car.mass, car.mass_at, moving.sprung_inertia, turn)
    on_chassis = _on_chassis(car, asked, road, state, sprung.mass, sprung.moment)
    matrix, right = sprung.matrix, on_chassis.wrench - sprung.bias
    solvable, blocks, brakes, spuns, friction_power = [], [], [], [], -driven.torque * driven.speed
    friction_power = friction_power - 0.5 * driven.difference * driven.turning
    for i, (block, p, now) in enumerate(zip(topology.blocks, car.blocks, sets, strict=True)):
        extra = moving.blocks[i]
        tail = state.spin[i].shape[1:]
        drive = half_shaft(p.wheels.driven, driven.torque, driven.difference) + jnp.zeros_like(state.spin[i])
        brake_speed = state.spin[i] - now.brake_about
        brake = friction.force(
            state.brake[i], brake_speed, extra.wheels.brake_rate, STUCK_LOSS, p.wheels.brake_gain * asked.brake, xp=jnp
        )
        spun = _spun(topology, i, p, moving, state, now, road, drive, brake)
        rate = _with_rack(state.rate[i], asked.rack_speed * car.rack_sense)
        seal_speed = links.damped_rates(block, now.lines, rate)
        seal = friction.force(state.seal[i], seal_speed, SEAL_RATE, STUCK_LOSS, extra.seal, xp=jnp)
        pulls = links.pulls(block, p, extra, now.at, now.lines, rate, seal, now.arms, bars[i])
        shafts = torques(block, p, car, now.axis, driven.torque + jnp.zeros(tail), drive, brake)
        wrench = _wrench(block, p, now, road, asked.gravity, spun.rotor) + shafts.bodies
        own = wrench.swapaxes(0, 1).reshape((6 * block.n_bodies, *tail))
        outside = jnp.concatenate([own, shafts.parts]) + (0.0 if applied is None else applied[i])
        mass = inertias(block, p, extra, now.at, state.velocity, now.bodies)
        held = links.held_rows(block, now.lines)
        error = links.errors(block, p, now.lines)
        drifting = (held * rate[None]).sum(axis=1)
        curving = links.bias(
            block, p, state.motion[i], unknown_rates(block, state.motion[i], state.rate[i]),
            jnp.stack([asked.rack, asked.rack_speed]) * car.rack_sense, rate,
        )  # fmt: skip
        pushed = held[:, -1] * (asked.rack_acceleration * car.rack_sense)
        kept = -curving - pushed - 2.0 * STABLE * drifting - STABLE**2 * error
        known = jnp.concatenate([pulls.on_motion + outside - mass.bias, kept])[:, None]
        columns = jnp.concatenate([mass.carried, jnp.zeros((held.shape[0], 6, *tail))])
        solved = eliminate(_kkt(block, mass.matrix, held), jnp.concatenate([columns, known], axis=1), pivots[i])
        solvable.append(_Solvable(mass, held, outside, solved))
        nm = block.n_motion
        # what the bodies' accelerations leave for the chassis: its own six columns and the known one
        per_body = mass.carried - (mass.matrix[:, :, None] * solved[None, :nm, :6]).sum(axis=1)
        left = outside - mass.bias - (mass.matrix * solved[None, :nm, 6]).sum(axis=1)
        matrix = matrix + (mass.carry[:, :, None] * per_body[:, None]).sum(axis=(0, 3))
        right = right + (mass.carry * left[:, None]).sum(axis=(0, 2)) + shafts.chassis.sum(axis=1)
        brakes.append(brake)
        spuns.append(spun)
        blocks.append((pulls, brake_speed, seal_speed, error, rate))
        friction_power = friction_power - (brake * brake_speed).sum(axis=(0, 1)) - (seal * seal_speed).sum(axis=(0, 1))
    chassis = chassis_free * eliminate(matrix, right[:, None], _SIX)[:, 0]
    motion, forces = [], []
    for block, one in zip(topology.blocks, solvable, strict=True):
        found = one.solved[:, 6] - (one.solved[:, :6] * chassis[None, :, None]).sum(axis=1)
        motion.append(found[: block.n_motion])
        forces.append(found[block.n_motion :])
    accelerations = Accelerations(chassis, tuple(motion), tuple(forces))
    return _told(
        topology, car, moving, asked, state, road, sets, driven, accelerations, solvable, blocks, brakes, spuns,
        on_chassis.air_power, bar_energy, friction_power, sprung.matrix,
    )  # fmt: skip


_SIX: Pivots = tuple((i, i) for i in (3, 4, 5, 0, 1, 2))


class _Chassis(NamedTuple):
    wrench: Array  # (6, B) weight and air, chassis axes about the chassis origin
    air_power: Array  # (B,) W


def _on_chassis(
    car: CarParameters, asked: Asked, road: Attitude, state: MovingState, mass: Array, first: Array
) -> _Chassis:
    weight = rotate_back(road.rotation, asked.gravity)
    wrench = jnp.concatenate([weight * mass, cross(first, weight)])
    velocity = rotate(road.rotation, state.velocity[:3])
    power = jnp.zeros_like(mass)
    for push, at in border.air(car, velocity[0]):
        turned = rotate_back(road.rotation, push)
        wrench = wrench + jnp.concatenate([turned, cross(at, turned)])
        power = power + dot(turned, state.velocity[:3] + cross(state.velocity[3:], at))
    return _Chassis(wrench, power)


def _told(  # noqa: ANN202
    topology, car, moving, asked, state, road, sets, driven, accelerations, solvable, blocks, brakes, spuns,  # noqa: ANN001
    air_power, bar_energy, friction_power, sprung_matrix,  # noqa: ANN001
):  # fmt: skip
    """Rates of the state, power of everything that works on the car, and the energy in it."""
    v, turn = state.velocity[:3], state.velocity[3:]
    forward = rotate(road.rotation, v)
    yaw, pitch, roll = state.place[2], state.attitude[1], state.attitude[2]
    yaw_rate = (turn[1] * jnp.sin(roll) + turn[2] * jnp.cos(roll)) / jnp.cos(pitch)
    pitch_rate = turn[1] * jnp.cos(roll) - turn[2] * jnp.sin(roll)
    roll_rate = turn[0] + yaw_rate * jnp.sin(pitch)
    c, s = jnp.cos(yaw), jnp.sin(yaw)
    place = jnp.stack([c * forward[0] - s * forward[1], s * forward[0] + c * forward[1], yaw_rate, forward[0]])
    chassis = accelerations.chassis
    velocity = jnp.concatenate([chassis[:3] - cross(turn, v), chassis[3:]])
    tyres = dampers = losses = steering = jnp.zeros_like(driven.torque)
    kinetic = 0.5 * (state.velocity * (sprung_matrix * state.velocity[None]).sum(axis=1)).sum(axis=0)
    kinetic = kinetic + 0.5 * moving.engine_inertia * state.driveline[0] ** 2
    elastic, weight = bar_energy, -dot(asked.gravity, rotate(road.rotation, (car.mass * car.mass_at).sum(axis=1)))
    weight = weight - car.mass.sum(axis=0) * (asked.gravity[2] * state.attitude[0])
    told, brake_rates, seal_rates, lag_rates = [], [], [], []
    for i, (block, p, now) in enumerate(zip(topology.blocks, car.blocks, sets, strict=True)):
        pulls, brake_speed, seal_speed, error, rate = blocks[i]
        extra, roll_on = moving.blocks[i], now.rolling
        spin, belt = state.spin[i], state.belt[i]
        tread = belt[0] if topology.mechanism.belt else spin
        about = dot(rotate_back(road.rotation, roll_on.moment), now.axis)
        tyres = tyres + (dot(roll_on.force, roll_on.point_velocity) + about * tread).sum(axis=(0, 1))
        dampers = dampers - (pulls.damper_tension * seal_speed).sum(axis=(0, 1))
        losses = losses + links.loss_power(block, pulls).sum(axis=0) + spuns[i].losses
        rack = rate[-1]
        steering = steering + (accelerations.forces[i] * solvable[i].held[:, -1] * rack).sum(axis=(0, 1))
        steering = steering + links.rack_power(block, now.lines, pulls, rack).sum(axis=0)
        whole = _kinetic(block, p, extra, now)
        if topology.mechanism.belt:
            rim = p.wheels.spin_inertia - extra.wheels.belt_inertia
            whole = whole + 0.5 * (rim * spin**2 + extra.wheels.belt_inertia * belt[0] ** 2).sum(axis=(0, 1))
            elastic = elastic + 0.5 * (extra.wheels.belt_rate * belt[1] ** 2).sum(axis=(0, 1))
        else:
            whole = whole + 0.5 * (p.wheels.spin_inertia * spin**2).sum(axis=(0, 1))
        kinetic, elastic = kinetic + whole, elastic + pulls.elastic_energy
        at = rotate(road.rotation, now.at.body_at)
        height = (
            dot(jnp.broadcast_to(asked.gravity[:, None, None], at.shape), at) + asked.gravity[2] * state.attitude[0]
        )
        weight = weight - (p.body_mass * height).sum(axis=(0, 1))
        limit = p.wheels.brake_gain * asked.brake
        brake_rates.append(friction.rate(state.brake[i], brake_speed, extra.wheels.brake_rate, limit, xp=jnp))
        seal_rates.append(friction.rate(state.seal[i], seal_speed, SEAL_RATE, extra.seal, xp=jnp))
        lag_rates.append(roll_on.lag_rate)
        centre = state.attitude[0] + rotate(road.rotation, now.arm + _reference(block, now))[2]
        told.append(BlockInstant(now.at, pulls, roll_on, brakes[i], accelerations.forces[i], error, centre))
    lock = lock_torque(
        car.difference_preload, jnp.where(driven.torque >= 0.0, car.lock_drive, car.lock_coast), driven.torque, xp=jnp
    )
    driveline = jnp.stack(
        [
            (asked.engine - driven.torque) / moving.engine_inertia,
            friction.rate(
                state.driveline[1], driven.speed, 2.0 * moving.half_shaft_rate, asked.clutch * moving.clutch, xp=jnp
            ),
            friction.rate(state.driveline[2], driven.turning, 0.5 * moving.half_shaft_rate, 0.5 * lock, xp=jnp),
        ]
    )
    power = jnp.stack([asked.engine * state.driveline[0], tyres, dampers, losses, friction_power, air_power, steering])
    rates = MovingState(
        place=place,
        attitude=jnp.stack([forward[2], pitch_rate, roll_rate]),
        velocity=velocity,
        motion=tuple(unknown_rates(b, m, r) for b, m, r in zip(topology.blocks, state.motion, state.rate, strict=True)),
        rate=accelerations.motion,
        spin=tuple(one.spin for one in spuns),
        lag=tuple(lag_rates),
        belt=tuple(one.belt for one in spuns),
        brake=tuple(brake_rates),
        seal=tuple(seal_rates),
        driveline=driveline,
        work=power,
        drift=jnp.zeros_like(state.drift),
    )
    return Instant(rates, accelerations, tuple(told), driven, jnp.stack([kinetic, weight, elastic]))


def _reference(block: BlockTopology, now: _Set) -> Array:
    """Reference point of each wheel's body, chassis axes, (3, wheels, c, B)."""
    return jnp.stack([now.at.body_at[:, f - 1] for f in block.wheel_frames], axis=1)


def _kinetic(block: BlockTopology, p: BlockParameters, moving, now: _Set) -> Array:  # noqa: ANN001
    """Kinetic energy of the bodies without the wheels' spin, J, (B,)."""
    rotation = now.at.body_rotation
    own = (rotation * now.bodies.turning[:, None]).sum(axis=0)  # turning in the body's own axes
    moving_energy = p.body_mass * dot(now.bodies.velocity, now.bodies.velocity) + (moving.inertia * own * own).sum(
        axis=0
    )
    return 0.5 * moving_energy.sum(axis=(0, 1))


def pivots_of(topology: Topology, car: CarParameters, moving: Moving) -> tuple[Pivots, ...]:
    """Pivot order of each block's constraint solve, found on the drawn car (host)."""
    from axlewright.model.elimination import pivot_order

    orders = []
    for block, p, extra in zip(topology.blocks, car.blocks, moving.blocks, strict=True):
        motion = jnp.zeros((block.n_motion, block.n_copies, 1))
        at = placed(block, p, motion, jnp.zeros(1))
        bodies = body_motion(block, at, jnp.zeros((6, 1)), motion)
        mass = inertias(block, p, extra, at, jnp.zeros((6, 1)), bodies)
        matrix = _kkt(block, mass.matrix, links.held_rows(block, links.lines(block, at)))
        orders.append(pivot_order(np.asarray(matrix[:, :, 0, 0])))
    return tuple(orders)


def projected(
    topology: Topology, pivots: tuple[Pivots, ...], car: CarParameters, moving: Moving, asked: Asked, state: MovingState
) -> MovingState:
    """The state with rigid lengths and their speeds put right by the least change, weighed by mass; the largest error
    found goes to `drift`.
    """
    motions, rates, worst = [], [], state.drift[0]
    for i, (block, p, extra) in enumerate(zip(topology.blocks, car.blocks, moving.blocks, strict=True)):
        motion, rate = state.motion[i], state.rate[i]
        at = placed(block, p, motion, asked.rack * car.rack_sense)
        found = links.lines(block, at)
        bodies = body_motion(block, at, state.velocity, rate)
        mass = inertias(block, p, extra, at, state.velocity, bodies)
        held = links.held_rows(block, found)
        error = links.errors(block, p, found)
        drifting = (held * _with_rack(rate, asked.rack_speed * car.rack_sense)[None]).sum(axis=1)
        none = jnp.zeros((block.n_motion, 2, *error.shape[1:]))
        right = jnp.concatenate([none, -jnp.stack([error, drifting], axis=1)])
        step = eliminate(_kkt(block, mass.matrix, held), right, pivots[i])[: block.n_motion]
        motions.append(motion + unknown_rates(block, motion, step[:, 0]))
        rates.append(rate + step[:, 1])
        if error.shape[0]:
            worst = jnp.maximum(worst, jnp.abs(error).max(axis=(0, 1)))
    return state._replace(motion=tuple(motions), rate=tuple(rates), drift=worst[None])

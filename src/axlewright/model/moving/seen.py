"""What is seen of a car in motion at an instant: the numbers that people look at, from the state and its equations."""

from __future__ import annotations

from typing import NamedTuple

import jax.numpy as jnp

from axlewright.model.elimination import Pivots
from axlewright.model.ground import chassis_attitude
from axlewright.model.moving import system
from axlewright.model.moving.parameters import Asked, Moving, MovingState
from axlewright.model.parameters import CarParameters
from axlewright.model.topology import Topology
from axlewright.model.vectors import Array, cross, rotate
from axlewright.parts import TYRE_LAWS, TyreLaw

RAYS = 48  # slips at which the most that a tyre could give is looked for
FARTHEST = 4.0  # times the present slip, and not less than the slips below
NEAREST = (0.25, 0.35)  # slip ratio and tan(slip angle) that lie past any peak


class SeenBlock(NamedTuple):
    """One block."""

    tension: Array  # (links, c, B) N: rigid ones first
    extension: Array  # (elastic, c, B) m
    extension_rate: Array  # (elastic, c, B) m/s
    damper_push: Array  # (damped, c, B) N
    drop_tension: Array  # (ends, c, B) N
    pitch: Array  # (bodies, c, B) rad against the chassis, nose down positive
    pitch_rate: Array  # (bodies, c, B)
    points: Array  # (3, points, c, B) link ends and joints, chassis axes


class SeenWheels(NamedTuple):
    """All wheels in model order, (wheels, B)."""

    load: Array
    longitudinal: Array
    lateral: Array
    slip_ratio: Array
    slip_angle: Array
    use: Array  # force over the most that the tyre could give at this load in this direction of slip
    past_peak: Array  # 1 beyond the peak
    spin: Array
    brake_torque: Array
    deflection: Array
    centre_height: Array  # above the road plane
    road_height: Array


class SeenCar(NamedTuple):
    """The whole car, (B,) unless said."""

    x: Array
    y: Array
    yaw: Array
    distance: Array
    heave: Array
    pitch: Array
    roll: Array
    speed: Array
    sideslip: Array
    yaw_rate: Array
    pitch_rate: Array
    roll_rate: Array
    ax: Array
    ay: Array
    az: Array
    rack: Array
    axle_torque: Array
    difference: Array
    driveline_speed: Array
    drift: Array
    stored: Array  # (3, B) kinetic, of weight, elastic
    work: Array  # (7, B)


class SeenNow(NamedTuple):
    """Everything."""

    car: SeenCar
    wheels: SeenWheels
    blocks: tuple[SeenBlock, ...]


def seen(
    topology: Topology, pivots: tuple[Pivots, ...], car: CarParameters, moving: Moving, asked: Asked, state: MovingState
) -> SeenNow:
    """What is seen of a state."""
    now = system.instant(topology, pivots, car, moving, asked, state)
    road = chassis_attitude(*state.attitude)
    turn = state.velocity[3:]
    acceleration = now.accelerations.chassis
    centre = car.centre
    at_centre = acceleration[:3] + cross(acceleration[3:], centre) + cross(turn, cross(turn, centre))
    gained = rotate(road.rotation, at_centre)
    velocity = rotate(road.rotation, state.velocity[:3] + cross(turn, centre))
    rates = now.rates
    whole = SeenCar(
        x=state.place[0], y=state.place[1], yaw=state.place[2], distance=state.place[3],
        heave=state.attitude[0], pitch=state.attitude[1], roll=state.attitude[2],
        speed=velocity[0], sideslip=jnp.arctan2(velocity[1], jnp.maximum(velocity[0], 1e-3)),
        yaw_rate=rates.place[2], pitch_rate=rates.attitude[1], roll_rate=rates.attitude[2],
        ax=gained[0], ay=gained[1], az=gained[2],
        rack=asked.rack, axle_torque=now.driven.torque, difference=now.driven.difference,
        driveline_speed=state.driveline[0], drift=state.drift[0], stored=now.stored, work=state.work,
    )  # fmt: skip
    law = TYRE_LAWS[topology.mechanism.tyre_law]
    wheels: list[list[Array]] = [[] for _ in SeenWheels._fields]
    blocks = []
    for i, (block, p, here) in enumerate(zip(topology.blocks, car.blocks, now.blocks, strict=True)):
        r = here.rolling
        grip = system.by_block(topology, i, asked.grip)
        use, past = _use(law, p.wheels.tyre, r, grip)
        values = (
            r.load, r.longitudinal, r.lateral, r.slip_ratio, r.slip_angle, use, past, state.spin[i], here.brake_torque,
            r.at.deflection, here.centre_height, system.by_block(topology, i, asked.height),
        )  # fmt: skip
        for c in range(block.n_copies):
            for w in range(block.n_wheels):
                for column, value in zip(wheels, values, strict=True):
                    column.append(value[w, c])
        turned = here.at.body_rotation
        swinging = jnp.stack([state.rate[i][6 * k + 3 : 6 * k + 6] for k in range(block.n_bodies)], axis=1)
        blocks.append(
            SeenBlock(
                tension=jnp.concatenate([here.forces[: block.n_rigid], here.pulls.link_tension]),
                extension=here.pulls.extension,
                extension_rate=here.pulls.extension_rate,
                damper_push=-(here.pulls.damper_tension + here.pulls.seal_tension),
                drop_tension=here.pulls.drop_tension,
                pitch=-jnp.arcsin(turned[2, 0]),
                pitch_rate=swinging[1],
                points=here.at.points,
            )
        )
    return SeenNow(whole, SeenWheels(*(jnp.stack(column) for column in wheels)), tuple(blocks))


def _use(law: TyreLaw, tyre, r, grip: Array) -> tuple[Array, Array]:  # noqa: ANN001
    """Share of the most that a tyre could give if it slipped more or less in its present direction, and past it."""
    tangent = jnp.tan(r.slip_angle)
    size = jnp.sqrt((r.slip_ratio / NEAREST[0]) ** 2 + (tangent / NEAREST[1]) ** 2)
    reach = jnp.maximum(FARTHEST, 1.0 / jnp.maximum(size, 1e-6))
    shares = ((jnp.arange(1, RAYS + 1) / RAYS) ** 2)[:, None, None, None]

    def push(share: Array) -> Array:
        fx, fy = law.forces(
            tyre, r.load, jnp.arctan(share * tangent), share * r.slip_ratio, r.at.inclination, grip, xp=jnp
        )
        return jnp.sqrt(fx * fx + fy * fy)

    here, each = push(jnp.ones_like(reach)), push(shares * reach)
    best = jnp.maximum(each.max(axis=0), here)
    past = jnp.take(shares[:, 0, 0, 0], jnp.argmax(each, axis=0)) * reach < 1.0 - 0.5 / RAYS
    touching = r.load > 1.0
    return jnp.where(touching, here / jnp.maximum(best, 1e-9), 0.0), (past & touching) * 1.0

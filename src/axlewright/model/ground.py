"""Road, tyres, weight and inertia on the unsprung bodies of one block.

The wheel's contact centre is the road point straight down the wheel plane from its centre. Directions of travel are
v / V, so nothing here divides by the speed: yaw rate enters as path curvature k = r / V, which is taken as zero at
standstill. Effective rolling radius: free radius minus a third of the deflection (textbook approximation for a radial
tyre, from memory); it only sets spin speeds.
"""

from __future__ import annotations

from typing import NamedTuple

import jax
import jax.numpy as jnp

from axlewright.model.parameters import BlockParameters, Demand, Wheels
from axlewright.model.topology import BlockTopology
from axlewright.model.vectors import (
    Array,
    align,
    attitude,
    cayley,
    cayley_rate,
    cross,
    dot,
    identity,
    rotate,
    rotate_back,
    skew,
    turn_x,
)
from axlewright.parts import TyreLaw
from axlewright.parts.tyre import vertical_load

# Spin-up torque fades out below about this load: an unloaded free wheel isn't spun up by the road, and without the fade
# a lightly loaded undriven wheel ends the solution far below the true limit.
SPIN_FADE_LOAD = 100.0  # N
# A free wheel in the air keeps turning at road speed for the seconds that a held state stands for; this torque per unit
# slip says so. At a normal load it changes a slip by less than 1e-5. Bearing drag of a free wheel fades with its load
# likewise, else it would slowly stop; a driven wheel keeps its drag, which is what bounds its speed once lifted.
KEEP_TURNING = 1.0  # N m


class Ground(NamedTuple):
    """Loads from outside the car on the bodies of a block, in the chassis half's axes about their reference points."""

    wrench: Array  # (6, bodies, c, B) tyres, weight, inertia, gyroscopic and spin-up moments
    # (wheels, c, B) N m: tyre, bearing and spin-up torque about the spin axis, positive speeds the wheel up
    spin: Array
    turning: Array  # (wheels, c, B) wheel speed over car speed, rad/m
    axis: Array  # (3, wheels, c, B) spin axis in chassis axes


class Contact(NamedTuple):
    """What the tyres do: road axes, each (wheels, c, B) unless said."""

    centre: Array  # (3, ...) wheel centre
    point: Array  # (3, ...) contact centre
    forward: Array  # (3, ...) wheel heading on the road
    deflection: Array
    load: Array
    slip_angle: Array
    inclination: Array
    along: Array  # speed of the contact centre along the wheel's heading over the car's speed
    longitudinal: Array  # Fx in tyre axes, N
    lateral: Array  # Fy
    rolling_radius: Array


class Attitude(NamedTuple):
    """Road placement of the chassis half that carries a block."""

    rotation: Array  # (3, 3, B) or (3, 3, c, B)
    origin: Array  # (3, B) or (3, c, B)


def chassis_attitude(heave: Array, pitch: Array, roll: Array) -> Attitude:
    """Front half (or a stiff chassis): rotation Ry(pitch) Rx(roll) about the origin, lifted by heave."""
    zero = jnp.zeros_like(heave)
    return Attitude(attitude(pitch, roll), jnp.stack([zero, zero, heave]))


def twisted(front: Attitude, twist: Array, height: Array) -> Attitude:
    """Rear half of a chassis that twists by `twist` about an axis along x at `height` above the origin."""
    turn, zero = turn_x(twist), jnp.zeros_like(twist)
    rotation = jnp.stack([rotate(front.rotation, turn[:, j]) for j in range(3)], axis=1)
    axis_point = jnp.stack([zero, zero, zero + height])
    return Attitude(rotation, front.origin + rotate(front.rotation, axis_point) - rotate(rotation, axis_point))


def curvature(demand: Demand, sideslip: Array) -> Array:
    """Path curvature k = r / V in 1/m, left positive; zero at standstill."""
    return (demand.ay * jnp.cos(sideslip) - demand.ax * jnp.sin(sideslip)) * demand.inverse_speed_squared


class Wheelhouse(NamedTuple):
    """What the tyres of a block need to know besides where the wheels are."""

    law: TyreLaw
    wheels: Wheels
    demand: Demand
    centre_of_mass: Array  # (3, B)
    height: Array  # (wheels, c, B) of the road, m


class Stance(NamedTuple):
    """Bodies and wheels of a block in road axes."""

    body: Array  # (3, bodies, c, B) reference points
    arm: Array  # (3, wheels, c, B) wheel centre from its body's reference point
    axis: Array  # (3, wheels, c, B) spin axis

    def centre(self, frames: tuple[int, ...]) -> Array:
        """Wheel centres, (3, wheels, c, B)."""
        return jnp.stack([self.body[:, f - 1] for f in frames], axis=1) + self.arm


def stance(topology: BlockTopology, p: BlockParameters, road: Attitude, motion: Array) -> Stance:
    """Where bodies and wheels are, road axes."""
    at = _body_at(topology, p, motion)
    arms, axes = [], []
    for i, frame in enumerate(topology.wheel_frames):
        k = frame - 1
        turn = cayley(motion[6 * k + 3 : 6 * k + 6])
        arms.append(rotate(turn, p.wheels.centre[:, i] - p.body_at[:, k]))
        axes.append(rotate(turn, p.wheels.axis[:, i]))
    body = align(road.origin, at) + rotate(road.rotation, at)
    return Stance(body, rotate(road.rotation, jnp.stack(arms, axis=1)), rotate(road.rotation, jnp.stack(axes, axis=1)))


class Footprint(NamedTuple):
    """Where a wheel meets the road, road axes; each (wheels, c, B) unless said."""

    point: Array  # (3, ...) contact centre
    forward: Array  # (3, ...) wheel heading on the road
    deflection: Array
    inclination: Array
    upright: Array  # cosine of the inclination


def footprint(free_radius: Array, height: Array, centre: Array, axis: Array) -> Footprint:
    """Contact of wheels at `centre` (3, wheels, c, B) with spin `axis` and the road `height` below, road axes."""
    n = axis
    upright = jnp.sqrt(1.0 - n[2] * n[2])
    radius = (centre[2] - height) / upright
    down = jnp.stack([n[0] * n[2], n[1] * n[2], n[2] * n[2] - 1.0]) / upright
    forward = jnp.stack([n[1], -n[0], jnp.zeros_like(upright)]) / upright
    return Footprint(centre + radius * down, forward, free_radius - radius, jnp.arcsin(n[2]), upright)


def rolling_radius(free_radius: Array, deflection: Array) -> Array:
    """Effective rolling radius, m."""
    return free_radius - jnp.maximum(deflection, 0.0) / 3.0


def contact(house: Wheelhouse, centre: Array, axis: Array, sideslip: Array, slip: Array) -> Contact:
    """Contact geometry and tyre forces of wheels at `centre` with spin `axis`, road axes."""
    w, demand = house.wheels, house.demand
    at = footprint(w.free_radius, house.height, centre, axis)
    point, forward = at.point, at.forward
    k = curvature(demand, sideslip)
    vx = jnp.cos(sideslip) - k * (point[1] - house.centre_of_mass[1])
    vy = jnp.sin(sideslip) + k * (point[0] - house.centre_of_mass[0])
    along = vx * forward[0] + vy * forward[1]
    across = vy * forward[0] - vx * forward[1]
    slip_angle = jnp.arctan2(across, along)
    load = vertical_load(w.tyre, at.deflection, w.pressure, xp=jnp)
    fx, fy = house.law.forces(w.tyre, load, slip_angle, slip, at.inclination, demand.grip, xp=jnp)
    return Contact(
        centre=centre,
        point=point,
        forward=forward,
        deflection=at.deflection,
        load=load,
        slip_angle=slip_angle,
        inclination=at.inclination,
        along=along,
        longitudinal=fx * demand.rolling,
        lateral=fy * demand.rolling,
        rolling_radius=rolling_radius(w.free_radius, at.deflection),
    )


def wheel_loads(house: Wheelhouse, at: Contact, axis: Array, sideslip: Array, slip: Array) -> Array:
    """(8, wheels, c, B): force on the wheel and moment about its centre, road axes; spin torque; turning."""
    w, demand, forward, n = house.wheels, house.demand, at.forward, axis
    force = jnp.stack(
        [
            at.longitudinal * forward[0] - at.lateral * forward[1],
            at.longitudinal * forward[1] + at.lateral * forward[0],
            at.load,
        ]
    )
    turning = (1.0 + slip) * at.along / at.rolling_radius  # rad/m
    fade = at.load / (at.load + SPIN_FADE_LOAD)
    free = 1.0 - jnp.abs(w.driven)
    spin_up = w.spin_inertia * demand.ax * turning * fade * demand.rolling
    drag = w.bearing_drag * demand.speed * turning * (1.0 - free * (1.0 - fade)) + KEEP_TURNING * free * slip
    yaw_spin = curvature(demand, sideslip) * demand.speed**2 * turning * w.spin_inertia  # Iw w r
    gyroscopic = jnp.stack([yaw_spin * n[1], -yaw_spin * n[0], jnp.zeros_like(yaw_spin)])  # -Iw w r (z x n)
    turned = cross(at.point - at.centre, force)
    spin = dot(n, turned) - spin_up - drag * demand.rolling
    moment = turned + gyroscopic - spin_up * n
    return jnp.concatenate([force, moment, spin[None], turning[None]])


def ground(
    topology: BlockTopology,
    p: BlockParameters,
    house: Wheelhouse,
    road: Attitude,
    motion: Array,
    sideslip: Array,
    slip: Array,
) -> tuple[Ground, Contact]:
    """Loads on the bodies of a block from road, weight and inertia."""
    where = stance(topology, p, road, motion)
    at = contact(house, where.centre(topology.wheel_frames), where.axis, sideslip, slip)
    loads = wheel_loads(house, at, where.axis, sideslip, slip)
    wrench = _on_bodies(topology, p, house, where, loads)
    turned = jnp.concatenate([rotate_back(road.rotation, wrench[:3]), rotate_back(road.rotation, wrench[3:])])
    return Ground(turned, loads[6], loads[7], rotate_back(road.rotation, where.axis)), at


def _on_bodies(topology: BlockTopology, p: BlockParameters, house: Wheelhouse, where: Stance, loads: Array) -> Array:
    """Wrench on each body about its reference point, road axes, (6, bodies, c, B)."""
    force = _mass_force(p, house.demand, house.centre_of_mass, where.body)
    zero = jnp.zeros_like(p.body_mass)
    bodies = jnp.concatenate([force, jnp.stack([zero, zero, -p.body_yaw_inertia * house.demand.yaw_acceleration])])
    return _with_wheels(topology, bodies, jnp.concatenate([loads[:3], loads[3:6] + cross(where.arm, loads[:3])]))


def _with_wheels(topology: BlockTopology, bodies: Array, wheels: Array) -> Array:
    """Wrenches on the bodies (6, bodies, ...) with those of the wheels (6, wheels, ...) that they carry."""
    for w, frame in enumerate(topology.wheel_frames):
        on = jnp.array([float(i == frame - 1) for i in range(topology.n_bodies)])
        bodies = bodies + wheels[:, w : w + 1] * on.reshape((-1,) + (1,) * (wheels.ndim - 2))
    return bodies


def _mass_force(p: BlockParameters, demand: Demand, centre_of_mass: Array, at: Array) -> Array:
    """Weight minus acceleration times mass at road points, (3, bodies, c, B)."""
    return (align(demand.force, at) + turned_by_yaw(demand, at - align(centre_of_mass, at))) * p.body_mass


def turned_by_yaw(demand: Demand, where: Array) -> Array:
    """Inertia load per mass of turning and of a yaw acceleration at a place `where` from the centre of mass, road axes.

    The yaw rate is taken as ay / V, which leaves out the share of the sideslip in a load that is itself about 1 % of
    the car's: r^2 times a metre. At standstill there is none.
    """
    alpha, square = demand.yaw_acceleration, demand.ay**2 * demand.inverse_speed_squared
    outward_x, outward_y = square * where[0], square * where[1]
    return jnp.stack([alpha * where[1] + outward_x, -alpha * where[0] + outward_y, jnp.zeros_like(where[0])])


def _body_at(topology: BlockTopology, p: BlockParameters, motion: Array) -> Array:
    """Centres of mass of the bodies, chassis axes, (3, bodies, c, B)."""
    return jnp.stack([p.body_at[:, i] + motion[6 * i : 6 * i + 3] for i in range(topology.n_bodies)], axis=1)


def specific_load(demand: Demand, road: Attitude, centre_of_mass: Array, at: Array) -> Array:
    """Weight minus acceleration per mass at chassis points `(3, ..., B)`, road axes, m/s2.

    The demand's acceleration is that of the car's centre of mass; a yaw acceleration adds its lever arm.
    """
    where = align(road.origin, at) + rotate(road.rotation, at) - align(centre_of_mass, at)
    return align(demand.force, at) + turned_by_yaw(demand, where)


class GroundSlopes(NamedTuple):
    """Derivatives of a block's ground loads to body poses (Cayley unknowns), heave, pitch, roll, sideslip and slips."""

    wrench: Array  # (6, bodies, columns, c, B) chassis axes
    spin: Array  # (wheels, columns, c, B)
    turning: Array  # (wheels, columns, c, B)
    axis: Array  # (3, wheels, columns, c, B) chassis axes


def ground_slopes(
    topology: BlockTopology,
    p: BlockParameters,
    house: Wheelhouse,
    road: Attitude,
    motion: Array,
    sideslip: Array,
    slip: Array,
) -> GroundSlopes:
    """Exact derivatives of `ground`.

    The tyres are differentiated by JAX to the wheel's own small movement in road axes (translation, rotation), the
    sideslip and the slip: eight tangents through the tyre alone. Where those movements come from is geometry, written
    out.
    """
    where = stance(topology, p, road, motion)
    moves = _moves(topology, road, where, motion)  # (6, wheels or bodies, columns, c, B)
    loads, slopes = _tyre_slopes(topology, house, where, sideslip, slip)
    n, nw = moves.wheel.shape[2], topology.n_wheels
    # columns of the wheels: movement, then sideslip and own slip
    by_move = (slopes[:, :6, :, None] * moves.wheel[None]).sum(axis=1)  # (8, wheels, columns, c, B)
    own = jnp.eye(nw).reshape((1, nw, nw, 1, 1))
    wheel = jnp.concatenate([by_move, slopes[:, 6][:, :, None], slopes[:, 7][:, :, None] * own], axis=2)

    def pad(a: Array) -> Array:
        return jnp.concatenate([a, jnp.zeros((*a.shape[:2], 1 + nw, *a.shape[3:]))], axis=2)

    arm, arm_move = where.arm[:, :, None], pad(moves.arm)
    force, moment = wheel[:3], wheel[3:6] + cross(jnp.broadcast_to(arm, wheel[:3].shape), wheel[:3])
    moment = moment + cross(arm_move, jnp.broadcast_to(loads[:3][:, :, None], arm_move.shape))
    mass = turned_by_yaw(house.demand, pad(moves.body)) * p.body_mass[:, None]
    bodies = _with_wheels(topology, jnp.concatenate([mass, jnp.zeros_like(mass)]), jnp.concatenate([force, moment]))
    # chassis axes: R^T W, and the turning of R itself under pitch and roll
    wrench = _on_bodies(topology, p, house, where, loads)
    turning = jnp.zeros((3, 1, n + 1 + nw, *wrench.shape[2:]))
    turning = turning.at[:, 0, n - 2 : n].set(moves.turn)

    def spun(v: Array) -> Array:
        return cross(
            jnp.broadcast_to(v[:, :, None], (*v.shape[:2], n + 1 + nw, *v.shape[2:])),
            jnp.broadcast_to(turning, (3, v.shape[1], *turning.shape[2:])),
        )

    def back(v: Array) -> Array:
        return rotate_back(road.rotation, v)

    return GroundSlopes(
        wrench=jnp.concatenate([back(bodies[:3] + spun(wrench[:3])), back(bodies[3:] + spun(wrench[3:]))]),
        spin=wheel[6],
        turning=wheel[7],
        axis=back(pad(moves.axis) + spun(where.axis)),
    )


class _Moves(NamedTuple):
    """Small movements in road axes per unit of pose unknowns and attitude."""

    wheel: Array  # (6, wheels, columns, c, B) translation of the centre and rotation
    body: Array  # (3, bodies, columns, c, B) translation of the reference point
    arm: Array  # (3, wheels, columns, c, B) change of the arm from reference point to wheel centre
    axis: Array  # (3, wheels, columns, c, B) change of the spin axis
    turn: Array  # (3, 2, c, B) rotation axes of pitch and roll


def _moves(topology: BlockTopology, road: Attitude, where: Stance, motion: Array) -> _Moves:
    tail = motion.shape[1:]
    nb = topology.n_bodies
    rotation = jnp.broadcast_to(road.rotation, (3, 3, *tail))
    o, one = jnp.zeros(tail), jnp.ones(tail)
    pitch, roll = jnp.stack([o, one, o]), rotation[:, 0]  # d(Ry Rx): about road y, and about chassis x
    turn = jnp.stack([pitch, roll], axis=1)
    up = jnp.stack([o, o, one])
    shift, spin = [], []  # of each body: (3, columns, c, B)
    for i in range(nb):
        rate = rotate(rotation, cayley_rate(motion[6 * i + 3 : 6 * i + 6]))
        before, after = jnp.zeros((3, 6 * i, *tail)), jnp.zeros((3, 6 * (nb - 1 - i), *tail))
        about = jnp.broadcast_to((where.body[:, i] - road.origin)[:, None], (3, 2, *tail))
        still = jnp.zeros((3, 3, *tail))
        shift.append(jnp.concatenate([before, rotation, still, after, up[:, None], cross(turn, about)], axis=1))
        spin.append(jnp.concatenate([before, still, rate, after, o[None, None].repeat(3, axis=0), turn], axis=1))
    of = [f - 1 for f in topology.wheel_frames]
    body = jnp.stack(shift, axis=1)
    spins = jnp.stack([spin[k] for k in of], axis=1)
    arm = cross(spins, jnp.broadcast_to(where.arm[:, :, None], spins.shape))
    axis = cross(spins, jnp.broadcast_to(where.axis[:, :, None], spins.shape))
    centre = jnp.stack([shift[k] for k in of], axis=1) + arm
    # in chassis axes the arm and the axis do not move with the attitude, in road axes they do: both hold here
    return _Moves(jnp.concatenate([centre, spins]), body, arm, axis, turn)


def _tyre_slopes(
    topology: BlockTopology, house: Wheelhouse, where: Stance, sideslip: Array, slip: Array
) -> tuple[Array, Array]:
    """Wheel loads (8, wheels, c, B) and their slopes (8, 8, wheels, c, B) to movement (6), sideslip and slip."""
    centre, axis = where.centre(topology.wheel_frames), where.axis
    beta = jnp.broadcast_to(sideslip, slip.shape)

    def loads(centre: Array, axis: Array, beta: Array, slip: Array) -> Array:
        return wheel_loads(house, contact(house, centre, axis, beta, slip), axis, beta, slip)

    # tangents, first axis: three translations, three rotations (dn = e x n), sideslip, slip
    o = jnp.zeros_like(axis)
    move = jnp.broadcast_to(identity(axis), (3, *axis.shape))
    none, unit = jnp.zeros_like(slip), jnp.ones_like(slip)
    tangents = (
        jnp.concatenate([move, jnp.stack([o] * 5)]),
        jnp.concatenate([jnp.stack([o] * 3), -skew(axis).swapaxes(0, 1), jnp.stack([o] * 2)]),
        jnp.stack([none] * 6 + [unit, none]),
        jnp.stack([none] * 7 + [unit]),
    )
    at = (centre, axis, beta, slip)
    slopes = jax.vmap(lambda *t: jax.jvp(loads, at, t)[1])(*tangents)
    return loads(*at), slopes.swapaxes(0, 1)

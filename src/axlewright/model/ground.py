"""Road, tyres, weight and inertia on the unsprung bodies of one block.

The wheel's contact centre is the road point straight down the wheel plane from its centre. Directions of travel are v / V,
so nothing here divides by the speed: yaw rate enters as path curvature k = r / V, which is taken as zero at standstill.
Effective rolling radius: free radius minus a third of the deflection (textbook approximation for a radial tyre, from
memory); it only sets spin speeds.
"""

from __future__ import annotations

from typing import NamedTuple

import jax.numpy as jnp
from jax import Array

from axlewright.model.parameters import BlockParameters, Demand
from axlewright.model.topology import BlockTopology
from axlewright.model.vectors import align, attitude, cayley, cross, dot, rotate, rotate_back
from axlewright.parts import TyreLaw
from axlewright.parts.tyre import vertical_load

# Spin-up torque fades out below about this load: an unloaded free wheel isn't spun up by the road, and without the fade a
# lightly loaded undriven wheel ends the solution far below the true limit.
SPIN_FADE_LOAD = 100.0  # N
# A free wheel in the air keeps turning at road speed for the seconds that a held state stands for; this torque per unit slip
# says so. At a normal load it changes a slip by less than 1e-5. Bearing drag of a free wheel fades with its load likewise,
# else it would slowly stop; a driven wheel keeps its drag, which is what bounds its speed once lifted.
KEEP_TURNING = 1.0  # N m


class Ground(NamedTuple):
    """Loads on the bodies of a block from outside the car, in the chassis half's axes about each body's reference point."""

    mass_wrench: Array  # (6, bodies, c, B) weight and inertia, wheels' gyroscopic and spin-up moments left out
    wheel_wrench: Array  # (6, wheels, c, B) tyre force and wheel moments on the body that carries the wheel
    spin: Array  # (wheels, c, B) N m: tyre, bearing and spin-up torque about the spin axis, positive speeds the wheel up
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
    c, s, zero, one = jnp.cos(twist), jnp.sin(twist), jnp.zeros_like(twist), jnp.ones_like(twist)
    turn_x = jnp.stack([jnp.stack([one, zero, zero]), jnp.stack([zero, c, -s]), jnp.stack([zero, s, c])])
    rotation = jnp.stack([rotate(front.rotation, turn_x[:, j]) for j in range(3)], axis=1)
    axis_point = jnp.stack([zero, zero, height])
    return Attitude(rotation, front.origin + rotate(front.rotation, axis_point) - rotate(rotation, axis_point))


def curvature(demand: Demand, sideslip: Array) -> Array:
    """Path curvature k = r / V in 1/m, left positive; zero at standstill."""
    return (demand.ay * jnp.cos(sideslip) - demand.ax * jnp.sin(sideslip)) * demand.inverse_speed_squared


def contact(
    law: TyreLaw,
    topology: BlockTopology,
    p: BlockParameters,
    demand: Demand,
    road: Attitude,
    centre_of_mass: Array,
    motion: Array,
    sideslip: Array,
    slip: Array,
    height: Array,
) -> tuple[Contact, Array]:
    """Contact geometry and tyre forces; also the spin axis in road axes. `height`: (wheels, c, B) of the road, m."""
    w = p.wheels
    centres, axes = [], []
    for i, frame in enumerate(topology.wheel_frames):
        k = frame - 1
        turn, drawn = cayley(motion[6 * k + 3 : 6 * k + 6]), p.body_at[:, k]
        centres.append(drawn + motion[6 * k : 6 * k + 3] + rotate(turn, w.centre[:, i] - drawn))
        axes.append(rotate(turn, w.axis[:, i]))
    centre = align(road.origin, p.wheels.centre) + rotate(road.rotation, jnp.stack(centres, axis=1))
    n = rotate(road.rotation, jnp.stack(axes, axis=1))
    upright = jnp.sqrt(1.0 - n[2] * n[2])  # cosine of the inclination
    radius = (centre[2] - height) / upright
    down = jnp.stack([n[0] * n[2], n[1] * n[2], n[2] * n[2] - 1.0]) / upright
    point = centre + radius * down
    forward = jnp.stack([n[1], -n[0], jnp.zeros_like(upright)]) / upright
    k = curvature(demand, sideslip)
    vx = jnp.cos(sideslip) - k * (point[1] - centre_of_mass[1])
    vy = jnp.sin(sideslip) + k * (point[0] - centre_of_mass[0])
    along = vx * forward[0] + vy * forward[1]
    across = vy * forward[0] - vx * forward[1]
    slip_angle = jnp.arctan2(across, along)
    deflection = w.free_radius - radius
    load = vertical_load(w.tyre, deflection, w.pressure, xp=jnp)
    inclination = jnp.arcsin(n[2])
    fx, fy = law.forces(w.tyre, load, slip_angle, slip, inclination, demand.grip, xp=jnp)
    found = Contact(
        centre=centre,
        point=point,
        forward=forward,
        deflection=deflection,
        load=load,
        slip_angle=slip_angle,
        inclination=inclination,
        longitudinal=fx * demand.rolling,
        lateral=fy * demand.rolling,
        rolling_radius=w.free_radius - jnp.maximum(deflection, 0.0) / 3.0,
    )
    return found, n


def ground(
    law: TyreLaw,
    topology: BlockTopology,
    p: BlockParameters,
    demand: Demand,
    road: Attitude,
    centre_of_mass: Array,
    motion: Array,
    sideslip: Array,
    slip: Array,
    height: Array,
) -> tuple[Ground, Contact]:
    """Loads on the bodies of a block from road, weight and inertia."""
    at, n = contact(law, topology, p, demand, road, centre_of_mass, motion, sideslip, slip, height)
    w = p.wheels
    forward, zero = at.forward, jnp.zeros_like(at.load)
    force = jnp.stack(
        [
            at.longitudinal * forward[0] - at.lateral * forward[1],
            at.longitudinal * forward[1] + at.lateral * forward[0],
            at.load,
        ]
    )
    arm = at.point - at.centre
    k = curvature(demand, sideslip)
    turning = (1.0 + slip) / at.rolling_radius  # rad/m; travel direction of the wheel taken as V
    fade = at.load / (at.load + SPIN_FADE_LOAD)
    free = 1.0 - jnp.abs(w.driven)
    spin_up = w.spin_inertia * demand.ax * turning * fade * demand.rolling
    drag = w.bearing_drag * demand.speed * turning * (1.0 - free * (1.0 - fade)) + KEEP_TURNING * free * slip
    yaw_spin = k * demand.speed**2 * turning * w.spin_inertia  # Iw w r
    gyroscopic = jnp.stack([yaw_spin * n[1], -yaw_spin * n[0], zero])  # -Iw w r (z x n)
    spin = dot(n, cross(arm, force)) - spin_up - drag * demand.rolling
    reference = jnp.stack([_body_at(topology, p, motion)[:, f - 1] for f in topology.wheel_frames], axis=1)
    centre = align(road.origin, reference) + rotate(road.rotation, reference)
    moment = cross(at.point - centre, force) + gyroscopic - spin_up * n
    wheel_wrench = jnp.concatenate([rotate_back(road.rotation, force), rotate_back(road.rotation, moment)])
    result = Ground(
        mass_wrench=_mass_wrench(topology, p, demand, road, centre_of_mass, motion),
        wheel_wrench=wheel_wrench,
        spin=spin,
        turning=turning,
        axis=rotate_back(road.rotation, n),
    )
    return result, at


def _body_at(topology: BlockTopology, p: BlockParameters, motion: Array) -> Array:
    """Centres of mass of the bodies, chassis axes, (3, bodies, c, B)."""
    return jnp.stack([p.body_at[:, i] + motion[6 * i : 6 * i + 3] for i in range(topology.n_bodies)], axis=1)


def _mass_wrench(
    topology: BlockTopology, p: BlockParameters, demand: Demand, road: Attitude, centre_of_mass: Array, motion: Array
) -> Array:
    """Weight and inertia force at each centre of mass, and the yaw inertia moment, chassis axes."""
    at = _body_at(topology, p, motion)
    force = specific_load(demand, road, centre_of_mass, at) * p.body_mass
    zero = jnp.zeros_like(p.body_mass)
    moment = jnp.stack([zero, zero, -p.body_yaw_inertia * demand.yaw_acceleration])
    return jnp.concatenate([rotate_back(road.rotation, force), rotate_back(road.rotation, moment)])


def specific_load(demand: Demand, road: Attitude, centre_of_mass: Array, at: Array) -> Array:
    """Weight minus acceleration per mass at chassis points `(3, ..., B)`, road axes, m/s2.

    The demand's acceleration is that of the car's centre of mass; a yaw acceleration adds its lever arm.
    """
    where = align(road.origin, at) + rotate(road.rotation, at) - align(centre_of_mass, at)
    alpha = demand.yaw_acceleration
    turned = jnp.stack([alpha * where[1], -alpha * where[0], jnp.zeros_like(where[0])])
    return align(demand.force, at) + turned

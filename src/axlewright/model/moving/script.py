"""What a driver does and what the road does, as functions of time and of distance.

Each control is a list of moments and values joined by quintic ramps, whose speed and acceleration are zero at both
ends, so that nothing that is followed exactly (the rack) is ever asked for a jump. Moments that coincide are steps,
which torques and efforts may take. On top, the rack can swing: a sine of rising frequency, faded in over its first
quarter of a second.
"""

from __future__ import annotations

from typing import NamedTuple

import jax
import jax.numpy as jnp

from axlewright.model.moving.parameters import Asked, MovingState
from axlewright.model.parameters import CarParameters
from axlewright.model.topology import Topology
from axlewright.model.vectors import Array

FADE = 0.25  # s


class Control(NamedTuple):
    """One control: before the first moment the first value, after the last the last."""

    at: Array  # (K, B) s, rising
    value: Array  # (K, B)


class Swing(NamedTuple):
    """A sine on the rack, (B,)."""

    size: Array  # m
    begin: Array  # s
    end: Array
    slow: Array  # Hz at the beginning
    fast: Array  # Hz at the end


class Script(NamedTuple):
    """Everything that is done to the car."""

    engine: Control  # N m at the axle, before the engine's own inertia
    clutch: Control  # share of capacity
    brake: Control  # effort
    rack: Control  # m
    swing: Swing
    keep_speed: Array  # (B,) N m of engine torque per m/s that is missing
    speed: Array  # (B,) m/s that is kept
    grip: Array  # (B,) factor everywhere
    gravity: Array  # (3, B) road axes


class Surface(NamedTuple):
    """The road under the two tracks, alike for all members."""

    first: Array  # (1,) distance of the first sample, m
    spacing: Array  # (1,) m
    height: Array  # (N, 2) m, left and right
    grip: Array  # (N, 2) factor


def _ramp(share: Array) -> Array:
    """0 to 1 with no speed or acceleration at either end."""
    x = jnp.clip(share, 0.0, 1.0)
    return x * x * x * (10.0 + x * (6.0 * x - 15.0))


def value_at(control: Control, time: Array) -> Array:
    """A control at a time, (B,)."""
    span = control.at[1:] - control.at[:-1]
    share = jnp.where(span > 0.0, (time - control.at[:-1]) / jnp.maximum(span, 1e-12), (time >= control.at[1:]) * 1.0)
    return control.value[0] + ((control.value[1:] - control.value[:-1]) * _ramp(share)).sum(axis=0)


def _rack(script: Script, time: Array) -> Array:
    s = script.swing
    since = jnp.clip(time - s.begin, 0.0, jnp.maximum(s.end - s.begin, 0.0))
    rise = (s.fast - s.slow) / jnp.maximum(s.end - s.begin, 1e-12)
    phase = 2.0 * jnp.pi * (s.slow + 0.5 * rise * since) * since
    left = jnp.clip(s.end - time, 0.0, None)
    return value_at(script.rack, time) + s.size * _ramp(since / FADE) * _ramp(left / FADE) * jnp.sin(phase)


def asked_at(
    topology: Topology, car: CarParameters, script: Script, surface: Surface, time: Array, state: MovingState
) -> Asked:
    """What acts on the car at a time and place."""
    time = time + jnp.zeros_like(script.grip)
    one = jnp.ones_like(time)

    def moved(t: Array) -> tuple[Array, Array]:
        return jax.jvp(lambda u: _rack(script, u), (t,), (one,))

    (rack, speed), (_, acceleration) = jax.jvp(moved, (time,), (one,))
    forward = state.velocity[0]
    missing = script.speed - forward
    height, slope, grip = _under(topology, car, surface, state.place[3])
    return Asked(
        gravity=script.gravity,
        engine=value_at(script.engine, time) + script.keep_speed * missing,
        clutch=value_at(script.clutch, time),
        brake=jnp.maximum(value_at(script.brake, time), 0.0),
        rack=rack,
        rack_speed=speed,
        rack_acceleration=acceleration,
        height=height,
        height_rate=slope * forward,
        grip=grip * script.grip,
    )


def _under(topology: Topology, car: CarParameters, surface: Surface, distance: Array) -> tuple[Array, Array, Array]:
    """Height, slope and grip below each wheel, (wheels, B), by cubic (Catmull-Rom) interpolation along its track."""
    heights, slopes, grips = [], [], []
    last = surface.height.shape[0] - 1
    for block, p in zip(topology.blocks, car.blocks, strict=True):
        for copy in range(block.n_copies):
            for w in range(block.n_wheels):
                at = (distance + p.wheels.centre[0, w, copy] - surface.first[0]) / surface.spacing[0]
                left = p.wheels.centre[1, w, copy] > 0.0
                cell = jnp.clip(jnp.floor(at), 0, last - 1)
                x = jnp.clip(at - cell, 0.0, 1.0)
                i = cell.astype(int)
                values = []
                for track in (surface.height, surface.grip):
                    rows = [track[jnp.clip(i + k, 0, last)] for k in (-1, 0, 1, 2)]
                    values.append([jnp.where(left, row[:, 0], row[:, 1]) for row in rows])
                (a, b, c, d), (_, e, f, _) = values
                m, n = 0.5 * (c - a), 0.5 * (d - b)
                heights.append(b + x * (m + x * ((3.0 * (c - b) - 2.0 * m - n) + x * (2.0 * (b - c) + m + n))))
                inside = (at >= 0.0) & (at <= last)
                slope = m + x * (2.0 * (3.0 * (c - b) - 2.0 * m - n) + 3.0 * x * (2.0 * (b - c) + m + n))
                slopes.append(jnp.where(inside, slope / surface.spacing[0], 0.0))
                grips.append(e + (f - e) * x)
    return jnp.stack(heights), jnp.stack(slopes), jnp.stack(grips)

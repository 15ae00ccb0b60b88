"""One block's equations and their exact derivatives.

Derivatives are pushed forward by JAX through the block's own functions only: a block sees its own motion and forces and
the few border unknowns that touch it, so the tangents are few.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import jax
import jax.numpy as jnp

from axlewright.model.border import axle_torque
from axlewright.model.driveline import Torques, stays_inside, torques
from axlewright.model.ground import (
    Attitude,
    Contact,
    Ground,
    GroundSlopes,
    Wheelhouse,
    chassis_attitude,
    ground,
    ground_slopes,
    twisted,
)
from axlewright.model.parameters import BlockParameters, CarParameters, Demand
from axlewright.model.suspension import FORCE_SCALE, Details, balance, derivatives
from axlewright.model.topology import BlockTopology, Topology
from axlewright.model.vectors import Array, cross, rotate, turn_x
from axlewright.parts import TyreLaw
from axlewright.parts.differential import half_shaft


class Touch(NamedTuple):
    """Border unknowns as one block sees them."""

    attitude: Array  # (3 or 4, B) heave, pitch, roll and, behind a twisting chassis, twist
    rack: Array  # (B,) left steer positive
    sideslip: Array  # (B,)
    effort: Array  # (B,)
    difference: Array  # (B,)
    slip: Array  # (wheels, c, B)
    bars: Array  # (ends, c, B)


class Outputs(NamedTuple):
    """What a block works out: its own rows (scaled) and what it hands to the border."""

    rows: Array  # (unknowns, c, B)
    wrench: Array  # (6, c, B) on the chassis, front-half axes
    turning: Array  # (1, c, B) signed wheel speeds
    spin: Array  # (wheels, c, B)
    arms: Array  # (ends, c, B) signed arm angles
    rear_moment: Array  # (1, c, B)

    @property
    def stacked(self) -> Array:
        """One array, own rows first."""
        return jnp.concatenate(list(self))


class Evaluated(NamedTuple):
    """Details of one block for the readings."""

    details: Details
    ground: Ground
    contact: Contact


def touch_columns(topology: Topology, index: int) -> list[list[int]]:
    """Border indices of a block's touch columns: one list a copy, ordered as `Touch` is flattened."""
    block = topology.blocks[index]
    shared = [0, 1, 2, *([topology.twist] if _twists(topology, index) else []), 3, 4, 5, 6]
    slots = topology.wheel_slots(index)
    return [
        [int(i) for i in shared if i is not None]
        + [slots[w][copy] for w in range(block.n_wheels)]
        + [topology.first_bar + ends[copy][0] for ends in block.bar_ends]
        for copy in range(block.n_copies)
    ]


def _twists(topology: Topology, index: int) -> bool:
    return topology.mechanism.twisting_chassis and topology.mechanism.blocks[index].rear


def touch(topology: Topology, index: int, border: Array) -> Touch:
    """Pick a block's view of the border."""
    block = topology.blocks[index]
    copies = range(block.n_copies)
    slots = topology.wheel_slots(index)
    slip = [jnp.stack([border[slots[w][c]] for c in copies]) for w in range(block.n_wheels)]
    bars = [jnp.stack([border[topology.first_bar + ends[c][0]] for c in copies]) for ends in block.bar_ends]
    attitude = [border[0], border[1], border[2], *([border[topology.twist]] if _twists(topology, index) else [])]
    return Touch(
        attitude=jnp.stack(attitude),
        rack=border[3],
        sideslip=border[4],
        effort=border[5],
        difference=border[6],
        slip=jnp.stack(slip),
        bars=jnp.stack(bars) if bars else jnp.zeros((0, block.n_copies, border.shape[1])),
    )


class BlockEquations(NamedTuple):
    """The equations of one block of one car under one demand."""

    law: TyreLaw
    topology: Topology
    index: int
    car: CarParameters
    demand: Demand

    @property
    def block(self) -> BlockTopology:
        return self.topology.blocks[self.index]

    @property
    def p(self) -> BlockParameters:
        return self.car.blocks[self.index]

    @property
    def height(self) -> Array:
        """Road height under each wheel of the block, (wheels, c, B)."""
        first = self.topology.first_slip
        slots = self.topology.wheel_slots(self.index)
        return jnp.stack([jnp.stack([self.demand.road_height[s - first] for s in row]) for row in slots])

    def _links(self, motion: Array, rack: Array, forces: Array, bars: Array) -> tuple[Outputs, Details]:
        """Suspension part of `Outputs`; its own rows lack weight and road."""
        found, details = balance(
            self.block, self.p, motion, rack * self.car.rack_sense, forces, bars * self.p.ends.sign
        )
        return self._from_links(found.rows), details

    def _from_links(self, rows: Array) -> Outputs:
        """Spread `Balance.rows` (or its derivatives) over `Outputs`."""
        n = self.block.size
        zero = jnp.zeros_like(rows[:1])
        sign = self.p.ends.sign
        sign = sign.reshape((sign.shape[0],) + (1,) * (rows.ndim - 3) + sign.shape[1:])
        return Outputs(
            rows=rows[:n],
            wrench=rows[n : n + 6],
            turning=zero,
            spin=jnp.zeros((self.block.n_wheels, *rows.shape[1:])),
            arms=rows[n + 6 :] * sign,
            rear_moment=zero,
        )

    def _road(self, attitude: Array) -> Attitude:
        """Attitude of the chassis half that carries the block; `attitude` (3 or 4, ...)."""
        road = chassis_attitude(attitude[0], attitude[1], attitude[2])
        return twisted(road, attitude[3], self.car.twist_height) if _twists(self.topology, self.index) else road

    @property
    def house(self) -> Wheelhouse:
        """The block's wheels under this demand."""
        return Wheelhouse(self.law, self.p.wheels, self.demand, self.car.centre, self.height)

    def _outside(
        self, motion: Array, attitude: Array, sideslip: Array, effort: Array, difference: Array, slip: Array
    ) -> tuple[Outputs, Ground, Contact]:
        """Road, weight and driveline part of `Outputs`."""
        block = self.block
        found, at = ground(block, self.p, self.house, self._road(attitude), motion, sideslip, slip)
        driven = self._driveline(found.spin, found.axis, effort, difference)
        wrench = found.wrench + driven.bodies
        return self._from_outside(wrench, driven.parts, driven.chassis, found.spin, found.turning), found, at

    def _from_outside(self, wrench: Array, parts: Array, chassis: Array, spin: Array, turning: Array) -> Outputs:
        """Spread ground and driveline loads (or their derivatives) over `Outputs`; wrench (6, bodies, ...), parts
        (parts, ...).
        """
        block = self.block
        own = wrench.swapaxes(0, 1).reshape((6 * block.n_bodies, *wrench.shape[2:]))
        own = jnp.concatenate([own, parts]) * FORCE_SCALE
        sign = self.p.wheels.driven
        sign = sign.reshape((sign.shape[0],) + (1,) * (turning.ndim - 3) + sign.shape[1:])
        zero = jnp.zeros_like(spin[:1])
        return Outputs(
            rows=jnp.concatenate([own, jnp.zeros((block.size - own.shape[0], *own.shape[1:]))]),
            wrench=chassis,
            turning=(turning * sign).sum(axis=0)[None],
            spin=spin,
            arms=jnp.zeros((len(block.bar_ends), *own.shape[1:])),
            rear_moment=zero,
        )

    def _driveline(self, spin: Array, axis: Array, effort: Array, difference: Array) -> Torques:
        """Driveline torques; what a brake truly holds, locked or not, follows from the wheel's balance."""
        torque = axle_torque(self.demand, effort) + jnp.zeros_like(spin[0])
        drive = half_shaft(self.p.wheels.driven, torque, difference)
        return torques(self.block, self.p, self.car, axis, torque, drive, drive + spin)

    def outputs(self, local: Array, t: Touch) -> Outputs:
        """All of a block's outputs."""
        n = self.block.n_motion
        links = self._links(local[:n], t.rack, local[n:], t.bars)[0]
        outside = self._outside(local[:n], t.attitude[:, None], t.sideslip, t.effort, t.difference, t.slip)[0]
        both = Outputs(*(a + b for a, b in zip(links, outside, strict=True)))
        if not _twists(self.topology, self.index):
            return both
        return self._from_rear_half(both, t.attitude[3])

    def evaluated(self, local: Array, t: Touch) -> Evaluated:
        """Details for readings."""
        n = self.block.n_motion
        details = self._links(local[:n], t.rack, local[n:], t.bars)[1]
        _, found, at = self._outside(local[:n], t.attitude[:, None], t.sideslip, t.effort, t.difference, t.slip)
        return Evaluated(details, found, at)

    def _from_rear_half(self, out: Outputs, twist: Array) -> Outputs:
        """Turn the chassis wrench of a rear block into front-half axes and read the moment about the twist axis."""
        height = self.car.twist_height
        force, moment = out.wrench[:3], out.wrench[3:]
        zero = jnp.zeros_like(force[0])
        axis_point = jnp.stack([zero, zero, zero + height])
        about_axis = moment - cross(axis_point, force)
        turn = turn_x(twist + zero)
        turned = rotate(turn, force)
        wrench = jnp.concatenate([turned, rotate(turn, about_axis) + cross(axis_point, turned)])
        return out._replace(wrench=wrench, rear_moment=about_axis[:1])


def push(function: Callable[[Array], Array], x: Array) -> Array:
    """Jacobian columns of `function` at `x` along its leading axis: (outputs, len(x), ...), trailing axes a batch."""
    k = x.shape[0]
    if k == 0:
        out = jax.eval_shape(function, x)
        return jnp.zeros((out.shape[0], 0, *out.shape[1:]))
    basis = jnp.broadcast_to(jnp.eye(k).reshape((k, k) + (1,) * (x.ndim - 1)), (k, *x.shape))
    columns = jax.vmap(lambda t: jax.jvp(function, (x,), (t,))[1])(basis)
    return columns.swapaxes(0, 1)


class Columns(NamedTuple):
    """Derivatives of `Outputs.stacked`, and how far the elastic links are stretched and change with the motions."""

    local: Array  # (rows, n, c, B) to the block's unknowns
    touch: Array  # (rows, k, c, B) to its touch
    stretch: Array  # (elastic, c, B)
    stretch_rate: Array  # (elastic, motions, c, B)


def columns(equations: BlockEquations, local: Array, t: Touch) -> Columns:
    """Exact derivatives of a block."""
    block, p, car = equations.block, equations.p, equations.car
    n, pose = block.n_motion, 6 * block.n_bodies
    motion, forces = local[:n], local[n:]
    _, slopes = derivatives(block, p, motion, t.rack * car.rack_sense, forces, t.bars * p.ends.sign)
    if _twists(equations.topology, equations.index):
        return Columns(*_columns_plain(equations, local, t), slopes.stretch, slopes.stretch_rate)
    spread = lambda rows: equations._from_links(rows).stacked  # noqa: E731 - same module
    tail = local.shape[1:]
    road = equations._road(t.attitude[:, None])
    sloped = ground_slopes(block, p, equations.house, road, motion, t.sideslip, t.slip)
    at, _ = ground(block, p, equations.house, road, motion, t.sideslip, t.slip)
    drive = _driveline_slopes(equations, at, sloped, t)
    on_parts, on_chassis = (jnp.zeros((n, *sloped.spin.shape[1:])) for n in (block.n_parts, 6))
    loads = equations._from_outside(sloped.wrench, on_parts, on_chassis, sloped.spin, sloped.turning)
    found = loads.stacked + drive.on_ground
    to_pose, to_attitude = found[:, :pose], found[:, pose : pose + 3]
    to_rest = jnp.concatenate([found[:, pose + 3 : pose + 4], drive.on_torque, found[:, pose + 4 :]], axis=1)
    pad = jnp.zeros((found.shape[0], n - pose, *tail))
    to_local = jnp.concatenate(
        [spread(slopes.motion) + jnp.concatenate([to_pose, pad], axis=1), spread(slopes.forces)], axis=1
    )
    to_rack = spread(slopes.rack) * car.rack_sense
    to_bars = spread(slopes.bars) * p.ends.sign
    to_touch = jnp.concatenate([to_attitude, to_rack, to_rest, to_bars], axis=1)
    return Columns(to_local, to_touch, slopes.stretch, slopes.stretch_rate)


class _DrivelineSlopes(NamedTuple):
    on_ground: Array | float  # (outputs, ground columns, c, B)
    on_torque: Array  # (outputs, 2, c, B) effort, difference


def _driveline_slopes(equations: BlockEquations, at: Ground, sloped: GroundSlopes, t: Touch) -> _DrivelineSlopes:
    """Derivatives of the driveline's loads: linear in the torques; in spin and axis for shafts to the chassis."""
    shape = at.spin.shape[1:]

    def outputs(spin: Array, axis: Array, effort: Array, difference: Array) -> Array:
        driven = equations._driveline(spin, axis, effort, difference)
        return equations._from_outside(*driven, jnp.zeros_like(at.spin), jnp.zeros_like(at.turning)).stacked

    one, zero = jnp.ones(shape), jnp.zeros(shape)
    slopes = [outputs(at.spin, at.axis, one, zero) - outputs(at.spin, at.axis, zero, zero)]
    slopes.append(outputs(at.spin, at.axis, zero, one) - outputs(at.spin, at.axis, zero, zero))
    on_torque = jnp.stack(slopes, axis=1)
    if all(stays_inside(wheel) for wheel in equations.block.block.wheels):
        return _DrivelineSlopes(0.0, on_torque)
    effort, difference = t.effort + zero, t.difference + zero
    columns = jax.vmap(
        lambda s, a: jax.jvp(lambda x, y: outputs(x, y, effort, difference), (at.spin, at.axis), (s, a))[1],
        in_axes=(1, 2),
        out_axes=1,
    )(sloped.spin, sloped.axis)
    return _DrivelineSlopes(columns, on_torque)


def _columns_plain(equations: BlockEquations, local: Array, t: Touch) -> tuple[Array, Array]:
    """The same without splitting: a twisting chassis turns every output, so nothing separates."""
    to_local = push(lambda x: equations.outputs(x, t).stacked, local)
    names = ("attitude", "rack", "sideslip", "effort", "difference", "slip", "bars")

    def with_field(name: str) -> Array:
        value = getattr(t, name)
        flat = value if value.ndim > 1 else value[None]
        return push(
            lambda x: equations.outputs(local, t._replace(**{name: x if value.ndim > 1 else x[0]})).stacked, flat
        )

    return to_local, jnp.concatenate([with_field(name) for name in names], axis=1)

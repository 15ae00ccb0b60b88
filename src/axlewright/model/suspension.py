"""Links, joints, parts and bars of one block in chassis axes: balances, misfits, and their derivatives in closed form.

Everything here is independent of the chassis attitude, the road and the tyres. A link of tension T between points a and
b pulls its frame at a with +T n and at b with -T n, n the unit vector from a to b.

Virtual work gives the balances: with `along` = d(point)/d(motion), the force on motion i of a link is -T dL/dx_i.
Motions are small translations and rotations of each body about its own reference point in chassis axes, and the angle
or slide of each part; so the balance of a body is its force and its moment about the reference point. Derivatives add
the link's axial stiffness along the line, T/L across it, and the turning of the arms. All forces are internal to block
and chassis, so the chassis feels minus the sum of what the bodies feel.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from axlewright.model.parameters import BlockParameters
from axlewright.model.topology import BlockTopology
from axlewright.model.vectors import Array, cayley, cayley_rate, cross, dot, identity, norm, rotate, skew
from axlewright.parts.bar_arm import BarArm, bar_arm
from axlewright.parts.elastic import rate as elastic_rate
from axlewright.parts.elastic import tension as elastic_tension
from axlewright.parts.relay_linkage import carried, relay_pose

FORCE_SCALE = 1e-3  # kN, kN m
LENGTH_SCALE = 1e3  # mm


class Placed(NamedTuple):
    """A block at a pose, chassis axes."""

    points: Array  # (3, points, c, B) link ends a, link ends b, joints a, joints b, drop-link ends
    along: Array  # (3, motions + 1, points, c, B) derivative of each point to each motion and to the rack shift
    body_at: Array  # (3, bodies, c, B)
    body_rotation: Array  # (3, 3, bodies, c, B)
    part_point: Array  # (3, parts, c, B)
    part_axis: Array  # (3, parts, c, B)


class Balance(NamedTuple):
    """Balances and misfits of one block without road and mass, SI units."""

    motion: (
        Array  # (motions, c, B) force N and moment N m of each body; of each part moment about its axis or force along
    )
    length_error: Array  # (rigid, c, B) m
    closure: Array  # (3 joints, c, B) m
    chassis: Array  # (6, c, B) force and moment on the chassis about its origin
    arms: Array  # (ends, c, B) arm angles, rad

    @property
    def rows(self) -> Array:
        """Own equations, chassis wrench and arm angles, scaled own rows first."""
        own = [self.motion * FORCE_SCALE, self.length_error * LENGTH_SCALE, self.closure * LENGTH_SCALE]
        return jnp.concatenate([*own, self.chassis, self.arms])


class Details(NamedTuple):
    """Quantities that readings want besides the balances."""

    points: Array  # (3, points, c, B) as in `Placed`
    part_axis: Array  # (3, parts, c, B)
    length: Array  # (links, c, B)
    tension: Array  # (links, c, B) N
    extension: Array  # (elastic, c, B) m from the drawn length
    term_tension: Array  # (terms, c, B) N
    drop_tension: Array  # (ends, c, B) N
    arm_angle: Array  # (ends, c, B) rad
    bar_reach: Array  # (ends, c, B) magnitude 1 = bar arm at toggle, beyond = past it
    drop_lever: Array  # (ends, c, B) m


def placed(topology: BlockTopology, p: BlockParameters, motion: Array, rack: Array) -> Placed:
    """Positions at `motion` (motions, c, B), bodies' poses then parts' angles or slides, and at `rack` (B,) to the
    left.
    """
    nb, frames = topology.n_bodies, topology.point_frames
    drawn, by_rack = _steered(topology, p, rack)
    turns = [cayley(motion[6 * i + 3 : 6 * i + 6]) for i in range(nb)]
    at = [p.body_at[:, i : i + 1] + motion[6 * i : 6 * i + 3][:, None] for i in range(nb)]

    def on_frame(frame: int, point: Array) -> Array:
        """Where points (3, k, c, B) drawn on the chassis (0) or on a body are."""
        i = frame - 1
        return at[i] + rotate(turns[i], point - p.body_at[:, i : i + 1]) if frame else point

    part_point, part_axis = [], []
    groups: dict[int, list[int]] = {}  # points by frame: each is only moved by what moves it
    for point, frame in enumerate(frames):
        groups.setdefault(frame, []).append(point)
    moved = []
    for frame, own in groups.items():
        k, now = frame - nb - 1, taken(drawn, own)
        if frame > nb:
            axis, about = p.part_axis[:, k], p.part_point[:, k : k + 1]
            if topology.part_slides[k]:
                now = now + axis[:, None] * motion[6 * nb + k]
            else:
                now = about + rotate(cayley(axis * (2.0 * jnp.tan(0.5 * motion[6 * nb + k]))[None]), now - about)
        parent = topology.part_parents[k] if frame > nb else frame
        moved.append(jnp.broadcast_to(on_frame(parent, now), (3, len(own), *motion.shape[1:])))
    for k, parent in enumerate(topology.part_parents):
        axis = p.part_axis[:, k : k + 1]
        part_point.append(on_frame(parent, p.part_point[:, k : k + 1]))
        part_axis.append(rotate(turns[parent - 1], axis) if parent else axis)
    order = [point for own in groups.values() for point in own]
    points = taken(jnp.concatenate(moved, axis=1), [order.index(i) for i in range(len(order))])
    points_of_parts, axes_of_parts = (
        jnp.concatenate(jnp.broadcast_arrays(*each), axis=1) if each else none
        for each, none in ((part_point, p.part_point), (part_axis, p.part_axis))
    )
    body_at = jnp.concatenate(at, axis=1)
    along = _along(topology, points, body_at, points_of_parts, axes_of_parts, by_rack)
    return Placed(points, along, body_at, jnp.stack(turns, axis=2), points_of_parts, axes_of_parts)


def taken(a: Array, which: Sequence[int]) -> Array:
    """Some of the second axis, in the order asked: slices of neighbours, which compile to plain copies."""
    runs: list[list[int]] = []
    for i in which:
        if runs and runs[-1][1] == i:
            runs[-1][1] = i + 1
        else:
            runs.append([i, i + 1])
    return a[:, runs[0][0] : runs[0][1]] if len(runs) == 1 else jnp.concatenate([a[:, i:j] for i, j in runs], axis=1)


def _steered(topology: BlockTopology, p: BlockParameters, rack: Array) -> tuple[Array, Array]:
    """Drawn points with those on the rack, or on the relay link, moved by `rack` (B,); and their derivative to it.

    Points on the rack are the chassis' own, so no motion of the block moves them.
    """
    on_rack = _mask([i in topology.rack_links for i in range(p.points.shape[1])])
    if p.relay is None or not topology.rack_links:
        side = jnp.array([0.0, 1.0, 0.0]).reshape((3, 1, 1, 1))
        return p.points + side * on_rack * rack, side * on_rack
    linkage, drawn = p.relay, p.points

    def moved(shift: Array) -> Array:
        return carried(linkage, relay_pose(linkage, shift, jnp), drawn, jnp)

    now, rate = jax.jvp(moved, (rack,), (jnp.ones_like(rack),))
    return jnp.where(on_rack > 0, now, drawn), rate * on_rack


def _mask(flags: list[bool] | tuple[bool, ...]) -> np.ndarray:
    """Flags a point as a constant (points, 1, 1)."""
    return np.array(flags, dtype=float)[:, None, None]


def _along(
    topology: BlockTopology, points: Array, body_at: Array, part_point: Array, part_axis: Array, on_rack: Array
) -> Array:
    """d(point)/d(motion) for translations, small rotations, part angles or slides, and the rack shift."""
    columns = []
    for i in range(topology.n_bodies):
        on = _mask(topology.carried_points(i))
        move = jnp.broadcast_to(identity(points) * on, (3, *points.shape))
        columns += [move, -skew(points - body_at[:, i : i + 1]) * on]  # dphi x p = -[p]x dphi
    for k, slides in enumerate(topology.part_slides):
        on = _mask([f == 1 + topology.n_bodies + k for f in topology.point_frames])
        axis = jnp.broadcast_to(part_axis[:, k : k + 1], points.shape)
        move = axis if slides else cross(axis, points - part_point[:, k : k + 1])
        columns.append((move * on)[:, None])
    columns.append(jnp.broadcast_to(on_rack, points.shape)[:, None])
    return jnp.concatenate(columns, axis=1)


class _Pull(NamedTuple):
    """Links, joints and bars at a pose."""

    span_rate: Array  # (3, motions + 1, links, c, B)
    length: Array  # (links, c, B)
    length_rate: Array  # (motions + 1, links, c, B)
    direction: Array  # (3, links, c, B)
    tension: Array
    stiffness: Array  # (links, c, B) axial, zero for rigid links
    term_tension: Array
    joint_force: Array  # (3, joints, c, B)
    gap_rate: Array  # (3, motions + 1, joints, c, B)
    arm: BarArm
    arm_slope: Array  # (3, ends, c, B) d(arm angle)/d(drop point)
    drop_rate: Array  # (3, motions + 1, ends, c, B)
    force: Array  # (3, points, c, B) force on the frame at each point


def _pull(topology: BlockTopology, p: BlockParameters, at: Placed, forces: Array, bars: Array) -> _Pull:
    nl, nj, nr = len(topology.links), topology.n_joints, topology.n_rigid
    a, b = slice(0, nl), slice(nl, 2 * nl)
    ja, jb = slice(2 * nl, 2 * nl + nj), slice(2 * nl + nj, 2 * nl + 2 * nj)
    drop = slice(2 * nl + 2 * nj, None)
    span = at.points[:, b] - at.points[:, a]
    length = norm(span)
    direction = span / length
    span_rate = at.along[:, :, b] - at.along[:, :, a]
    stretch = length - p.link_length
    elastic, rates = _terms(topology, p, stretch)
    tension = jnp.concatenate([forces[:nr], _per_link(topology, elastic, stretch)])
    stiffness = jnp.concatenate([jnp.zeros_like(forces[:nr]), _per_link(topology, rates, stretch)])
    joint_force = forces[nr:].reshape((nj, 3, *forces.shape[1:])).swapaxes(0, 1)
    arm, slope = _arm(p, at.points[:, drop])
    pull = direction * tension
    return _Pull(
        span_rate=span_rate,
        length=length,
        length_rate=(direction[:, None] * span_rate).sum(axis=0),
        direction=direction,
        tension=tension,
        stiffness=stiffness,
        term_tension=elastic,
        joint_force=joint_force,
        gap_rate=at.along[:, :, jb] - at.along[:, :, ja],
        arm=arm,
        arm_slope=slope,
        drop_rate=at.along[:, :, drop],
        force=jnp.concatenate([pull, -pull, joint_force, -joint_force, -bars * slope], axis=1),
    )


def _arm(p: BlockParameters, drop_point: Array) -> tuple[BarArm, Array]:
    """Bar arms, and the slope of arm angle to drop point: the drop link is stiff, so lever x dpsi = along . dp."""
    e = p.ends
    arm = bar_arm(e.pivot, e.axis, e.direction, e.arm, e.drop_length, drop_point, e.side, xp=jnp)
    return arm, arm.along / arm.lever


def _terms(topology: BlockTopology, p: BlockParameters, stretch: Array) -> tuple[Array, Array]:
    """Tension and rate of each elastic term, (terms, c, B)."""
    if not topology.terms:
        return stretch[:0], stretch[:0]
    extension = jnp.stack([stretch[topology.n_rigid + i] for i, _, _ in topology.terms])
    return elastic_tension(p.elastic, extension, xp=jnp), elastic_rate(p.elastic, extension, xp=jnp)


def _per_link(topology: BlockTopology, terms: Array, stretch: Array) -> Array:
    """Sum of the terms of each elastic link, (elastic, c, B)."""
    if not topology.elastic:
        return stretch[:0]
    starts = [[t for t, (link, _, _) in enumerate(topology.terms) if link == i] for i in range(len(topology.elastic))]
    return jnp.stack([terms[min(own) : max(own) + 1].sum(axis=0) for own in starts])


def balance(
    topology: BlockTopology, p: BlockParameters, motion: Array, rack: Array, forces: Array, bars: Array
) -> tuple[Balance, Details]:
    """Balances of a block. forces: (rigid + 3 joints, c, B) N; bars: (ends, c, B) N m, signed by side.

    A positive bar torque turns its arm back against a positive arm angle.
    """
    at = placed(topology, p, motion, rack)
    pull = _pull(topology, p, at, forces, bars)
    return _balance(topology, p, at, pull), _details(topology, p, at, pull, bars)


def _balance(topology: BlockTopology, p: BlockParameters, at: Placed, pull: _Pull) -> Balance:
    nl, nj = len(topology.links), topology.n_joints
    moving = (pull.force[:, None] * at.along[:, :-1]).sum(axis=(0, 2))
    gap = at.points[:, 2 * nl + nj : 2 * nl + 2 * nj] - at.points[:, 2 * nl : 2 * nl + nj]
    return Balance(
        motion=moving,
        length_error=(pull.length - p.link_length)[: topology.n_rigid],
        closure=gap.swapaxes(0, 1).reshape((3 * nj, *gap.shape[2:])),
        chassis=on_chassis(topology, moving, at.body_at),
        arms=pull.arm.angle,
    )


def on_chassis(topology: BlockTopology, motion: Array, body_at: Array) -> Array:
    """Wrench on the chassis about its origin that answers the bodies' wrenches, (6, ..., c, B)."""
    force, moment = 0.0, 0.0
    for i in range(topology.n_bodies):
        f, m = motion[6 * i : 6 * i + 3], motion[6 * i + 3 : 6 * i + 6]
        arm = jnp.broadcast_to(body_at[:, i].reshape((3,) + (1,) * (f.ndim - 3) + body_at.shape[2:]), f.shape)
        force, moment = force - f, moment - m - cross(arm, f)
    return jnp.concatenate([jnp.asarray(force), jnp.asarray(moment)])


def _details(topology: BlockTopology, p: BlockParameters, at: Placed, pull: _Pull, bars: Array) -> Details:
    return Details(
        points=at.points,
        part_axis=at.part_axis,
        length=pull.length,
        tension=pull.tension,
        extension=(pull.length - p.link_length)[topology.n_rigid :],
        term_tension=pull.term_tension,
        drop_tension=-bars / pull.arm.lever,
        arm_angle=pull.arm.angle,
        bar_reach=pull.arm.reach,
        drop_lever=pull.arm.lever,
    )


class Derivatives(NamedTuple):
    """Derivatives of `Balance.rows`: (rows, columns, c, B)."""

    motion: Array
    forces: Array
    rack: Array
    bars: Array
    stretch: Array  # (elastic, c, B) m from the drawn length
    stretch_rate: Array  # (elastic, motions, c, B)


def derivatives(
    topology: BlockTopology, p: BlockParameters, motion: Array, rack: Array, forces: Array, bars: Array
) -> tuple[Balance, Derivatives]:
    """Balances and their exact derivatives to motion, forces, rack shift and bar torques."""
    at = placed(topology, p, motion, rack)
    pull = _pull(topology, p, at, forces, bars)
    found = _balance(topology, p, at, pull)
    nm, nr, nj = topology.n_motion, topology.n_rigid, topology.n_joints
    stiff = _stiffness(topology, p, at, pull, bars)  # (motions, motions + 1, c, B)
    to_chassis = on_chassis(topology, stiff, at.body_at) - _carried_along(topology, found.motion, stiff)
    gap = pull.gap_rate.transpose((2, 0, 1, *range(3, pull.gap_rate.ndim))).reshape((3 * nj, nm + 1, *stiff.shape[2:]))
    arms = (pull.arm_slope[:, None] * pull.drop_rate).sum(axis=0).swapaxes(0, 1)
    length = pull.length_rate[:, :nr].swapaxes(0, 1)
    moved = jnp.concatenate([stiff * FORCE_SCALE, length * LENGTH_SCALE, gap * LENGTH_SCALE, to_chassis, arms])
    pulls = jnp.concatenate([-pull.length_rate[:nm, :nr], -gap[:, :nm].swapaxes(0, 1)], axis=1)
    to_motion = moved[:, :nm]
    to_motion = _to_unknowns(topology, motion, to_motion)
    return found, Derivatives(
        motion=to_motion,
        forces=_force_columns(topology, at, pulls, moved.shape[0]),
        rack=moved[:, nm:],
        bars=_force_columns(topology, at, -arms[:, :nm].swapaxes(0, 1), moved.shape[0]),
        stretch=(pull.length - p.link_length)[nr:],
        stretch_rate=_to_unknowns(topology, motion, pull.length_rate[:nm, nr:].swapaxes(0, 1)),
    )


def _force_columns(topology: BlockTopology, at: Placed, to_motion: Array, rows: int) -> Array:
    """Columns of `Balance.rows` for unit forces that work on the motions as `to_motion` (motions, k, c, B) says."""
    between = jnp.zeros((topology.n_forces, *to_motion.shape[1:]))
    chassis = on_chassis(topology, to_motion, at.body_at)
    after = jnp.zeros((rows - topology.size - 6, *to_motion.shape[1:]))
    return jnp.concatenate([to_motion * FORCE_SCALE, between, chassis, after])


def _carried_along(topology: BlockTopology, balance: Array, like: Array) -> Array:
    """Change of the moment about the chassis origin as reference points move: dO x F, (6, motions + 1, c, B)."""
    columns = []
    for i in range(topology.n_bodies):
        lever = -skew(balance[6 * i : 6 * i + 3])  # dO x F = -[F]x dO
        columns += [lever, jnp.zeros_like(lever)]
    columns.append(jnp.zeros((3, like.shape[1] - 6 * topology.n_bodies, *like.shape[2:])))
    moment = jnp.concatenate(columns, axis=1)
    return jnp.concatenate([jnp.zeros_like(moment), moment])


def _to_unknowns(topology: BlockTopology, motion: Array, columns: Array) -> Array:
    """Turn columns for small rotations into columns for the Cayley unknowns."""
    out = []
    for i in range(topology.n_bodies):
        rate = cayley_rate(motion[6 * i + 3 : 6 * i + 6])
        turned = (columns[:, 6 * i + 3 : 6 * i + 6][:, :, None] * rate[None]).sum(axis=1)
        out += [columns[:, 6 * i : 6 * i + 3], turned]
    out.append(columns[:, 6 * topology.n_bodies :])
    return jnp.concatenate(out, axis=1)


def _stiffness(topology: BlockTopology, p: BlockParameters, at: Placed, pull: _Pull, bars: Array) -> Array:
    """Derivative of the balances to the motions and the rack shift, (motions, motions + 1, c, B)."""
    nm = topology.n_motion
    rate, line = pull.span_rate, pull.length_rate
    across = pull.tension / pull.length
    axial = pull.stiffness - across
    links = (line[:nm, None] * (line * axial)[None]).sum(axis=2)
    links = links + (rate[:, :nm, None] * (rate * across)[:, None]).sum(axis=(0, 3))
    found = -links + _turning(topology, at, pull.force)
    if topology.end_frames:
        bend = _arm_curvature(p, at.points[:, -len(topology.end_frames) :]) * bars
        drop = pull.drop_rate
        bent = (bend[:, :, None] * drop[None]).sum(axis=1)
        found = found - (drop[:, :nm, None] * bent[:, None]).sum(axis=(0, 3))
    return found


def _arm_curvature(p: BlockParameters, drop_point: Array) -> Array:
    """Second derivative of the arm angle to the drop point, (3, 3, ends, c, B)."""
    basis = jnp.broadcast_to(identity(drop_point), (3, *drop_point.shape))
    return jax.vmap(lambda t: jax.jvp(lambda x: _arm(p, x)[1], (drop_point,), (t,))[1])(basis).swapaxes(0, 1)


def _turning(topology: BlockTopology, at: Placed, force: Array) -> Array:
    """Force . d2(point)/d(motion)2 over all points, (motions, motions + 1, c, B): arms turn while forces stay."""
    nb, nm = topology.n_bodies, topology.n_motion
    tail = force.shape[2:]
    zero = jnp.zeros(tail)
    cells: list[list[Array]] = [[zero] * (nm + 1) for _ in range(nm)]
    for i in range(nb):
        arm = (at.points - at.body_at[:, i : i + 1]) * _mask(topology.carried_points(i))
        outer = (arm[:, None] * force[None]).sum(axis=2)
        trace = outer[0, 0] + outer[1, 1] + outer[2, 2]
        for r in range(3):
            for s in range(3):
                cells[6 * i + 3 + r][6 * i + 3 + s] = outer[r, s] - (trace if r == s else 0.0)
    for k, parent in enumerate(topology.part_parents):
        on = _mask([f == 1 + nb + k for f in topology.point_frames])
        axis = jnp.broadcast_to(at.part_axis[:, k : k + 1], force.shape)
        swing = at.along[:, 6 * nb + k] * on
        cells[6 * nb + k][6 * nb + k] = dot(cross(axis, swing), force).sum(axis=0)  # nothing where the part slides
        if parent:
            moment = cross(swing, force).sum(axis=1)
            for r in range(3):
                cells[6 * (parent - 1) + 3 + r][6 * nb + k] = moment[r]
                cells[6 * nb + k][6 * (parent - 1) + 3 + r] = moment[r]
    return jnp.stack([jnp.stack(row) for row in cells])

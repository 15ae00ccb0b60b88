"""A block's linkage moved by its wheels, the chassis fixed: where its bodies and parts go, without any force.

Rows that must vanish, in m (a radian counts as a metre): length error of each rigid link, closure of each joint, one
row for what holds wind-up where torque links leave it free, and the height of each wheel centre. What holds wind-up is
a weighted choice: the drive-side link at its length, the brake-side link at its length, or the housing at a stated
pitch. Compliant links count as rigid where that leaves nothing undetermined; where they would fight each other they
share the misfit by least strain energy, as they do when only the linkage is loaded.

Newton goes from the drawn pose or from a neighbour. The sign of the determinant of the rows tells on which side of a
toggle a pose lies: a pose that has left the drawn side is another assembly of the same parts, and is not taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from axlewright.model.elimination import Pivots, pivot_order, reduce, solve_pivoted
from axlewright.model.parameters import BlockParameters
from axlewright.model.suspension import Placed, placed, taken
from axlewright.model.topology import BlockTopology
from axlewright.model.vectors import Array, cross, dot, norm

CLOSED = 1e-12  # m: the last digits of a position
NEARLY = 1e-7  # m: as Newton's steps square the error, the next one ends below CLOSED
MOST_STEPS = 12  # a pose within reach takes 3 to 5
LONGEST_STEP = 0.15  # m or rad, so that Newton stays on the side of a toggle on which it starts
TORQUE_LINKS = ("drive_link", "brake_link")
AXLE = 2  # wheels on one body
AT_REST = -1  # in place of a point's index: nothing moves it
STIFF = 1e8  # N/m; brings strain energy near the size of the other rows


class Moves(NamedTuple):
    """What a block is made to do."""

    rise: Array  # (wheels, c, B) of each wheel centre from its drawn height, m
    rack: Array  # (B,) rack travel, left steer positive, m
    hold: Array  # (3, B) weights of what holds wind-up: drive-side link, brake-side link, stated pitch
    pitch: Array  # (B,) stated pitch of the housing in the chassis, nose down positive, rad


class Travelled(NamedTuple):
    """Where a block went."""

    motion: Array  # (motions, c, B) poses of bodies and angles of parts, as in the state
    error: Array  # (B,) largest row, m
    side: Array  # (c, B) determinant of the rows, signed: its sign is the side of toggle


@dataclass(frozen=True)
class Linkage:
    """What of a block says where it goes: its locating links, joints and wheel centres."""

    whole: BlockTopology

    @cached_property
    def compliant(self) -> tuple[str, ...]:
        return tuple(link for _, link, term in self.whole.terms if term.kind == "compliant")

    @cached_property
    def torque(self) -> dict[str, str]:
        """Kind of torque link -> its name."""
        return {term.kind: link for _, link, term in self.whole.terms if term.kind in TORQUE_LINKS}

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Links that matter: rigid ones, compliant ones, torque links."""
        return (*self.whole.rigid, *self.compliant, *self.torque.values())

    @cached_property
    def topology(self) -> BlockTopology:
        """The block without anything else; wheel centres take the place of the drop-link ends."""
        links = tuple(self.whole.link(name) for name in self.names)
        frames = tuple(wheel.frame for wheel in self.whole.block.wheels)
        return replace(self.whole, block=replace(self.whole.block, links=links), bar_ends=(), bar_end_frames=frames)

    @property
    def hard(self) -> int:
        """Links that keep their length exactly, first in `topology.links`."""
        return self.whole.n_rigid + (len(self.compliant) if self.square else 0)

    @cached_property
    def square(self) -> bool:
        """Whether rigid and compliant links, joints, wind-up and wheels are as many as the motions."""
        t = self.whole
        return t.n_rigid + len(self.compliant) + 3 * t.n_joints + bool(self.torque) + t.n_wheels == t.n_motion

    @cached_property
    def winds_up(self) -> bool:
        """Whether its wheels' body can be turned to a stated pitch: torque links or links that give leave it free."""
        return self.whole.n_wheels == AXLE and (bool(self.torque) or not self.square)

    def parameters(self, p: BlockParameters) -> BlockParameters:
        """The parameters of `topology`'s points, in its order."""
        nl, nj = len(self.whole.links), self.whole.n_joints
        chosen = [self.whole.links.index(name) for name in self.topology.links]
        joints = [2 * nl + j for j in range(2 * nj)]
        points = jnp.concatenate(
            [p.points[:, np.array([*chosen, *(nl + i for i in chosen), *joints], dtype=int)], p.wheels.centre], axis=1
        )
        return p._replace(points=points, link_length=p.link_length[np.array(chosen, dtype=int)])

    def stiffness(self, p: BlockParameters) -> Array:
        """Rate of each compliant link, N/m, (compliant, c, B)."""
        terms = np.array([t for t, (_, _, term) in enumerate(self.whole.terms) if term.kind == "compliant"], dtype=int)
        return p.elastic.stiffness[terms]


class _Rows(NamedTuple):
    """Misfit of each row and its derivative to the small motions."""

    hard: Array  # (k, c, B)
    hard_rate: Array  # (k, motions, c, B)
    soft: Array  # (compliant that share, c, B)
    soft_rate: Array


def _rows(linkage: Linkage, p: BlockParameters, motion: Array, moves: Moves, sense: Array) -> _Rows:
    """Rows at a pose; `p` of the linkage's own points."""
    topology = linkage.topology
    at = placed(topology, p, motion, moves.rack * sense)
    nl, nj, nw = len(topology.links), topology.n_joints, linkage.whole.n_wheels
    points, first_wheel = at.points, 2 * nl + 2 * nj
    span = points[:, nl : 2 * nl] - points[:, :nl]
    length = norm(span)
    gap = points[:, 2 * nl + nj : first_wheel] - points[:, 2 * nl : 2 * nl + nj]
    # Every row is how far b is from a along a direction: a link's own, x, y and z for a joint, up for a wheel
    tail = length.shape[1:]
    axes = np.concatenate([np.tile(np.eye(3), (1, nj)), np.tile(np.eye(3)[:, 2:], (1, nw))], axis=1)[..., None, None]
    direction = jnp.concatenate([span / length, jnp.broadcast_to(axes, (3, 3 * nj + nw, *tail))], axis=1)
    a = [*range(nl), *(2 * nl + j for j in range(nj) for _ in "xyz"), *[AT_REST] * nw]
    b = [
        *range(nl, 2 * nl),
        *(2 * nl + nj + j for j in range(nj) for _ in "xyz"),
        *(first_wheel + w for w in range(nw)),
    ]
    rate = _rates(topology, at, direction, (a, b))
    misfit, closure = length - p.link_length, gap.swapaxes(0, 1).reshape((3 * nj, *tail))
    height = points[2, first_wheel:] - p.wheels.centre[2] - moves.rise
    hard = linkage.hard
    held, held_rate = _wind_up(linkage, at, misfit, rate[:nl], moves)
    firm = len(linkage.whole.rigid) + len(linkage.compliant)
    return _Rows(
        hard=jnp.concatenate([misfit[:hard], closure, held, height]),
        hard_rate=jnp.concatenate([rate[:hard], rate[nl : nl + 3 * nj], held_rate, rate[nl + 3 * nj :]]),
        soft=misfit[hard:firm],
        soft_rate=rate[hard:firm],
    )


def _rates(topology: BlockTopology, at: Placed, direction: Array, ends: tuple[Sequence[int], Sequence[int]]) -> Array:
    """Speed of b away from a along `direction` (3, rows, c, B) for each small motion, (rows, motions, c, B).

    ends: indices of the points a and b of each row. By virtual work this is the wrench that a unit pull of a and b
    towards each other has on each body, and its moment about (or force along) the axis of each part.
    """
    rows, tail = direction.shape[1], direction.shape[2:]

    def wrench(feels: Sequence[bool], about: Array) -> Array:
        """Force and moment about a point, (6, rows, c, B), on what carries the points that are flagged."""
        total = jnp.zeros((6, rows, *tail))
        for sign, which in zip((-1.0, 1.0), ends, strict=True):
            own = [row for row, point in enumerate(which) if point != AT_REST and feels[point]]
            if own:
                pull = sign * taken(direction, own)
                arm = taken(at.points, [which[row] for row in own]) - about
                total = total + _spread(jnp.concatenate([pull, cross(arm, pull)]), own, rows)
        return total

    columns = [wrench(topology.carried_points(i), at.body_at[:, i : i + 1]) for i in range(topology.n_bodies)]
    for k, slides in enumerate(topology.part_slides):
        frame = 1 + topology.n_bodies + k
        on = wrench([f == frame for f in topology.point_frames], at.part_point[:, k : k + 1])
        columns.append(dot(at.part_axis[:, k : k + 1], on[:3] if slides else on[3:])[None])
    return jnp.concatenate(columns).swapaxes(0, 1)


def _spread(a: Array, own: Sequence[int], rows: int) -> Array:
    """`a` (n, k, c, B) at the rows `own` of (n, rows, c, B), nothing at the others."""
    padded = jnp.concatenate([a, jnp.zeros((a.shape[0], 1, *a.shape[2:]))], axis=1)
    return taken(padded, [own.index(row) if row in own else len(own) for row in range(rows)])


def _wind_up(linkage: Linkage, at: Placed, misfit: Array, rate: Array, moves: Moves) -> tuple[Array, Array]:
    """The row that holds wind-up (1, c, B) and its derivative; none where nothing leaves it free."""
    if not linkage.torque and not linkage.winds_up:
        return misfit[:0], rate[:0]
    frame = linkage.topology.wheel_frames[0] - 1
    turn = at.body_rotation[:, :, frame]
    pitch = -jnp.arcsin(turn[2, 0])
    level = jnp.sqrt(1.0 - turn[2, 0] ** 2)
    # d(pitch) = -(omega x first column)_z / cos(pitch)
    pitch_rate = jnp.zeros(rate.shape[1:])
    pitch_rate = pitch_rate.at[6 * frame + 3].set(-turn[1, 0] / level).at[6 * frame + 4].set(turn[0, 0] / level)
    w = moves.hold
    value, slope = w[2] * (pitch - moves.pitch), w[2] * pitch_rate
    names = linkage.topology.links
    for weight, kind in zip(w, TORQUE_LINKS, strict=False):
        if linkage.torque:
            link = names.index(linkage.torque.get(kind, next(iter(linkage.torque.values()))))
            value, slope = value + weight * misfit[link], slope + weight * rate[link]
    return value[None], slope[None]


def _system(linkage: Linkage, rows: _Rows, stiffness: Array, hold: Array) -> tuple[Array, Array]:
    """Matrix (n, n, c, B) and right side (n, 1, c, B) of a Newton step: square rows, or least strain energy."""
    if linkage.square:
        return rows.hard_rate, -rows.hard[:, None]
    weight = stiffness / STIFF
    energy = (rows.soft_rate[:, :, None] * (weight[:, None] * rows.soft_rate)[:, None]).sum(axis=0)
    pull = (rows.soft_rate * (weight * rows.soft)[:, None]).sum(axis=0)
    k = rows.hard.shape[0]
    corner = jnp.zeros((k, k, *rows.hard.shape[1:]))
    if linkage.winds_up and not linkage.torque:  # no pitch is stated: that row's force is then zero
        row = k - linkage.whole.n_wheels - 1
        corner = corner.at[row, row].set(1.0 - hold[2])
    upper = jnp.concatenate([energy, rows.hard_rate.swapaxes(0, 1)], axis=1)
    lower = jnp.concatenate([rows.hard_rate, corner], axis=1)
    return jnp.concatenate([upper, lower]), -jnp.concatenate([pull, rows.hard])[:, None]


def _solved(linkage: Linkage, pivots: Pivots, matrix: Array, right: Array) -> tuple[Array, Array]:
    """Motion step (motions, c, B) and the signed determinant (c, B)."""
    if linkage.square:
        found, pivot = reduce(matrix, right, pivots)
        return found[:, 0], jnp.prod(jnp.stack(pivot), axis=0)
    n, (c, b) = linkage.whole.n_motion, matrix.shape[2:]
    flat = lambda a: a.reshape((*a.shape[:2], c * b))  # noqa: E731 - a shape is all that changes
    found = solve_pivoted(flat(matrix), flat(right))[:n, 0]
    return found.reshape((n, c, b)), jnp.ones((c, b))


def _advanced(topology: BlockTopology, motion: Array, step: Array) -> Array:
    """Motion unknowns after a step of small motions, shortened to what the linear picture is good for."""
    step = step * jnp.minimum(1.0, LONGEST_STEP / jnp.maximum(jnp.abs(step).max(axis=(0, 1)), 1e-300))
    out = []
    for i in range(topology.n_bodies):
        r, w = motion[6 * i + 3 : 6 * i + 6], step[6 * i + 3 : 6 * i + 6]
        # a small rotation w as a change of the Cayley vector: the inverse of `vectors.cayley_rate`
        out += [step[6 * i : 6 * i + 3], w - 0.5 * cross(r, w) + 0.25 * r * dot(r, w)]
    return motion + jnp.concatenate([*out, step[6 * topology.n_bodies :]])


def travel(linkage: Linkage, pivots: Pivots, p: BlockParameters, sense: Array, moves: Moves, start: Array) -> Travelled:
    """Newton from `start` (motions, c, B) to where the wheels are asked to be."""
    own, stiffness = linkage.parameters(p), linkage.stiffness(p)

    def worst(rows: _Rows) -> Array:
        return jnp.abs(rows.hard).max(axis=(0, 1))

    def look(motion: Array) -> tuple[Array, Array, Array]:
        rows = _rows(linkage, own, motion, moves, sense)
        matrix, right = _system(linkage, rows, stiffness, moves.hold)
        step, side = _solved(linkage, pivots, matrix, right)
        return step, side, worst(rows) if linkage.square else jnp.maximum(worst(rows), jnp.abs(step).max(axis=(0, 1)))

    def going(carry: tuple[Array, Array, Array, Array, Array]) -> Array:
        return (carry[4] < MOST_STEPS) & (carry[3].max() > (NEARLY if linkage.square else CLOSED))

    def go_on(carry: tuple[Array, Array, Array, Array, Array]) -> tuple[Array, Array, Array, Array, Array]:
        motion, step, side, _, count = carry
        motion = _advanced(linkage.topology, motion, step)
        step, side, size = look(motion)
        return motion, step, side, size, count + 1

    first = (start, *look(start), jnp.zeros((), dtype=int))
    motion, step, side, error, _ = jax.lax.while_loop(going, go_on, first)
    motion = _advanced(linkage.topology, motion, step)
    last = worst(_rows(linkage, own, motion, moves, sense))
    return Travelled(motion, last if linkage.square else jnp.maximum(last, error), side)


def pivots_of(linkage: Linkage, rows: np.ndarray) -> Pivots:
    """Pivot order of the rows (n, n) at the drawn pose; the wind-up row, which depends on what holds it, comes last."""
    wheels = linkage.whole.n_wheels
    last = (len(rows) - wheels - 1,) if linkage.torque else ()
    return pivot_order(rows, last)

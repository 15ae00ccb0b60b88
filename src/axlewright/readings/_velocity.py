"""How links, drop links, wheels and contact centres of a block move with its motions, the chassis held fixed."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.readings._frames import half_of
from axlewright.readings._kept import kept
from axlewright.readings._place import Placed, place
from axlewright.readings._vectors import dot, rotate
from axlewright.solve.solved import Solved


class BlockMotion(NamedTuple):
    """Velocity rows of one block at a batch of states; motions as in `_place`."""

    placed: Placed
    length_rate: np.ndarray  # (links, motions, c, B)
    closure_rate: np.ndarray  # (3 joints, motions, c, B)
    drop_rate: np.ndarray  # (3, ends, motions, c, B) of the lower drop-link ends
    contact_rate: np.ndarray  # (3, wheels, motions, c, B) of the contact centres as points of their bodies, road axes
    centre_rate: np.ndarray  # (3, wheels, motions, c, B) of the wheel centres, road axes


@kept
def block_motions(solved: Solved) -> tuple[BlockMotion, ...]:
    """Velocity rows of every block."""
    return tuple(_block_motion(solved, i) for i in range(len(solved.blocks)))


def _block_motion(solved: Solved, block: int) -> BlockMotion:
    topology = solved.machine.topology.blocks[block]
    at = place(topology, solved.parameters.blocks[block], np.asarray(solved.unknowns.local[block]))
    points = np.asarray(solved.blocks[block].details.points)
    nl, nj = len(topology.links), topology.n_joints
    rows = [at.rows(frame, points[:, i]) for i, frame in enumerate(topology.point_frames)]
    span = points[:, nl : 2 * nl] - points[:, :nl]
    direction = span / np.sqrt(dot(span, span))
    joints, drops = 2 * nl, rows[2 * (nl + nj) :]
    closure = [rows[joints + nj + j] - rows[joints + j] for j in range(nj)]
    none = (topology.n_motion, *points.shape[2:])
    return BlockMotion(
        placed=at,
        length_rate=np.stack([(direction[:, i, None] * (rows[nl + i] - rows[i])).sum(axis=0) for i in range(nl)]),
        closure_rate=np.concatenate(closure) if closure else np.zeros((0, *none)),
        drop_rate=np.stack(drops, axis=1) if drops else np.zeros((3, 0, *none)),
        contact_rate=_on_wheels(solved, block, at, "point"),
        centre_rate=_on_wheels(solved, block, at, "centre"),
    )


def point_rate(solved: Solved, block: int, frame: int, point: np.ndarray) -> np.ndarray:
    """Velocity rows (3, motions, c, B), road axes, of a road point (3, c, B) that is fixed on a frame of a block."""
    half = half_of(solved, block)
    placed = block_motions(solved)[block].placed
    return rotate(half.rotation, placed.rows(frame, half.on_chassis(point)))


def body_turn(solved: Solved, block: int, motion: np.ndarray) -> np.ndarray:
    """Small rotation (3, c, B), rad, road axes, of the body that carries the wheels in a motion (n, c, B)."""
    body = solved.machine.topology.blocks[block].wheel_frames[0] - 1
    return rotate(half_of(solved, block).rotation, motion[6 * body + 3 : 6 * body + 6])


def _on_wheels(solved: Solved, block: int, at: Placed, name: str) -> np.ndarray:
    """Velocity rows, road axes, of a `Contact` point of each wheel carried by its body."""
    half = half_of(solved, block)
    points = half.on_chassis(np.asarray(getattr(solved.blocks[block].contact, name)))
    found = [rotate(half.rotation, at.rows(frame, points[:, w])) for w, frame in enumerate(at.topology.wheel_frames)]
    return np.stack(found, axis=1)

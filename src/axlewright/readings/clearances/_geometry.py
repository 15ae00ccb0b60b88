"""Bodies, parts and link ends of every block at a batch of states, as the clearances want them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.readings._frames import half_of, halves
from axlewright.readings._kept import kept
from axlewright.readings._place import Placed, place
from axlewright.solve.solved import Solved


class At(NamedTuple):
    """One copy of one block."""

    block: int
    copy: int


class BlockPlaces(NamedTuple):
    """One block in axes of its chassis half."""

    placed: Placed
    drawn: np.ndarray  # (3, points, c, B) as drawn: link ends a, b, joints a, b, drop-link ends
    points: np.ndarray  # (3, points, c, B) now


@kept
def places(solved: Solved) -> tuple[BlockPlaces, ...]:
    """Every block at the batch."""
    found = []
    for i, topology in enumerate(solved.machine.topology.blocks):
        p = solved.parameters.blocks[i]
        points = np.asarray(solved.blocks[i].details.points)
        at = place(topology, p, np.asarray(solved.unknowns.local[i]))
        found.append(BlockPlaces(at, np.asarray(p.points) + np.zeros_like(points), points))
    return tuple(found)


def copy_at(solved: Solved, copy: str) -> At:
    """Where a block copy such as `front.left` is found."""
    for i, topology in enumerate(solved.machine.topology.blocks):
        if copy in topology.block.copies:
            return At(i, topology.block.copies.index(copy))
    raise ValueError(f"no block copy {copy}")


def on_road(solved: Solved, copy: str, frame: str, drawn: np.ndarray) -> np.ndarray:
    """Road axes (3, B) of a point (3,) drawn on a frame; `copy` "" for the chassis.

    Of a chassis that twists, the half that a point belongs to is the one on its side of the middle of the wheelbase.
    """
    if not copy:
        centres = np.concatenate([np.asarray(p.wheels.centre)[0].ravel() for p in solved.parameters.blocks])
        rear = drawn[0] < (centres.min() + centres.max()) / 2
        return halves(solved)[int(rear)].on_road(np.repeat(drawn[:, None], solved.batch, axis=1))
    at = copy_at(solved, copy)
    placed = places(solved)[at.block].placed
    every = drawn[:, None, None] + np.zeros_like(placed.body_at[:, 0])
    here = placed.point(placed.topology.frames.index(frame), every)[:, at.copy]
    return half_of(solved, at.block).on_road(here)


def link_ends(solved: Solved, copy: str, link: str) -> tuple[np.ndarray, np.ndarray]:
    """Ends a and b of a link now, (3, B) in axes of the chassis half."""
    at = copy_at(solved, copy)
    topology, points = solved.machine.topology.blocks[at.block], places(solved)[at.block].points
    i = topology.links.index(link)
    return points[:, i, at.copy], points[:, len(topology.links) + i, at.copy]

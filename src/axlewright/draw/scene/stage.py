"""One member of a batch of states, with its points put into the axes that are drawn in."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from axlewright.draw.scene.shapes import Axes, Point
from axlewright.model.parameters import BlockParameters
from axlewright.model.topology import BlockTopology
from axlewright.readings._frames import half_of, halves
from axlewright.readings._place import Placed
from axlewright.readings._velocity import block_motions
from axlewright.solve.solved import Solved


class Seen(NamedTuple):
    """One copy of one block: its tables, and its drawn and present points in axes of its chassis half."""

    index: int
    copy: int
    path: str  # "front.left"
    topology: BlockTopology
    p: BlockParameters
    placed: Placed
    points: np.ndarray  # (3, points, c, B) as `Details.points`


@dataclass(frozen=True)
class Stage:
    """A member of a batch and the axes that it is drawn in."""

    solved: Solved
    member: int
    axes: Axes

    @cached_property
    def copies(self) -> tuple[Seen, ...]:
        """Every copy of every block."""
        found = []
        for i, topology in enumerate(self.solved.machine.topology.blocks):
            p, placed = self.solved.parameters.blocks[i], block_motions(self.solved)[i].placed
            points = np.asarray(self.solved.blocks[i].details.points)
            found += [Seen(i, c, path, topology, p, placed, points) for c, path in enumerate(topology.block.copies)]
        return tuple(found)

    def put(self, block: int, point: np.ndarray) -> np.ndarray:
        """A point (3, B) of a block's chassis half, or of the front half for -1, as it is drawn: (3,)."""
        half = half_of(self.solved, block) if block >= 0 else halves(self.solved)[0]
        return self.on(half.on_road(point))

    def on(self, road: np.ndarray) -> Point:
        """A point (3, B) in road axes as it is drawn."""
        if self.axes == "chassis":
            road = halves(self.solved)[0].on_chassis(road)
        return road[:, self.member]

    def towards(self, block: int, direction: np.ndarray) -> Point:
        """A direction (3, B) of a block's chassis half as it is drawn."""
        return self.put(block, direction) - self.put(block, 0.0 * direction)


def foot(point: np.ndarray, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """The point of the segment start-end that is nearest to `point`, (3,) each."""
    span = end - start
    size = float(span @ span)
    return start + span * (min(max(float((point - start) @ span) / size, 0.0), 1.0) if size else 0.0)

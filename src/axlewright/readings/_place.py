"""Bodies and parts of a block at a pose: where a drawn point is, and how it moves with the block's motions.

Motions of a block: translation and small rotation of each body about its reference point (its drawn centre of mass)
in axes of the chassis half, and the angle or slide of each part; the same list that the model balances forces for. A
row (motions, c, B) times a motion is a velocity. The chassis is still.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.model.parameters import BlockParameters
from axlewright.model.topology import BlockTopology
from axlewright.parts.relay_linkage import carried, carried_rate, relay_pose
from axlewright.readings._vectors import cayley, cross, rotate


class Placed(NamedTuple):
    """Bodies and parts of a block in axes of the chassis half."""

    topology: BlockTopology
    drawn_at: np.ndarray  # (3, bodies, c, B)
    body_at: np.ndarray  # (3, bodies, c, B)
    rotation: np.ndarray  # (3, 3, bodies, c, B)
    drawn_point: np.ndarray  # (3, parts, c, B) on the axis, drawn
    part_point: np.ndarray  # (3, parts, c, B)
    part_axis: np.ndarray  # (3, parts, c, B)
    part_turn: np.ndarray  # (3, 3, parts, c, B) of the part against its parent, drawn axes
    part_slide: np.ndarray  # (3, parts, c, B) the same, m

    def point(self, frame: int, drawn: np.ndarray) -> np.ndarray:
        """Where a point (3, c, B), drawn on a frame (index in `topology.frames`), is."""
        nb, parent = self.topology.n_bodies, frame
        if frame > nb:
            k = frame - nb - 1
            about = self.drawn_point[:, k] + self.part_slide[:, k]
            drawn = about + rotate(self.part_turn[:, :, k], drawn - self.drawn_point[:, k])
            parent = self.topology.part_parents[k]
        return self.carried(parent, drawn)

    def carried(self, body_frame: int, drawn: np.ndarray) -> np.ndarray:
        """Where a point drawn on the chassis (0) or a body (1 ...) is."""
        if not body_frame:
            return drawn
        i = body_frame - 1
        return self.body_at[:, i] + rotate(self.rotation[:, :, i], drawn - self.drawn_at[:, i])

    def direction(self, frame: int, drawn: np.ndarray) -> np.ndarray:
        """Where a direction (3, c, B), drawn on a frame, points."""
        nb, parent = self.topology.n_bodies, frame
        if frame > nb:
            k = frame - nb - 1
            drawn, parent = rotate(self.part_turn[:, :, k], drawn), self.topology.part_parents[k]
        return rotate(self.rotation[:, :, parent - 1], drawn) if parent else drawn

    def rows(self, frame: int, point: np.ndarray) -> np.ndarray:
        """Velocity rows (3, motions, c, B) of a point (3, c, B) that is fixed on a frame, where it is now."""
        nb = self.topology.n_bodies
        rows = np.zeros((3, self.topology.n_motion, *point.shape[1:]))
        parent = frame
        if frame > nb:
            k = frame - nb - 1
            axis, slides = self.part_axis[:, k], self.topology.part_slides[k]
            rows[:, 6 * nb + k] = axis if slides else cross(axis, point - self.part_point[:, k])
            parent = self.topology.part_parents[k]
        if parent:
            i = parent - 1
            arm = point - self.body_at[:, i]
            for axis in range(3):
                rows[axis, 6 * i + axis] = 1.0
            rows[0, 6 * i + 4], rows[0, 6 * i + 5] = arm[2], -arm[1]
            rows[1, 6 * i + 3], rows[1, 6 * i + 5] = -arm[2], arm[0]
            rows[2, 6 * i + 3], rows[2, 6 * i + 4] = arm[1], -arm[0]
        return rows


def place(topology: BlockTopology, p: BlockParameters, motion: np.ndarray) -> Placed:
    """A block at motion unknowns (motions, c, B): translation and Cayley vector of each body, angle or slide of each
    part.
    """
    nb = topology.n_bodies
    pose = np.swapaxes(motion[: 6 * nb].reshape((nb, 6, *motion.shape[1:])), 0, 1)
    drawn = np.asarray(p.body_at) + np.zeros_like(pose[:3])
    at, rotation = drawn + pose[:3], cayley(pose[3:])
    own = motion[6 * nb : topology.n_motion]
    slides = np.array(topology.part_slides, dtype=bool).reshape((-1, 1, 1))
    angle, slide = np.where(slides, 0.0, own), np.where(slides, own, 0.0)
    drawn_point, axis = (np.asarray(x) + 0.0 * own for x in (p.part_point, p.part_axis))
    part_point, part_axis = drawn_point.copy(), axis.copy()
    for k, parent in enumerate(topology.part_parents):
        if parent:
            i = parent - 1
            part_point[:, k] = at[:, i] + rotate(rotation[:, :, i], drawn_point[:, k] - drawn[:, i])
            part_axis[:, k] = rotate(rotation[:, :, i], axis[:, k])
    turn = cayley(axis * (2.0 * np.tan(0.5 * angle)))
    return Placed(topology, drawn, at, rotation, drawn_point, part_point, part_axis, turn, axis * slide)


def steered(p: BlockParameters, drawn: np.ndarray, shift: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Points (3, ..., B) on the rack or relay link, moved by `shift` (B,) m to the left, and their rate to it."""
    if p.relay is None:
        side = np.array([0.0, 1.0, 0.0]).reshape((3,) + (1,) * (drawn.ndim - 1))
        return drawn + side * shift, side + 0.0 * drawn
    pose = relay_pose(p.relay, shift)
    now = carried(p.relay, pose, drawn)
    return now, carried_rate(p.relay, pose, now)

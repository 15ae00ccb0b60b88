"""Where bellcranks and rockers stand, and how far they are from toggle.

Angle from the drawn pose, right-handed about the pivot's axis (a Watt's bellcrank that turns about x: left end down).
Margin to toggle: angle between the arm from pivot to link end and the link, seen along the axis, away from being in
line, the smallest of all its links; nought is toggle, where the link can no longer turn it. Elementary kinematics, for
any direction of the axis.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.model.topology import BlockTopology
from axlewright.readings._vectors import dot
from axlewright.readings._velocity import block_motions
from axlewright.readings.base import Reading
from axlewright.readings.forces import spoken
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved


def _links(topology: BlockTopology, part: int) -> list[tuple[int, int, int]]:
    """(link, point on the part, point at its other end) of the links on a part, points as `Details.points`."""
    frame, n = 1 + topology.n_bodies + part, len(topology.links)
    on_a = [(i, i, n + i) for i, at in enumerate(topology.link_frames_a) if at == frame]
    return on_a + [(i, n + i, i) for i, at in enumerate(topology.link_frames_b) if at == frame]


def cranks(topology: BlockTopology) -> list[int]:
    """Parts of a block that only links are tied to, two at least: an arm carries a ball joint."""
    jointed = {*topology.joint_frames_a, *topology.joint_frames_b}
    frames = [1 + topology.n_bodies + k for k in range(topology.n_parts)]
    return [k for k, frame in enumerate(frames) if frame not in jointed and len(_links(topology, k)) > 1]


def angle(solved: Solved, block: int, part: int, copy: int) -> np.ndarray:
    """Angle of a part from the drawn pose, rad, (B,)."""
    return np.asarray(solved.unknowns.local[block])[6 * solved.machine.topology.blocks[block].n_bodies + part, copy]


def toggle_margin(solved: Solved, block: int, part: int, copy: int) -> np.ndarray:
    """Least angle of a part's arms and their links away from being in line, rad, (B,)."""
    topology, placed = solved.machine.topology.blocks[block], block_motions(solved)[block].placed
    points = np.asarray(solved.blocks[block].details.points)[:, :, copy]
    pivot, axis = placed.part_point[:, part, copy], placed.part_axis[:, part, copy]
    margins = []
    for _, own, other in _links(topology, part):
        arm, link = (x - axis * dot(axis, x) for x in (points[:, own] - pivot, points[:, other] - points[:, own]))
        in_line = np.abs(dot(arm, link)) / np.sqrt(dot(arm, arm) * dot(link, link))
        margins.append(np.arccos(np.minimum(in_line, 1.0)))
    return np.min(margins, axis=0)


def bellcranks_of(machine: Machine) -> list[Reading]:
    """Angle and margin of every bellcrank and rocker of a car."""
    found = []
    for index, topology in enumerate(machine.topology.blocks):
        for part in cranks(topology):
            for c, copy in enumerate(topology.block.copies):
                path = f"{copy}.{topology.block.parts[part].name}"
                found += _of_crank(path, block=index, part=part, copy=c)
    return found


def _of_crank(path: str, **at: int) -> list[Reading]:
    name = spoken(path)
    return [
        Reading(
            id=f"angle.{path}", name=f"angle, {name}", unit="rad", shown="deg",
            more=f"{name} turned further about its axis", less=f"{name} turned further the other way",
            source="own definition: from the drawn pose, right-handed about its axis", read=partial(angle, **at),
            smallest=np.radians(0.05), at_rest=True, travel=True, detail=True,
        ),
        Reading(
            id=f"toggle_margin.{path}", name=f"angle left to toggle, {name}", unit="rad", shown="deg",
            more=f"{name} further from toggle", less=f"{name} nearer to toggle",
            source="own definition: arm and link away from being in line", read=partial(toggle_margin, **at),
            smallest=np.radians(0.1), at_rest=True, travel=True,
        ),
    ]  # fmt: skip

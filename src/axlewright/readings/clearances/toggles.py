"""Bellcranks and rockers against toggle, and bar arms against over-centre.

A bellcrank toggles where a link lies along its arm: the link then has no lever. The angle left is that between the link
and the arm, both seen along the pivot's axis, signed by the side on which the pair is drawn; negative is past it. Bar
arms likewise: arm and drop link in line. Elementary geometry; for a Watt's linkage as for any four-bar, toggle is where
coupler and follower are in line.
"""

from __future__ import annotations

import numpy as np

from axlewright.model.topology import BlockTopology
from axlewright.readings._vectors import cross, dot
from axlewright.readings.clearances._geometry import BlockPlaces, places
from axlewright.readings.clearances.base import Margin
from axlewright.readings.forces import spoken
from axlewright.solve.solved import Solved

SOURCE = "elementary geometry: toggle of a four-bar linkage"


def bellcrank_margins(solved: Solved) -> list[Margin]:
    """Angle left to toggle of every link on a bellcrank or rocker; suspension arms, which carry a joint, have none."""
    found = []
    for topology, here in zip(solved.machine.topology.blocks, places(solved), strict=True):
        jointed = {frame for joint in topology.block.joints for frame in (joint.a, joint.b)}
        for k, part in enumerate(topology.block.parts):
            if part.name in jointed:
                continue
            for i, end in _links_on(topology, part.name):
                angle = _to_toggle(topology, here, k, i, end)
                for c, copy in enumerate(topology.block.copies):
                    found.append(Margin(
                        id=f"toggle.{copy}.{part.name}.{topology.links[i]}",
                        name=f"{spoken(copy)} {spoken(part.name)} and {spoken(topology.links[i])}",
                        used_up="past toggle", unit="rad", value=angle[c], source=SOURCE,
                    ))  # fmt: skip
    return found


def bar_margins(solved: Solved) -> list[Margin]:
    """Angle left at the pivot of every bar arm to the pose in which it and its drop link are in line."""
    found, bars = [], solved.machine.topology.mechanism.bars
    for topology, at in zip(solved.machine.topology.blocks, solved.blocks, strict=True):
        reach = np.abs(np.asarray(at.details.bar_reach))
        for e, ends in enumerate(topology.bar_ends):
            for c, (bar, sign) in enumerate(ends):
                side = "left" if sign > 0 else "right"
                found.append(Margin(
                    id=f"over_centre.{bars[bar].name}.{side}", name=f"{side} arm of the {spoken(bars[bar].name)}",
                    used_up="over centre", unit="rad", value=arm_angle_left(reach[e, c]), source=SOURCE,
                ))  # fmt: skip
    return found


def arm_angle_left(reach: np.ndarray) -> np.ndarray:
    """Angle to toggle from a bar arm's reach (`parts.bar_arm`), rad; past it, where no angle is, minus its likeness."""
    near = np.arccos(np.clip(np.where(reach > 1.0, 2.0 - reach, reach), -1.0, 1.0))
    return np.where(reach > 1.0, -near, near)


def _links_on(topology: BlockTopology, part: str) -> list[tuple[int, str]]:
    """(link index, its end on the part) of every link that a part carries."""
    links = [(i, topology.link(name)) for i, name in enumerate(topology.links)]
    return [(i, "a" if link.a == part else "b") for i, link in links if part in (link.a, link.b)]


def _to_toggle(topology: BlockTopology, here: BlockPlaces, part: int, link: int, end: str) -> np.ndarray:
    """Angle to toggle (c, B), positive on the drawn side."""
    n, placed = len(topology.links), here.placed
    sides = []
    for points, pivot, axis in (
        (here.drawn, placed.drawn_point[:, part], _drawn_axis(here, part)),
        (here.points, placed.part_point[:, part], placed.part_axis[:, part]),
    ):
        ends = points[:, link], points[:, n + link]
        own, other = ends if end == "a" else ends[::-1]
        arm, along = (v - dot(v, axis) * axis for v in (own - pivot, other - own))
        sides.append(np.arctan2(dot(cross(arm, along), axis), dot(arm, along)))
    return angle_left(*sides)


def angle_left(drawn: np.ndarray, now: np.ndarray) -> np.ndarray:
    """Angle to the nearer toggle of an arm and its link, rad: link out along the arm (0), or back over it (180 deg).

    `drawn` and `now`: angle from arm to link, -pi..pi; its sign as drawn says which side is the right one.
    """
    here = np.where(drawn >= 0.0, now, -now)
    return np.where(here < -np.pi / 2, -np.pi - here, np.minimum(here, np.pi - here))


def _drawn_axis(here: BlockPlaces, part: int) -> np.ndarray:
    """The part's axis as drawn: turning about it leaves it where it is, so its parent's turn is taken back."""
    parent = here.placed.topology.part_parents[part]
    now = here.placed.part_axis[:, part]
    return now if not parent else np.einsum("ij...,i...->j...", here.placed.rotation[:, :, parent - 1], now)

"""How far each joint is tilted, against how far it may be: rod ends, bushes, ball joints, drop links.

A link with a spherical joint at each end turns freely about its own line, and each end about its bolt. So an end is
tilted by the angle between the link and the plane square to its bolt, asin(|link . bolt|), the bolt carried by what it
is fixed in. A ball joint is tilted by the angle between its stud, carried by one part, and its housing, carried by the
other; none as drawn. Elementary geometry.
"""

from __future__ import annotations

import numpy as np

from axlewright.car.describe.room import Room, Tilt
from axlewright.readings._vectors import cross, dot, rotate
from axlewright.readings.clearances._geometry import At, copy_at, places
from axlewright.readings.clearances.base import Margin
from axlewright.readings.forces import spoken
from axlewright.solve.solved import Solved

UPRIGHT = np.array([0.0, 0.0, 1.0])
LEVEL = 0.05  # share of a link that must be level for it to have a level direction: within 3 deg of upright it has none
END = {"a": "chassis end", "b": "moving end"}


def misalignments(solved: Solved, room: Room) -> list[Margin]:
    """Angle left at every joint that has a limit."""
    found = []
    bars = [bar.name for bar in solved.machine.topology.mechanism.bars]
    for tilt in room.tilts:
        if tilt.part in bars:
            angle, name = _of_drop_link(solved, tilt), f"{tilt.copy} drop link of the {spoken(tilt.part)}"
        elif tilt.end is None:
            angle, name = _of_ball(solved, tilt), f"{spoken(tilt.copy)} {spoken(tilt.part)}"
        else:
            angle, name = _of_link(solved, tilt), f"{spoken(tilt.copy)} {spoken(tilt.part)}"
        end = f", {END[tilt.end]}" if tilt.end else " joint"
        key = ".".join(part for part in (tilt.copy, tilt.part, tilt.end) if part)
        found.append(
            Margin(
                id=f"misalignment.{key}", name=name + end, used_up="joint binds", unit="rad",
                value=tilt.largest - angle, whole=tilt.largest,
            )
        )  # fmt: skip
    return found


def tilt_of(link: np.ndarray, bolt: np.ndarray) -> np.ndarray:
    """Angle between a link and the plane square to its bolt, 0..pi/2; directions (3, ...) of any length."""
    along = np.abs(dot(link, bolt))
    return np.arctan2(along, np.linalg.norm(cross(link, bolt), axis=0))


def standard_bolt(link: np.ndarray, *, steering: bool = False) -> np.ndarray:
    """Direction (3, ...) of a bolt that nobody stated, for a link as drawn: level and square to it.

    Across the car (y) for an upright link; upright and square to it for a steering link.
    """
    if steering:
        upright = UPRIGHT.reshape((3,) + (1,) * (link.ndim - 1))
        square = upright - dot(link, upright) / dot(link, link) * link
        return square / np.linalg.norm(square, axis=0)
    level = np.stack([link[1], -link[0], 0.0 * link[2]])
    size = np.linalg.norm(level, axis=0)
    lying = size > LEVEL * np.linalg.norm(link, axis=0)
    across = np.array([0.0, 1.0, 0.0]).reshape((3,) + (1,) * (link.ndim - 1))
    return np.where(lying, level / np.where(lying, size, 1.0), across)


def _of_link(solved: Solved, tilt: Tilt) -> np.ndarray:
    at = copy_at(solved, tilt.copy)
    topology, here = solved.machine.topology.blocks[at.block], places(solved)[at.block]
    i, n = topology.links.index(tilt.part), len(topology.links)
    frames = topology.link_frames_a if tilt.end == "a" else topology.link_frames_b
    drawn = here.drawn[:, n + i] - here.drawn[:, i]
    bolt = _stated(tilt, drawn)
    if bolt is None:
        bolt = standard_bolt(drawn, steering=topology.link(tilt.part).on_rack)
    now = here.points[:, n + i] - here.points[:, i]
    return tilt_of(now, here.placed.direction(frames[i], bolt))[at.copy]


def _stated(tilt: Tilt, like: np.ndarray) -> np.ndarray | None:
    return None if tilt.bolt is None else np.array(tilt.bolt).reshape((3,) + (1,) * (like.ndim - 1)) + 0.0 * like


def _of_ball(solved: Solved, tilt: Tilt) -> np.ndarray:
    at = copy_at(solved, tilt.copy)
    topology, here = solved.machine.topology.blocks[at.block], places(solved)[at.block]
    like = here.points[:, 0]
    stated = _stated(tilt, like)
    stud = UPRIGHT.reshape((3, 1, 1)) + 0.0 * like if stated is None else stated
    names = [joint.name for joint in topology.block.joints]
    if tilt.part in names:
        j = names.index(tilt.part)
        sides = [here.placed.direction(f[j], stud) for f in (topology.joint_frames_a, topology.joint_frames_b)]
    else:
        stem = tilt.part.removesuffix("_ball")
        turn = _wishbone_turn(solved, at, stem)
        carrier = topology.link_frames_b[topology.links.index(f"{stem}_front")]
        sides = [rotate(turn, stud), here.placed.direction(carrier, stud)]
    a, b = sides
    return np.arctan2(np.linalg.norm(cross(a, b), axis=0), dot(a, b))[at.copy]


def _wishbone_turn(solved: Solved, at: At, stem: str) -> np.ndarray:
    """Rotation (3, 3, c, B) from drawn of a wishbone that is two links: its three points say how it lies."""
    topology, here = solved.machine.topology.blocks[at.block], places(solved)[at.block]
    front, rear = (topology.links.index(f"{stem}_{leg}") for leg in ("front", "rear"))
    triads = []
    for points in (here.drawn, here.points):
        along = points[:, front] - points[:, rear]
        out = points[:, len(topology.links) + front] - points[:, rear]
        up = cross(along, out)
        along, up = (v / np.linalg.norm(v, axis=0) for v in (along, up))
        triads.append(np.stack([along, cross(up, along), up], axis=1))
    drawn, now = triads
    return np.einsum("ij...,kj...->ik...", now, drawn)


def _of_drop_link(solved: Solved, tilt: Tilt) -> np.ndarray:
    """Drop link of one side of a bar: its upper bolt turns with the arm, its lower with the part that it pulls on."""
    bars = [bar.name for bar in solved.machine.topology.mechanism.bars]
    side = 1.0 if tilt.copy == "left" else -1.0
    for i, topology in enumerate(solved.machine.topology.blocks):
        for e, ends in enumerate(topology.bar_ends):
            for c, (bar, sign) in enumerate(ends):
                if bars[bar] == tilt.part and sign == side:
                    return _drop_link(solved, At(i, c), e, tilt)
    raise ValueError(f"no bar end {tilt.copy} {tilt.part}")


def _drop_link(solved: Solved, at: At, end: int, tilt: Tilt) -> np.ndarray:
    topology, here = solved.machine.topology.blocks[at.block], places(solved)[at.block]
    p, details = solved.parameters.blocks[at.block].ends, solved.blocks[at.block].details
    pivot, axis, direction = (np.asarray(x)[:, end] + 0.0 * here.points[:, 0] for x in (p.pivot, p.axis, p.direction))
    angle = np.asarray(details.arm_angle)[end]
    out = np.cos(angle) * direction + np.sin(angle) * cross(axis, direction)
    lower = here.points[:, 2 * (len(topology.links) + topology.n_joints) + end]
    now = pivot + np.asarray(p.arm)[end] * out - lower
    bolt = _stated(tilt, now)
    bolt = axis if bolt is None else bolt
    if tilt.end == "a":  # turned with the arm: Rodrigues' rotation about the bar's axis
        across = cross(axis, bolt)
        bolt = bolt + np.sin(angle) * across + (1.0 - np.cos(angle)) * cross(axis, across)
    else:
        bolt = here.placed.direction(topology.end_frames[end], bolt)
    return tilt_of(now, bolt)[at.copy]

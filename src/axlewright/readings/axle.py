"""How a beam axle sits in the chassis: pitch, yaw and roll of the housing, pinion angle and sideways shift.

Against the chassis (its rear half, if it twists), from the drawn pose, in yaw - pitch - roll order as ISO 8855 has
them for a vehicle. Pinion angle is nose up positive, so it is the housing's pitch turned round.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from axlewright.readings._frames import axle_blocks, half_of, wheel_places
from axlewright.readings._kept import kept
from axlewright.readings._modes import bump, moved
from axlewright.readings._vectors import rotate_back
from axlewright.readings._velocity import block_motions
from axlewright.readings.base import Reading
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

SMALL_ANGLE = np.radians(0.005)


def has_beam_axle(machine: Machine) -> bool:
    """Whether both rear wheels are on one body."""
    return any(block.block.rear and block.n_wheels == 2 for block in machine.topology.blocks)


def has_pinion(machine: Machine) -> bool:
    """Whether the axle is live: the final drive is in it."""
    return any(block.block.pinion_body is not None for block in machine.topology.blocks)


@kept
def housing_angles(solved: Solved) -> np.ndarray:
    """(roll, pitch, yaw) of the housing against the chassis, rad, (3, B)."""
    block = axle_blocks(solved)["rear"]
    placed = block_motions(solved)[block].placed
    turn = placed.rotation[:, :, placed.topology.wheel_frames[0] - 1, 0]
    return np.stack([np.arctan2(turn[2, 1], turn[2, 2]), -np.arcsin(turn[2, 0]), np.arctan2(turn[1, 0], turn[0, 0])])


def pinion_angle(solved: Solved) -> np.ndarray:
    """Pinion nose up against the chassis, rad, from the drawn pose."""
    return -housing_angles(solved)[1]


def sideways_shift(solved: Solved) -> np.ndarray:
    """How far the wheel centres' midpoint has moved to the left in the chassis from the drawn pose, m."""
    drawn = solved.wheel_parameter("centre")[1, 2:].mean(axis=0)
    return wheel_places(solved)[1, 2:].mean(axis=0) - drawn


def sideways_by_bump(solved: Solved) -> np.ndarray:
    """How far the wheel centres' midpoint moves to the left in the chassis per rise of both, (B,)."""
    block = axle_blocks(solved)["rear"]
    both = bump(solved)[block].sum(axis=1)
    rates = rotate_back(half_of(solved, block).rotation, block_motions(solved)[block].centre_rate)
    middle = moved(rates, both).mean(axis=1)[:, 0]
    return middle[1] / middle[2]


def _angle(id: str, name: str, more: str, less: str, read: Callable[[Solved], np.ndarray]) -> Reading:  # noqa: A002
    return Reading(
        id=id, name=name, unit="rad", shown="deg", more=more, less=less, source="ISO 8855 angles, of axle in chassis",
        read=read, smallest=SMALL_ANGLE, at_rest=True, travel=True,
    )  # fmt: skip


AXLE_ATTITUDES = [
    _angle(
        "axle_roll", "axle roll in the chassis", "right end of the axle lower in the chassis",
        "right end of the axle higher in the chassis", lambda solved: housing_angles(solved)[0],
    ),
    _angle(
        "axle_yaw", "axle yaw in the chassis", "axle steered more to the left", "axle steered more to the right",
        lambda solved: housing_angles(solved)[2],
    ),
    Reading(
        id="axle_sideways", name="sideways shift of the axle in the chassis", unit="m", shown="mm",
        more="axle further left", less="axle further right", source="own definition: midpoint of the wheel centres",
        read=sideways_shift, smallest=1e-4, at_rest=True, travel=True,
    ),
    Reading(
        id="axle_sideways_by_bump", name="sideways shift of the axle per rise", unit="", shown="%",
        more="axle moves more to the left as it rises", less="axle moves more to the right as it rises",
        source="own definition: midpoint of the wheel centres, velocities", read=sideways_by_bump, smallest=0.0005,
        at_rest=True, travel=True, detail=True,
    ),
]  # fmt: skip

PINION_ANGLE = _angle(
    "pinion_angle", "pinion angle in the chassis", "pinion nose higher", "pinion nose lower", pinion_angle
)

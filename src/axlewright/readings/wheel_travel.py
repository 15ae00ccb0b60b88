"""What wheels do as they travel: camber to the chassis, its gain, bump steer, roll steer, track and wheelbase.

Bump: the wheel centre rises against the chassis (both of a solid axle); given for 25 mm of rise at the state's slope,
as people quote it. Roll: the wheel centres of an end move as in suspension roll (SAE J670), midpoint level. Camber is
top outward positive, toe toe-in positive, ISO 8855 axes of the chassis half that carries the wheel. Track is the
distance of the contact centres across the road, wheelbase that of the wheel centres of one side along the chassis (ISO
8855, from memory), both as a change from the drawn pose.
"""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

import numpy as np

from axlewright.readings._elastic import centre_modes
from axlewright.readings._frames import (
    ENDS,
    WHEEL_NAMES,
    WHEELS,
    axle_blocks,
    by_end,
    half_of,
    heading_rate,
    in_model_order,
    wheel_axes,
    wheel_places,
)
from axlewright.readings._kept import kept
from axlewright.readings._modes import moved
from axlewright.readings._vectors import cross, rotate_back
from axlewright.readings._velocity import block_motions
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved

SMALL_ANGLE = np.radians(0.005)
BUMP = 0.025  # m, the rise that bump steer and camber gain are quoted for
SIDES = ("left", "right")


class Turning(NamedTuple):
    """How the wheels of the car turn with a motion, in model order, (4, B)."""

    camber: np.ndarray  # top outward
    steer: np.ndarray  # left
    toe: np.ndarray  # in


@kept
def in_bump(solved: Solved) -> Turning:
    """Per rise of the wheel, rad/m; a solid axle rises with both."""
    return _turning(solved, [modes.sum(axis=1) for modes in _centre_modes(solved)])


@kept
def in_roll(solved: Solved) -> Turning:
    """Per suspension roll, right side down."""
    motions, apart = [], wheel_places(solved)[:, ::2] - wheel_places(solved)[:, 1::2]  # left less right, by end
    for end, block in axle_blocks(solved).items():
        modes, rates = centre_modes(solved, block), block_motions(solved)[block].centre_rate
        rolling = modes[:, 1] - modes[:, 0]
        way = in_model_order(moved(rotate_back(half_of(solved, block).rotation, rates), rolling))
        (_, y, z), (_, wider, steeper) = apart[:, ENDS.index(end)], way[:, 0] - way[:, 1]
        motions.append(rolling * (y**2 + z**2) / (z * wider - y * steeper))  # roll is atan(-z / y)
    return _turning(solved, motions)


def _centre_modes(solved: Solved) -> list[np.ndarray]:
    """`centre_modes` of the front and of the rear."""
    return [centre_modes(solved, block) for block in axle_blocks(solved).values()]


def _turning(solved: Solved, motions: list[np.ndarray]) -> Turning:
    """Turning of the wheels in motions (n, c, B) of the front and of the rear."""
    axes, turns = wheel_axes(solved), []
    for block, motion in zip(axle_blocks(solved).values(), motions, strict=True):
        frames = solved.machine.topology.blocks[block].wheel_frames
        turns.append(in_model_order(np.stack([motion[6 * f - 3 : 6 * f] for f in frames], axis=1)))
    turn = np.concatenate(turns, axis=1)
    outward = np.array([-1.0, 1.0, -1.0, 1.0])[:, None]  # of the top when the axis' left end goes up
    camber = outward * cross(turn, axes)[2] / np.sqrt(1.0 - axes[2] ** 2)
    steer = heading_rate(axes, turn)
    return Turning(camber, steer, outward * steer)


def chassis_camber(solved: Solved, wheel: int) -> np.ndarray:
    """Camber to the chassis, rad, top outward positive."""
    up = np.arcsin(wheel_axes(solved)[2, wheel])
    return -up if WHEELS[wheel].startswith("L") else up


def camber_gain(solved: Solved, wheel: int) -> np.ndarray:
    """Camber to the chassis gained in 25 mm of bump, rad."""
    return BUMP * in_bump(solved).camber[wheel]


def camber_in_roll(solved: Solved, wheel: int) -> np.ndarray:
    """Camber to the chassis per suspension roll towards the wheel's own side, top outward positive."""
    gain = in_roll(solved).camber[wheel]
    return -gain if WHEELS[wheel].startswith("L") else gain


def bump_steer(solved: Solved, wheel: int) -> np.ndarray:
    """Toe-in of a wheel gained in 25 mm of bump, rad."""
    return BUMP * in_bump(solved).toe[wheel]


def roll_steer(solved: Solved, end: str) -> np.ndarray:
    """Mean steer of an end's wheels per suspension roll, understeer positive: out of the turn in front, into it
    behind.
    """
    steer = by_end(in_roll(solved).steer)[end]
    return (0.5 if end == "rear" else -0.5) * (steer[0] + steer[1])


@kept
def _drawn_contacts(solved: Solved) -> np.ndarray:
    """Contact centres of the drawn car, (3, 4, B): below each centre in the wheel's plane, on the ground."""
    centre, axis = solved.wheel_parameter("centre"), solved.wheel_parameter("axis")
    across = axis * axis[2] - np.array([0.0, 0.0, 1.0])[:, None, None]  # downwards in the wheel's plane
    return centre + across * centre[2] / (1.0 - axis[2] ** 2)


def track_change(solved: Solved, end: str) -> np.ndarray:
    """Track now less that of the drawn car, m."""
    (left, right), (drawn_left, drawn_right) = (
        by_end(at[1])[end] for at in (solved.wheel("point"), _drawn_contacts(solved))
    )
    return (left - right) - (drawn_left - drawn_right)


def wheelbase_change(solved: Solved, side: str) -> np.ndarray:
    """Wheelbase of one side now less that of the drawn car, m."""
    moved = (wheel_places(solved) - solved.wheel_parameter("centre"))[0]
    first = SIDES.index(side)
    return moved[first] - moved[first + 2]


def _of_wheel(wheel: int) -> list[Reading]:
    side, name = WHEELS[wheel], WHEEL_NAMES[WHEELS[wheel]]
    axes = "ISO 8855 axes, wheel in chassis"
    return [
        Reading(
            id=f"chassis_camber_{side}", name=f"camber to the chassis, {name}", unit="rad", shown="deg",
            more=f"{name} top further out", less=f"{name} top further in", source=axes,
            read=partial(chassis_camber, wheel=wheel), smallest=SMALL_ANGLE, at_rest=True, travel=True, detail=True,
            moving=True,
        ),
        Reading(
            id=f"camber_gain_{side}", name=f"camber gained in 25 mm of bump, {name}", unit="rad", shown="deg",
            more=f"{name} top goes further out in bump", less=f"{name} top goes further in in bump",
            source="common practice, no source: slope times 25 mm", read=partial(camber_gain, wheel=wheel),
            smallest=SMALL_ANGLE, at_rest=True, travel=True, detail=True,
            moving=True,
        ),
        Reading(
            id=f"camber_in_roll_{side}", name=f"camber gained per roll towards its side, {name}", unit="", shown="%",
            more=f"{name} top goes further out as its side goes down",
            less=f"{name} top goes further in as its side goes down", source=f"{axes}; SAE J670 suspension roll",
            read=partial(camber_in_roll, wheel=wheel), smallest=0.001, at_rest=True, travel=True, detail=True,
        ),
        Reading(
            id=f"bump_steer_{side}", name=f"toe-in gained in 25 mm of bump, {name}", unit="rad", shown="deg",
            more=f"{name} toes in more in bump", less=f"{name} toes out more in bump",
            source="ISO 8855 axes; common practice: slope times 25 mm", read=partial(bump_steer, wheel=wheel),
            smallest=np.radians(0.001), at_rest=True, travel=True, detail=True,
            moving=True,
        ),
    ]  # fmt: skip


def roll_steer_of(end: str) -> Reading:
    """Roll steer of an end; a live axle's is its axle steer."""
    return Reading(
        id=f"roll_steer_{end}", name=f"roll steer, {end}", unit="", shown="%",
        more=f"more understeer from {end} roll steer", less=f"less understeer from {end} roll steer",
        source="SAE J670, signed as understeer: steer of both wheels' mean per suspension roll",
        read=partial(roll_steer, end=end), smallest=0.0005, at_rest=True, travel=True,
    )  # fmt: skip


def _of_end(end: str) -> Reading:
    return Reading(
        id=f"track_change_{end}", name=f"track change, {end}", unit="m", shown="mm", more=f"{end} track wider",
        less=f"{end} track narrower", source="ISO 8855 track; change from the drawn pose",
        read=partial(track_change, end=end), smallest=1e-4, at_rest=True, travel=True, detail=True,
            moving=True,
    )  # fmt: skip


WHEEL_TRAVELS = [
    *(reading for wheel in range(4) for reading in _of_wheel(wheel)),
    roll_steer_of("front"),
    *(_of_end(end) for end in ENDS),
    *(
        Reading(
            id=f"wheelbase_change_{side}", name=f"wheelbase change, {side} side", unit="m", shown="mm",
            more=f"{side} wheelbase longer", less=f"{side} wheelbase shorter",
            source="ISO 8855 wheelbase; change from the drawn pose", read=partial(wheelbase_change, side=side),
            smallest=1e-4, at_rest=True, travel=True, detail=True,
            moving=True,
        )
        for side in SIDES
    ),
]  # fmt: skip

"""Roll centres, roll axis and axle steer from velocities, the chassis held fixed.

Solid axle: the housing rolls with its wheel centres' midpoint kept level; the roll centre is where, in the plane
through the wheel centres, it has no sideways velocity (SAE J670's force definition gives the same point for small
loads). Wheels on their own: the path of each contact centre gives a line square to it; the roll centre is where the
two lines cross. Lines that are nearly parallel, or cross beyond the wheels, say nothing that way: then the height
where the side forces of the two wheels, each along its line, have no moment about the centre plane (link jacking
force over side force; Milliken, from memory). Heights and sideways places (left positive) are from the midpoint of the
end's contact centres: on a flat road, the height above it.

Axle steer is the roll steer of a live axle: its yaw against the chassis per roll, understeer positive (textbook, from
memory).
"""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

import numpy as np

from axlewright.readings._frames import ENDS, axle_blocks, in_model_order
from axlewright.readings._kept import kept
from axlewright.readings._modes import bump, moved, per_centre_rise
from axlewright.readings._velocity import block_motions, body_turn
from axlewright.readings.base import Reading
from axlewright.readings.understeer import wheelbase
from axlewright.readings.wheel_travel import roll_steer
from axlewright.solve.solved import Solved

PARALLEL = np.radians(0.5)  # lines closer than this to parallel cross nowhere in particular (design)
LOPSIDED = 0.1  # side forces that cancel to less than this share of their sizes can't weigh the two lines


class Centre(NamedTuple):
    """A roll centre, m."""

    height: np.ndarray  # (B,) above the midpoint of the contact centres
    sideways: np.ndarray  # (B,)


@kept
def roll_centres(solved: Solved) -> dict[str, Centre]:
    """Roll centre of each end."""
    found = {}
    for end, block in axle_blocks(solved).items():
        solid = solved.machine.topology.blocks[block].n_wheels == 2
        found[end] = _of_axle(solved, block) if solid else _of_wheels(solved, block)
    return found


def axle_roll(solved: Solved, block: int) -> np.ndarray:
    """Motion (n, c, B) of a solid axle that lowers the left wheel centre by 1 and raises the right one by 1."""
    modes = bump(solved)[block]
    rise = np.einsum("wncb,nmcb->wmcb", block_motions(solved)[block].centre_rate[2], modes)
    left, right = np.moveaxis(per_centre_rise(modes, rise), 1, 0)
    return right - left


def _of_axle(solved: Solved, block: int) -> Centre:
    rates, motion = block_motions(solved)[block], axle_roll(solved, block)
    middle = in_model_order(np.asarray(solved.blocks[block].contact.centre)).mean(axis=1)
    sideways = moved(rates.centre_rate[1], motion).mean(axis=0)[0]
    rolling = body_turn(solved, block, motion)[0, 0]
    contact = in_model_order(np.asarray(solved.blocks[block].contact.point)).mean(axis=1)
    return Centre(middle[2] - contact[2] + sideways / rolling, middle[1] - contact[1])


def _of_wheels(solved: Solved, block: int) -> Centre:
    at, rates, modes = solved.blocks[block].contact, block_motions(solved)[block], bump(solved)[block]
    slope = moved(rates.contact_rate[1], modes[:, 0])[0]  # (copies, B) sideways per rise
    y, z = (np.asarray(at.point)[i, 0] for i in (1, 2))
    middle = y.mean(axis=0)
    apart = slope[1] - slope[0]
    useful = np.where(apart == 0.0, 1.0, apart)
    crossing = (z[1] - z[0] + slope[1] * y[1] - slope[0] * y[0]) / useful
    between = (np.abs(np.diff(np.arctan(slope), axis=0)[0]) > PARALLEL) & (crossing < y[0]) & (crossing > y[1])
    side = np.asarray(at.lateral)[0] * np.asarray(at.forward)[0, 0]
    whole = side.sum(axis=0)
    weighable = np.abs(whole) > LOPSIDED * np.abs(side).sum(axis=0)
    weight = np.where(weighable, side / np.where(weighable, whole, 1.0), 0.5)
    by_force = (weight * (z - slope * (middle - y))).sum(axis=0)
    height = np.where(between, z[0] - slope[0] * (crossing - y[0]), by_force)
    return Centre(height - z.mean(axis=0), np.where(between, crossing - middle, 0.0))


def roll_axis_slope(solved: Solved) -> np.ndarray:
    """Inclination of the line through both roll centres, rad, positive when it is higher at the rear."""
    found = roll_centres(solved)
    return np.arctan2(found["rear"].height - found["front"].height, wheelbase(solved))


def _height(solved: Solved, end: str) -> np.ndarray:
    return roll_centres(solved)[end].height


def _sideways(solved: Solved, end: str) -> np.ndarray:
    return roll_centres(solved)[end].sideways


def _centre(end: str) -> list[Reading]:
    return [
        Reading(
            id=f"roll_centre_height_{end}", name=f"roll centre height, {end}", unit="m", shown="mm",
            more=f"higher {end} roll centre", less=f"lower {end} roll centre",
            source="SAE J670; from the velocities of the parts with the chassis fixed", read=partial(_height, end=end),
            smallest=1e-4, at_rest=True, travel=True,
        ),
        Reading(
            id=f"roll_centre_sideways_{end}", name=f"roll centre sideways, {end}", unit="m", shown="mm",
            more=f"{end} roll centre further left", less=f"{end} roll centre further right",
            source="as the height; from the midpoint of the contact centres", read=partial(_sideways, end=end),
            smallest=1e-3, at_rest=True, travel=True,
        ),
    ]  # fmt: skip


ROLL_CENTRES = [
    *(reading for end in ENDS for reading in _centre(end)),
    Reading(
        id="roll_axis_slope", name="roll axis inclination", unit="rad", shown="deg",
        more="roll axis higher at the rear", less="roll axis lower at the rear",
        source="line through the roll centres; textbook", read=roll_axis_slope,
        smallest=np.radians(0.01), at_rest=True, travel=True,
    ),
]  # fmt: skip

AXLE_STEER = Reading(
    id="axle_steer", name="axle steer", unit="", shown="%", more="more understeer from axle steer",
    less="less understeer from axle steer", source="axle yaw in the chassis per suspension roll; textbook",
    read=partial(roll_steer, end="rear"),
    smallest=0.0005, at_rest=True, travel=True,
)  # fmt: skip

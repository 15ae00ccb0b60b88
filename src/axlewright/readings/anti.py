"""Geometric anti-squat, anti-lift and anti-dive, and the side-view swing arm behind them.

With the chassis fixed and both wheels of an end rising together, the point where the torque's ground force reacts
moves along the road by t = -dx/dz (t = +dx/dz for the front). That point is the contact centre where the torque
reacts on the moving body (live axle, outboard brake), the same as a point of the bracket where a bracket that turns on
the body carries the brake, and the wheel centre where the torque reacts on the chassis. Swing arm and instant centre
are those of what the torque reacts on, body or bracket. The drive
case holds the drive-side torque link rigid and the brake-side one absent, the brake case the reverse; a car without
such a pair moves as its links are.

anti-squat = t_drive L / h     anti-lift = share_rear t_brake L / h     anti-dive = share_front t_front L / h

share: that end's share of the brake force at the ground; in a phase that does not brake, as the brakes are set. h:
height of the whole car's centre of mass, L: wheelbase. Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from
memory).
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

import numpy as np

from axlewright.readings._frames import axle_blocks, by_end, half_of, halves, in_model_order
from axlewright.readings._kept import kept
from axlewright.readings._modes import bump_braking, bump_driving, moved
from axlewright.readings._vectors import rotate
from axlewright.readings._velocity import block_motions, point_rate
from axlewright.readings.base import Reading
from axlewright.readings.understeer import wheelbase
from axlewright.solve.solved import Solved

LONGEST = 1e3  # m; a swing arm is given as 1 km at most: links that are parallel in side view have none
LEAST_BRAKING = 10.0  # N of brake force at the ground; below it the share comes from the brakes' gains
CASES = {"drive": ("rear", bump_driving), "brake": ("rear", bump_braking), "front": ("front", bump_braking)}
CASE_NAMES = {"drive": "rear, driving", "brake": "rear, braking", "front": "front, braking"}


class SideView(NamedTuple):
    """An end in side view, (B,) each."""

    slope: np.ndarray  # t, positive takes movement off the springs
    arm: np.ndarray  # m, how far the instant centre is ahead of a rear axle, or behind a front one
    centre_x: np.ndarray  # m, road axes
    centre_z: np.ndarray  # m above the end's contact centres


@kept
def side_views(solved: Solved) -> dict[str, SideView]:
    """Side views of the cases."""
    return {case: _side_view(solved, case) for case in CASES}


def _side_view(solved: Solved, case: str) -> SideView:
    end, modes = CASES[case]
    block, inward = axle_blocks(solved)[end], 1.0 if end == "rear" else -1.0
    topology, rates = solved.machine.topology.blocks[block], block_motions(solved)[block]
    both = modes(solved)[block].sum(axis=1)  # every wheel of a copy rises by 1
    reacting, centre = moved(rates.contact_rate, both), moved(rates.centre_rate, both)
    turn = np.stack([both[6 * f - 3 : 6 * f] for f in topology.wheel_frames], axis=1)
    for w, wheel in enumerate(topology.block.wheels):
        if not (wheel.drive_on_body if case == "drive" else wheel.brake_on_body):
            reacting[:, w] = centre[:, w]
        bracket = topology.brake_parts[w]
        if bracket is not None and case != "drive":
            frame, at = 1 + topology.n_bodies + bracket, solved.blocks[block].contact
            reacting[:, w], centre[:, w] = (
                moved(point_rate(solved, block, frame, np.asarray(point)[:, w]), both)
                for point in (at.point, at.centre)
            )
            turning = both[6 * topology.n_bodies + bracket]
            turn[:, w] = turn[:, w] + rates.placed.part_axis[:, bracket] * turning
    turn = (rotate(half_of(solved, block).rotation, turn)[1] / centre[2]).mean(axis=(0, 1))
    turn = np.where(np.abs(turn) < 1.0 / LONGEST, np.copysign(1.0 / LONGEST, turn), turn)
    place = in_model_order(np.asarray(solved.blocks[block].contact.centre)).mean(axis=1)
    ground = in_model_order(np.asarray(solved.blocks[block].contact.point)).mean(axis=1)
    return SideView(
        slope=-inward * (reacting[0] / reacting[2]).mean(axis=(0, 1)),
        arm=inward / turn,
        centre_x=place[0] + 1.0 / turn,
        centre_z=place[2] - ground[2] - (centre[0] / centre[2]).mean(axis=(0, 1)) / turn,
    )


def leverage(solved: Solved) -> np.ndarray:
    """Wheelbase over the height of the whole car's centre of mass above the road below it, (B,).

    The road there is on the line between the midpoints of the front and of the rear contact centres.
    """
    centre = halves(solved)[0].on_road(np.asarray(solved.parameters.centre))
    front, rear = (np.mean(pair, axis=0) for pair in by_end(solved.wheel("point")).values())
    road = rear[2] + (front[2] - rear[2]) * (centre[0] - rear[0]) / (front[0] - rear[0])
    return wheelbase(solved) / (centre[2] - road)


def brake_share(solved: Solved) -> np.ndarray:
    """Rear share of the brake force at the ground, (B,); where nothing brakes, the share that the brakes are set to."""
    force = -solved.wheel("longitudinal") * np.asarray(solved.asked.braking)
    total = force.sum(axis=0)
    gain = solved.wheel_parameter("brake_gain")
    braking = total > LEAST_BRAKING
    measured = force[2:].sum(axis=0) / np.where(braking, total, 1.0)
    return np.where(braking, measured, gain[2:].sum(axis=0) / gain.sum(axis=0))


def anti_squat(solved: Solved) -> np.ndarray:
    """Geometric anti-squat of a driven rear end."""
    return side_views(solved)["drive"].slope * leverage(solved)


def anti_lift(solved: Solved, *, whole: bool = False) -> np.ndarray:
    """Geometric anti-lift of the rear in braking; `whole`: as if the rear did all of it."""
    share = 1.0 if whole else brake_share(solved)
    return share * side_views(solved)["brake"].slope * leverage(solved)


def anti_dive(solved: Solved) -> np.ndarray:
    """Geometric anti-dive of the front."""
    return (1.0 - brake_share(solved)) * side_views(solved)["front"].slope * leverage(solved)


def _of_view(solved: Solved, case: str, field: str) -> np.ndarray:
    return getattr(side_views(solved)[case], field)


def _view(case: str) -> list[Reading]:
    name = CASE_NAMES[case]
    fields = {
        "slope": ("slope of the reaction point's path", "", "%", "more", "less", 0.001),
        "arm": ("side-view swing arm", "m", "m", "longer", "shorter", 0.01),
        "centre_x": ("side-view instant centre, fore-and-aft", "m", "m", "further forward", "further back", 0.01),
        "centre_z": ("side-view instant centre, height", "m", "mm", "higher", "lower", 0.001),
    }
    return [
        Reading(
            id=f"side_view_{field}_{case}", name=f"{words}, {name}", unit=unit, shown=shown,
            more=f"{more} ({words}, {name})", less=f"{less} ({words}, {name})",
            source="velocities with the active link rigid; Gillespie ch. 7, from memory",
            read=partial(_of_view, case=case, field=field), smallest=smallest, at_rest=True,
            travel=True, detail=True,
        )
        for field, (words, unit, shown, more, less, smallest) in fields.items()
    ]  # fmt: skip


def _anti(ident: str, name: str, words: tuple[str, str], read: Callable[[Solved], np.ndarray]) -> Reading:
    return Reading(
        id=ident, name=name, unit="", shown="%", more=words[0], less=words[1],
        source="Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory)", read=read, smallest=0.001,
        at_rest=True, travel=True,
    )  # fmt: skip


SQUATS = "less squat under power", "more squat under power"
LIFTS = "rear lifts less in braking", "rear lifts more in braking"
DIVES = "nose dives less in braking", "nose dives more in braking"


ANTIS = [
    _anti("anti_squat", "anti-squat, geometric", SQUATS, anti_squat),
    _anti("anti_lift", "anti-lift of the rear, geometric", LIFTS, anti_lift),
    _anti("anti_lift_whole", "anti-lift of the rear, geometric, brake share 1", LIFTS, partial(anti_lift, whole=True)),
    _anti("anti_dive", "anti-dive of the front, geometric", DIVES, anti_dive),
    *(reading for case in CASES for reading in _view(case)),
]

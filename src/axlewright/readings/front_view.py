"""Front-view instant centres of wheels on their own, from velocities with the chassis held fixed.

A wheel that is raised moves, in the plane across the car through its contact centre, as if it turned about one point:
its front-view instant centre. The swing arm is how far that point is inside the contact centre (SAE J670 terms;
construction as in textbooks, from memory). Wheels on a solid axle share one centre, which is the roll centre's matter.
"""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

import numpy as np

from axlewright.readings._frames import WHEEL_NAMES
from axlewright.readings._kept import kept
from axlewright.readings._modes import bump, moved
from axlewright.readings._velocity import block_motions, body_turn
from axlewright.readings.base import Reading
from axlewright.solve.machine import Machine
from axlewright.solve.solved import Solved

LONGEST = 1e3  # m; an arm is given as 1 km at most: links that are parallel in front view have none


class FrontView(NamedTuple):
    """One wheel in front view, (B,) each."""

    arm: np.ndarray  # m, how far the instant centre is inside the contact centre; negative outside
    sideways: np.ndarray  # m, road axes, left positive
    height: np.ndarray  # m above the contact centre


def own_wheels(machine: Machine) -> dict[str, tuple[int, int]]:
    """Block and copy of every wheel that no other one is joined to."""
    return {
        block.block.wheels[0].names[copy]: (i, copy)
        for i, block in enumerate(machine.topology.blocks)
        if block.n_wheels == 1
        for copy in range(len(block.block.copies))
    }


@kept
def front_views(solved: Solved) -> dict[str, FrontView]:
    """Front view of every wheel on its own."""
    return {wheel: _front_view(solved, wheel, *at) for wheel, at in own_wheels(solved.machine).items()}


def _front_view(solved: Solved, wheel: str, block: int, copy: int) -> FrontView:
    motion = bump(solved)[block][:, 0]  # the wheel rises
    rate = moved(block_motions(solved)[block].contact_rate, motion)[:, 0, copy]
    turn = body_turn(solved, block, motion)[0, copy] / rate[2]
    turn = np.where(np.abs(turn) < 1.0 / LONGEST, np.copysign(1.0 / LONGEST, turn), turn)
    inward = -1.0 if wheel.startswith("L") else 1.0
    contact = np.asarray(solved.blocks[block].contact.point)[:, 0, copy]
    return FrontView(arm=-inward / turn, sideways=contact[1] - 1.0 / turn, height=rate[1] / rate[2] / turn)


def _field(solved: Solved, wheel: str, field: str) -> np.ndarray:
    return getattr(front_views(solved)[wheel], field)


FIELDS = {  # id: (field, name, shown, more, less, smallest)
    "front_view_arm": ("arm", "front-view swing arm", "m", "longer", "shorter", 0.01),
    "front_view_height": ("height", "front-view instant centre, height", "mm", "higher", "lower", 1e-3),
}


def front_views_of(machine: Machine) -> list[Reading]:
    """Readings of every wheel on its own."""
    return [
        Reading(
            id=f"{ident}_{wheel}", name=f"{name}, {WHEEL_NAMES[wheel]}", unit="m", shown=shown,
            more=f"{more} ({name}, {WHEEL_NAMES[wheel]})", less=f"{less} ({name}, {WHEEL_NAMES[wheel]})",
            source="velocities of the wheel's body with the chassis fixed; SAE J670 terms",
            read=partial(_field, wheel=wheel, field=field), smallest=smallest, at_rest=True, travel=True, detail=True,
        )
        for wheel in own_wheels(machine)
        for ident, (field, name, shown, more, less, smallest) in FIELDS.items()
    ]  # fmt: skip

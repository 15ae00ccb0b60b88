"""Load transfer of each axle and the parts that it is made of.

Load transfer of an axle is (right - left) / 2 of its tyre loads, so positive in a left turn. Its parts come from
virtual work: the motion in which the right contact centre rises by 1 and the left one falls by 1 with the chassis
still (the axle's roll about its own roll centre). What each load does in it, over two, is its part, and they add up
exactly:

- links: side forces of the tyres, less what the unsprung masses take themselves, at the height of the roll centre;
  and what torque links and compliant links give. For a flat road and a level roll axis this is m_sprung ay h_rc /
  track.
- springs: springs, bars, stops and gas: the part that roll makes.
- unsprung: weight and inertia of the unsprung masses about the road (m ay h / track for a solid axle).
- pinion: the pinion's torque on the housing; of half shafts from the chassis, what they turn on their wheels.
- gyroscopic: the wheels' gyroscopic and spin-up moments.

The split into roll centre, roll stiffness and unsprung mass is textbook: Milliken, Race Car Vehicle Dynamics, ch. 18
(from memory). Which motion makes it exact is our own choice.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from axlewright.readings._frames import ENDS, axle_blocks, by_end, sense, standing
from axlewright.readings._kept import kept
from axlewright.readings._modes import bump
from axlewright.readings._power import Powers, powers
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved

PARTS: dict[str, tuple[str, Callable[[Powers], np.ndarray]]] = {
    "links": ("links at the roll centre", lambda p: p.side + p.locating),
    "springs": ("springs, bars and stops", lambda p: p.springs),
    "unsprung": ("unsprung mass", lambda p: p.unsprung),
    "pinion": ("pinion or half-shaft torque", lambda p: p.driveline),
    "gyroscopic": ("gyroscopic and spin-up moments of the wheels", lambda p: p.wheels),
}


def transfer(solved: Solved, end: str) -> np.ndarray:
    """(right - left) / 2 of the tyre loads of an end, N, (B,)."""
    left, right = by_end(solved.wheel("load"))[end]
    return 0.5 * (right - left)


@kept
def _powers(solved: Solved) -> dict[str, Powers]:
    """Powers in the rolling motion of each end."""
    found = {}
    for end, block in axle_blocks(solved).items():
        right = -np.sign(np.asarray(solved.parameters.blocks[block].wheels.centre)[1])  # +1 right, -1 left
        rolling = np.einsum("nwcb,wcb->ncb", bump(solved)[block], right)
        found[end] = powers(solved, block, rolling)
    return found


def part(solved: Solved, end: str, name: str) -> np.ndarray:
    """One part of an end's load transfer, N, (B,)."""
    return -0.5 * PARTS[name][1](_powers(solved)[end]).sum(axis=0)


def front_share(solved: Solved) -> np.ndarray:
    """Share of the change of load transfer from rest that the front takes; NaN in a straight line: it says nothing."""
    front, rear = (transfer(solved, end) - transfer(standing(solved), end) for end in ENDS)
    turning = sense(solved) != 0.0
    return np.where(turning, front / np.where(turning, front + rear, 1.0), np.nan)


def _total(end: str) -> Reading:
    return Reading(
        id=f"load_transfer_{end}", name=f"load transfer, {end}", unit="N", shown="N",
        more=f"more load moved to the right {end}", less=f"more load moved to the left {end}",
        source="textbook: (right - left) / 2", read=partial(transfer, end=end), smallest=1.0, at_rest=True,
    )  # fmt: skip


def _part(end: str, name: str) -> Reading:
    words = PARTS[name][0]
    return Reading(
        id=f"load_transfer_{end}_{name}", name=f"load transfer, {end}: {words}", unit="N", shown="N",
        more=f"more load moved to the right {end} by {words}", less=f"more load moved to the left {end} by {words}",
        source="textbook split, made exact by virtual work (own definition)", read=partial(part, end=end, name=name),
        smallest=1.0, at_rest=True, detail=True,
    )  # fmt: skip


FRONT_SHARE = Reading(
    id="front_load_transfer_share",
    name="front share of load transfer",
    unit="",
    shown="%",
    more="more of the load transfer at the front: pushes more",
    less="more of the load transfer at the rear: looser",
    source="textbook (lateral load transfer distribution), of the change from rest",
    read=front_share,
    felt=0.005,
    smallest=0.0005,
)  # fmt: skip - felt: half a point, a rule of thumb

LOAD_TRANSFERS = [
    *(_total(end) for end in ENDS),
    *(_part(end, name) for end in ENDS for name in PARTS),
    FRONT_SHARE,
]

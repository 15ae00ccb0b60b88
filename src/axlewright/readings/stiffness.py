"""What springs and bars hold: motion ratio, their rate at the wheel, and roll stiffness of each end.

Motion ratio: shortening of the spring per rise of the wheel. Rate at the wheel: spring (and stop) rate x ratio squared,
the springs' part of the wheel rate (`ride` has the whole). Roll stiffness: couple that springs and bars put on the
sprung mass per suspension roll, about the end's own roll centre with the other end free (SAE J670); what preloads and
weight do is not in it but in the roll gradient. All at the state's pose, so a stop that touches counts.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings._elastic import elastic_ends
from axlewright.readings._frames import ENDS
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved

ROLL_PARTS = {"springs": "springs", "bar": "anti-roll bar", "whole": "springs and bar"}


def motion_ratio(solved: Solved, end: str) -> np.ndarray:
    """Spring shortening per wheel rise, (B,)."""
    return elastic_ends(solved)[end].ratio


def spring_rate(solved: Solved, end: str) -> np.ndarray:
    """Rate of one wheel from springs and stops alone when both wheels move alike, N/m, (B,)."""
    return 0.5 * elastic_ends(solved)[end].springs.sum(axis=(0, 1))


def roll_stiffness(solved: Solved, end: str, part: str) -> np.ndarray:
    """Couple per suspension roll of an end's springs, bar or both, N m/rad, (B,)."""
    found = elastic_ends(solved)[end]
    stiffness = {"springs": found.springs, "bar": found.bars, "whole": found.springs + found.bars}[part]
    lever = 0.5 * found.track  # a radian of roll raises one wheel by this and lowers the other
    return lever**2 * (stiffness[0, 0] + stiffness[1, 1] - stiffness[0, 1] - stiffness[1, 0])


def _of_end(end: str) -> list[Reading]:
    return [
        Reading(
            id=f"motion_ratio_{end}", name=f"motion ratio of the springs, {end}", unit="", shown="",
            more=f"{end} springs move more for the same wheel travel", less=f"{end} springs move less",
            source="Milliken ch. 16, from memory (installation ratio)", read=partial(motion_ratio, end=end),
            smallest=0.0005, at_rest=True, travel=True,
        ),
        Reading(
            id=f"spring_rate_{end}", name=f"spring rate at the wheel, {end}", unit="N/m", shown="N/mm",
            more=f"stiffer {end}", less=f"softer {end}",
            source="rate x motion ratio squared; Milliken ch. 16, from memory",
            read=partial(spring_rate, end=end), smallest=10.0, at_rest=True, travel=True,
        ),
        *(
            Reading(
                id=f"roll_stiffness_{end}_{part}", name=f"roll stiffness, {end}, {words}", unit="N*m/rad",
                shown="N m/deg", more=f"{end} stiffer in roll", less=f"{end} softer in roll", source="SAE J670",
                read=partial(roll_stiffness, end=end, part=part), smallest=50.0, at_rest=True, travel=True,
            )
            for part, words in ROLL_PARTS.items()
        ),
    ]  # fmt: skip


STIFFNESSES = [reading for end in ENDS for reading in _of_end(end)]

"""Roll of the vehicle on the road and of the suspension at each end, and pitch.

Vehicle roll is to the road. Suspension roll is the chassis against the line of an axle's wheel centres (SAE J670), so
that tyres don't enter. Positive: right side down, as in a left turn. Pitch is positive nose down.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings._frames import ENDS, by_end, wheel_places
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved


def vehicle_roll(solved: Solved) -> np.ndarray:
    """Roll of the chassis (its front half if it twists) to the road, rad."""
    return solved.border("roll")


def suspension_roll(solved: Solved, end: str) -> np.ndarray:
    """Roll of the chassis at an end to the line of wheel centres, rad; 0 as drawn when the car is drawn level."""
    left, right = by_end(wheel_places(solved))[end]
    return np.arctan2(right[2] - left[2], left[1] - right[1])


def pitch(solved: Solved) -> np.ndarray:
    """Pitch of the chassis to the road, rad, from the drawn pose."""
    return solved.border("pitch")


def _suspension(end: str) -> Reading:
    return Reading(
        id=f"suspension_roll_{end}", name=f"suspension roll, {end}", unit="rad", shown="deg",
        more=f"chassis rolls more to the right on its {end} suspension",
        less=f"chassis rolls more to the left on its {end} suspension",
        source="SAE J670: roll to the line of wheel centres", read=partial(suspension_roll, end=end),
        smallest=np.radians(0.005), at_rest=True, travel=True,
    )  # fmt: skip


ROLLS = [
    Reading(
        id="vehicle_roll", name="vehicle roll", unit="rad", shown="deg", more="right side lower",
        less="left side lower", source="ISO 8855", read=vehicle_roll, smallest=np.radians(0.005), at_rest=True,
    ),
    *(_suspension(end) for end in ENDS),
    Reading(
        id="pitch", name="pitch", unit="rad", shown="deg", more="nose lower", less="nose higher", source="ISO 8855",
        read=pitch, smallest=np.radians(0.005), at_rest=True,
    ),
]  # fmt: skip

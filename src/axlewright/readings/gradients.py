"""Understeer gradient and roll gradients: how fast they grow with sideways acceleration at the state.

Derivatives along the path of constant radius (ISO 4138, the default there); straight ahead at constant speed. They
follow the solved curve, so what springs, stops, tyres and downforce do at this state is in them. They need the model's
derivative, so they cost more than the others.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings._frames import ENDS, sense
from axlewright.readings._nearby import constant_radius, slope
from axlewright.readings.base import Reading
from axlewright.readings.roll import suspension_roll, vehicle_roll
from axlewright.readings.understeer import ackermann_excess
from axlewright.solve.solved import Solved
from axlewright.units import GRAVITY


def understeer_gradient(solved: Solved) -> np.ndarray:
    """Change of understeer angle per m/s2, rad, (B,); straight ahead that of a turn just begun to the left."""
    return _turn(solved) * slope(solved, constant_radius, ackermann_excess)


def vehicle_roll_gradient(solved: Solved) -> np.ndarray:
    """Change of vehicle roll out of the turn per m/s2, rad, (B,)."""
    return _turn(solved) * slope(solved, constant_radius, vehicle_roll)


def suspension_roll_gradient(solved: Solved, end: str) -> np.ndarray:
    """Change of an end's suspension roll out of the turn per m/s2, rad, (B,)."""
    return _turn(solved) * slope(solved, constant_radius, partial(suspension_roll, end=end))


def _turn(solved: Solved) -> np.ndarray:
    turn = sense(solved)
    return np.where(turn != 0.0, turn, 1.0)


GRADIENTS = [
    Reading(
        id="understeer_gradient", name="understeer gradient", unit="rad/(m/s**2)", shown="deg/g",
        more="understeer grows faster", less="understeer grows slower", source="ISO 4138, constant radius",
        read=understeer_gradient, smallest=np.radians(0.005) / GRAVITY, costly=True,
    ),
    Reading(
        id="vehicle_roll_gradient", name="vehicle roll gradient", unit="rad/(m/s**2)", shown="deg/g",
        more="body rolls more", less="body rolls less", source="SAE J670, vehicle roll to the road",
        read=vehicle_roll_gradient, smallest=np.radians(0.005) / GRAVITY, costly=True,
    ),
    *(
        Reading(
            id=f"suspension_roll_gradient_{end}", name=f"suspension roll gradient, {end}", unit="rad/(m/s**2)",
            shown="deg/g", more=f"{end} suspension rolls more", less=f"{end} suspension rolls less",
            source="SAE J670, roll to the line of wheel centres", read=partial(suspension_roll_gradient, end=end),
            smallest=np.radians(0.005) / GRAVITY, costly=True,
        )
        for end in ENDS
    ),
]  # fmt: skip

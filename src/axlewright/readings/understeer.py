"""Steer and understeer angle.

Understeer angle (ISO 4138): steering-wheel angle / overall ratio - wheelbase x path curvature. Here the first is the
mean angle that the rack gives the front wheels of the drawn car (`_steer`), so compliance, roll steer and axle steer
are in the answer. Positive understeers, whichever way the turn goes.
"""

from __future__ import annotations

import numpy as np

from axlewright.readings._frames import sense
from axlewright.readings._steer import reference_steer
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved


def steer_angle(solved: Solved) -> np.ndarray:
    """Reference steer, rad, left positive, (B,)."""
    return reference_steer(solved.machine, solved.border("rack"))


def curvature(solved: Solved) -> np.ndarray:
    """Path curvature, 1/m, left positive, (B,); zero at standstill."""
    asked, slip = solved.asked, solved.border("sideslip")
    turned = np.asarray(asked.ay) * np.cos(slip) - np.asarray(asked.ax) * np.sin(slip)
    return turned * np.asarray(asked.inverse_speed_squared)


def wheelbase(solved: Solved) -> np.ndarray:
    """Distance of the wheel centres' mean from front to rear as drawn, m, (B,)."""
    x = solved.wheel_parameter("centre")[0]
    return x[:2].mean(axis=0) - x[2:].mean(axis=0)


def ackermann_excess(solved: Solved) -> np.ndarray:
    """Reference steer less wheelbase x curvature, rad, left positive: the understeer angle before it is signed."""
    return steer_angle(solved) - wheelbase(solved) * curvature(solved)


def understeer_angle(solved: Solved) -> np.ndarray:
    """Understeer angle, rad, (B,); NaN in a straight line."""
    turn = sense(solved)
    return np.where(turn != 0.0, turn * ackermann_excess(solved), np.nan)


UNDERSTEERS = [
    Reading(
        id="steer_angle", name="steer that the rack gives", unit="rad", shown="deg", more="steered more to the left",
        less="steered more to the right", source="ISO 4138: steering-wheel angle / overall ratio", read=steer_angle,
        smallest=np.radians(0.005), travel=True,
    ),
    Reading(
        id="understeer_angle", name="understeer angle", unit="rad", shown="deg", more="more understeer",
        less="less understeer", source="ISO 4138, rack-based reference steer", read=understeer_angle,
        smallest=np.radians(0.005),
    ),
]  # fmt: skip

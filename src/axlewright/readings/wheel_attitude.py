"""Camber, steer, toe, slip angle and slip ratio of each wheel in a state."""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings._frames import ENDS, WHEEL_NAMES, WHEELS, by_end, wheel_axes
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved

SMALL_ANGLE = np.radians(0.005)


def camber(solved: Solved, wheel: int) -> np.ndarray:
    """Camber to the road, rad, top outward positive."""
    leaning_right = solved.wheel("inclination")[wheel]
    return -leaning_right if WHEELS[wheel].startswith("L") else leaning_right


def steer(solved: Solved, wheel: int) -> np.ndarray:
    """Steer of a wheel against the chassis, rad, left positive."""
    axis = wheel_axes(solved)[:, wheel]
    return np.arctan2(-axis[0], axis[1])


def toe(solved: Solved, end: str) -> np.ndarray:
    """Total toe-in of an end, rad: right steer of the left wheel plus left steer of the right wheel."""
    axes = by_end(wheel_axes(solved))[end]
    left, right = (np.arctan2(-axis[0], axis[1]) for axis in axes)
    return right - left


def _of_wheel(wheel: int) -> list[Reading]:
    side, name = WHEELS[wheel], WHEEL_NAMES[WHEELS[wheel]]
    return [
        Reading(
            id=f"camber_{side}", name=f"camber to the road, {name}", unit="rad", shown="deg",
            more=f"{name} top further out", less=f"{name} top further in",
            source="ISO 8855 inclination, signed as camber", read=partial(camber, wheel=wheel),
            smallest=SMALL_ANGLE, at_rest=True,
        ),
        Reading(
            id=f"steer_{side}", name=f"steer against the chassis, {name}", unit="rad", shown="deg",
            more=f"{name} steered more to the left", less=f"{name} steered more to the right", source="ISO 8855",
            read=partial(steer, wheel=wheel), smallest=SMALL_ANGLE, at_rest=True, travel=True, detail=True,
            moving=True,
        ),
        Reading(
            id=f"slip_angle_{side}", name=f"slip angle, {name}", unit="rad", shown="deg",
            more=f"{name} slides more to the left", less=f"{name} slides more to the right",
            source="ISO 8855: velocity left of the wheel's heading is positive",
            read=lambda solved: solved.wheel("slip_angle")[wheel], smallest=SMALL_ANGLE, detail=True,
        ),
        Reading(
            id=f"slip_ratio_{side}", name=f"slip ratio, {name}", unit="", shown="%",
            more=f"{name} turns faster than it rolls", less=f"{name} turns slower than it rolls", source="SAE J670",
            read=lambda solved: solved.border(f"slip {side}"), smallest=1e-4, detail=True,
        ),
    ]  # fmt: skip


def _toe(end: str) -> Reading:
    return Reading(
        id=f"toe_{end}", name=f"total toe, {end}", unit="rad", shown="deg", more=f"{end} toes in more",
        less=f"{end} toes out more", source="ISO 8855 steer angles; both wheels of the axle, steered or not",
        read=partial(toe, end=end), smallest=SMALL_ANGLE, at_rest=True, travel=True,
    )  # fmt: skip


WHEEL_ATTITUDES = [
    *(reading for wheel in range(4) for reading in _of_wheel(wheel)),
    *(_toe(end) for end in ENDS),
    Reading(
        id="sideslip", name="sideslip", unit="rad", shown="deg", more="car points further right of its path",
        less="car points further left of its path",
        source="ISO 8855: velocity left of heading is positive, at the centre of mass",
        read=lambda solved: solved.border("sideslip"), smallest=SMALL_ANGLE,
    ),
]  # fmt: skip

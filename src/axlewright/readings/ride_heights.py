"""Ride heights: the chassis points beside each wheel above the flat road."""

from __future__ import annotations

import numpy as np

from axlewright.readings._frames import WHEEL_NAMES, WHEELS, halves
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved


def ride_height(wheel: int) -> Reading:
    """Ride height beside a wheel, by its place in model order."""
    name = WHEEL_NAMES[WHEELS[wheel]]

    def read(solved: Solved) -> np.ndarray:
        point = np.asarray(solved.machine.values[f"ride_height.{WHEELS[wheel]}"], dtype=float)
        return halves(solved)[wheel // 2].on_road(point[:, None])[2]

    return Reading(
        id=f"ride_height_{WHEELS[wheel]}", name=f"ride height, {name}", unit="m", shown="mm", more=f"{name} higher",
        less=f"{name} lower", source="common practice, no source: chassis point above the road", read=read,
        smallest=1e-4, at_rest=True,
    )  # fmt: skip


RIDE_HEIGHTS = [ride_height(i) for i in range(4)]

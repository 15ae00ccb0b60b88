"""Vertical load of each tyre."""

from __future__ import annotations

import numpy as np

from axlewright.readings._frames import WHEEL_NAMES, WHEELS
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved


def tyre_load(wheel: int) -> Reading:
    """Load of one tyre by its place in model order."""

    def read(solved: Solved) -> np.ndarray:
        return solved.wheel("load")[wheel]

    name = WHEEL_NAMES[WHEELS[wheel]]
    return Reading(
        id=f"tyre_load_{WHEELS[wheel]}", name=f"tyre load, {name}", unit="N", shown="N",
        more=f"more load on the {name}", less=f"less load on the {name}", source="ISO 8855: vertical tyre force",
        read=read, smallest=1.0, at_rest=True,
    )  # fmt: skip


TYRE_LOADS = [tyre_load(i) for i in range(4)]

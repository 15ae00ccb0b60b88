"""Rack travel against its lock."""

from __future__ import annotations

import numpy as np

from axlewright.readings.clearances.base import Margin
from axlewright.solve.solved import Solved


def lock_margins(solved: Solved) -> list[Margin]:
    """Rack travel left to either lock, where the car file states it; in held states, since travel goes up to it."""
    lock = float(np.squeeze(solved.machine.values.get("rack.lock", np.inf)))
    if not np.isfinite(lock):
        return []
    left = lock - np.abs(solved.border("rack"))
    return [Margin(id="lock", name="steering", used_up="at full lock", unit="m", value=left, whole=lock, travel=False)]

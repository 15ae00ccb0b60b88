"""Margin to the limit: how much more acceleration along the phase's own direction the car can hold.

It needs a walk to the limit (`solve.limit`) for every member, so tables take its changes from the limit's
sensitivities.
"""

from __future__ import annotations

import numpy as np

from axlewright.readings.base import Reading
from axlewright.solve.limit import limit
from axlewright.solve.solved import Solved
from axlewright.units import GRAVITY


def margin(solved: Solved) -> np.ndarray:
    """Margin of every member, m/s2, (B,), by walking each to its limit."""
    return limit(solved).margin


MARGIN = Reading(
    id="margin",
    name="margin to the limit",
    unit="m/s^2",
    shown="g0",
    more="more left before something lets go",
    less="less left before something lets go",
    source="own definition: demand at the fold minus demand, along the demand's direction",
    read=margin,
    felt=0.004 * GRAVITY,
    smallest=0.001 * GRAVITY,
)

"""A stretch of other grip: a wet patch, dust, a painted line."""

from __future__ import annotations

import numpy as np

from axlewright.errors import RequestError
from axlewright.road.profile import Road, Side, long_enough, on

SPACING = 0.05  # m; grip changes within one sample


def patch(*, at: float = 10.0, length: float = 5.0, grip: float = 0.6, side: Side = "both") -> Road:
    """`grip` times as much grip from `at` m on."""
    long_enough(length=length)
    if not grip > 0.0:
        raise RequestError(f"a grip of {grip:g}; expected a factor above 0, such as 0.6 for a wet patch")
    x = np.arange(at - 2 * SPACING, at + length + 3 * SPACING, SPACING)
    inside = (x >= at) & (x <= at + length)
    tracks = on(side, np.where(inside, grip, 1.0), other=1.0)
    return Road(f"{100 * grip:.0f} % grip over {length:g} m", float(x[0]), SPACING, np.zeros_like(tracks), tracks)

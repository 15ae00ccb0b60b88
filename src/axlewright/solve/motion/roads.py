"""A road as the moving model reads it."""

from __future__ import annotations

import numpy as np

from axlewright.errors import RequestError
from axlewright.model.moving.script import Surface
from axlewright.road import Road

COUNTS = (4096, 32768)  # samples that functions are compiled for


def surface_of(road: Road) -> Surface:
    """The road with its last values repeated up to a number of samples that functions are compiled for.

    Raises RequestError for a road with more samples than that.
    """
    count = next((n for n in COUNTS if n >= len(road.height)), 0)
    if not count:
        raise RequestError(
            f"{road.name} has {len(road.height)} samples, the most is {COUNTS[-1]}: make it shorter, or sample it "
            "less often"
        )
    missing = ((0, count - len(road.height)), (0, 0))
    height, grip = (np.pad(a, missing, mode="edge") for a in (road.height, road.grip))
    return Surface(np.array([road.start]), np.array([road.spacing]), height, grip)

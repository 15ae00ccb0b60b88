"""What a margin is: how much is left before a part binds, bottoms, comes loose or touches."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """What is left of one thing in a batch of states; SI, negative = used up."""

    id: str  # stable, used in JSON and as a column name
    name: str  # which part, in words
    used_up: str  # what has happened when it is negative: "coil bind", "loose in its perch", "over centre", ...
    unit: str  # "m" or "rad"
    value: np.ndarray  # (B,)
    whole: float | None = None  # what there is of it in all; None: what there is at rest
    travel: bool = True  # has a meaning while only the linkage moves: lengths and angles, no forces
    source: str = "own definition: lengths and angles in the solved state"

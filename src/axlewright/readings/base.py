"""What a reading is: a number taken off solved states, with its unit, its two directions in words, and its source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from axlewright.solve.solved import Solved


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading. `read` gives (B,) in SI units for a batch of states; NaN is never returned where a value exists."""

    id: str  # stable, used in JSON and as a column name
    name: str  # the trade's or standard's term, spelt out
    unit: str  # SI unit of the value, as units.py knows it
    shown: str  # unit that it is shown in by default
    more: str  # what an increase means, in words ("looser")
    less: str  # what a decrease means, in words ("pushes more")
    source: str  # standard or textbook that defines it, or "own definition"
    read: Callable[[Solved], np.ndarray]
    felt: float = 0.0  # smallest change a driver can tell, SI; 0 = no rule of thumb
    smallest: float = 0.0  # smaller changes are printed as "no change", SI
    held: bool = True  # has a meaning in held phases
    at_rest: bool = False  # has a meaning at rest
    travel: bool = False  # has a meaning while the wheels are moved and the chassis is fixed: positions, no forces
    detail: bool = False  # for who looks further: left out of what is printed first
    moving: bool = False  # printed first where the linkage moves, even if it is detail elsewhere
    costly: bool = False  # needs the model's derivative: left out of whole tables unless asked for

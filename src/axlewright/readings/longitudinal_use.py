"""How much of the tyres' longitudinal grip is used: by each wheel, and by each end.

Use = longitudinal force / largest one that the tyre could give at its present load, slip angle and inclination, towards
braking in a phase that brakes or coasts and towards drive otherwise. Of an end: sum of forces over sum of largest
forces. A wheel in the air counts as 0. The wheel with the largest use is the one that locks or spins first. Own
definition.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.parts import TYRE_LAWS
from axlewright.readings._frames import ENDS, WHEEL_NAMES, WHEELS, by_end
from axlewright.readings._kept import kept
from axlewright.readings._maximum import maximum
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved

START = 0.1  # slip ratio near which tyres have their peak
LIFTED = 1.0  # N


@kept
def _most(solved: Solved) -> np.ndarray:
    """Largest longitudinal force of each tyre, N, in the direction asked for, (4, B)."""
    law = TYRE_LAWS[solved.machine.topology.mechanism.tyre_law]
    way = direction(solved)
    found = []
    for i in range(4):
        tyre, load, angle, lean = solved.tyre(i), *(solved.wheel(n)[i] for n in ("load", "slip_angle", "inclination"))

        def along(slip: np.ndarray, tyre=tyre, load=load, angle=angle, lean=lean) -> np.ndarray:  # noqa: ANN001
            return way * law.forces(tyre, load, angle, way * slip, lean, solved.asked.grip, np)[0]

        found.append(maximum(along, np.full(solved.batch, START), np.zeros(solved.batch), np.ones(solved.batch))[1])
    return np.stack(found)


def direction(solved: Solved) -> np.ndarray:
    """-1 in phases that brake or coast, +1 otherwise, (B,)."""
    slowing = (np.asarray(solved.asked.braking) > 0) | (np.asarray(solved.asked.coasting) > 0)
    return np.where(np.broadcast_to(slowing, (solved.batch,)), -1.0, 1.0)


def wheel_use(solved: Solved, wheel: int) -> np.ndarray:
    """Share of one tyre's longitudinal grip used, (B,)."""
    return _shares(direction(solved) * solved.wheel("longitudinal")[wheel], _most(solved)[wheel])


def end_use(solved: Solved, end: str) -> np.ndarray:
    """Share of an end's longitudinal grip used, (B,)."""
    force, most = (sum(by_end(x)[end]) for x in (direction(solved) * solved.wheel("longitudinal"), _most(solved)))
    return _shares(np.asarray(force), np.asarray(most))


def nearest_wheel(solved: Solved, member: int) -> str:
    """Name of the wheel that uses most of its longitudinal grip."""
    use = [wheel_use(solved, i)[member] for i in range(4)]
    return WHEELS[int(np.argmax(use))]


def _shares(force: np.ndarray, most: np.ndarray) -> np.ndarray:
    some = most > LIFTED
    return np.where(some, force / np.where(some, most, 1.0), 0.0)


def _use(id: str, name: str, read: partial[np.ndarray]) -> Reading:  # noqa: A002
    return Reading(
        id=id, name=f"longitudinal grip used, {name}", unit="", shown="%", more=f"{name} nearer to locking or spinning",
        less=f"{name} further from locking or spinning", source="own definition", read=read, smallest=0.001,
    )  # fmt: skip


LONGITUDINAL_USES = [
    *(_use(f"longitudinal_use_{end}", end, partial(end_use, end=end)) for end in ENDS),
    *(_use(f"longitudinal_use_{w}", WHEEL_NAMES[w], partial(wheel_use, wheel=i)) for i, w in enumerate(WHEELS)),
]

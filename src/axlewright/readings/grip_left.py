"""Grip left at each end, and the balance: which end lets go first, and by how much.

Grip left of an end = [largest side force of its two tyres over a common added slip angle - side force now] / static
mass of the end, at the present loads, inclinations and slip ratios, in the sense of the turn; in a straight line both
ways are tried and the smaller counts. It ignores further load transfer: it says which end is nearer, not where the
car ends. Balance = front - rear: positive is loose, negative pushes. Own definition.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.parts import TYRE_LAWS
from axlewright.readings._frames import ENDS, by_end, sense, standing
from axlewright.readings._kept import kept
from axlewright.readings._maximum import maximum
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved
from axlewright.units import GRAVITY

# Search range beyond the tyres' own peaks, rad: drive, braking and camber move a peak, more slip ratio to larger
# angles.
BELOW, ABOVE = 0.05, 0.4
FELT = 0.004 * GRAVITY  # m/s2; rule of thumb; common practice, no source
NO_CHANGE = 0.001 * GRAVITY  # m/s2


def _gain(solved: Solved, wheels: tuple[int, int], way: np.ndarray) -> np.ndarray:
    """Side force that a pair of tyres can still gain to one side (`way` +1 left, -1 right), N, (B,)."""
    law = TYRE_LAWS[solved.machine.topology.mechanism.tyre_law]
    tyres = [solved.tyre(w) for w in wheels]
    load, slip_angle, inclination = (solved.wheel(name) for name in ("load", "slip_angle", "inclination"))
    slip = [solved.border(f"slip {solved.machine.topology.mechanism.wheels[w]}") for w in wheels]

    def side(added: np.ndarray) -> np.ndarray:
        total = np.zeros_like(added)
        for w, tyre, kappa in zip(wheels, tyres, slip, strict=True):
            angle = slip_angle[w] - way * added
            total = total + law.forces(tyre, load[w], angle, kappa, inclination[w], solved.asked.grip, np)[1]
        return way * total

    peaks = np.stack(
        [law.peak_slip_angle(tyre, load[w], np) + way * slip_angle[w] for w, tyre in zip(wheels, tyres, strict=True)]
    )
    outer = np.where(load[wheels[0]] > load[wheels[1]], peaks[0], peaks[1])
    _, most = maximum(side, outer, peaks.min(axis=0) - BELOW, peaks.max(axis=0) + ABOVE)
    return most - side(np.zeros_like(outer))


@kept
def grips_left(solved: Solved) -> dict[str, np.ndarray]:
    """Grip left of the front and of the rear, m/s2, (B,) each."""
    turn = sense(solved)
    straight = np.flatnonzero(turn == 0.0)
    found = {}
    for end, wheels in zip(ENDS, ((0, 1), (2, 3)), strict=True):
        gain = _gain(solved, wheels, np.where(turn == 0.0, 1.0, turn))
        if straight.size:
            gain[straight] = np.minimum(gain[straight], _gain_straight(solved, straight, wheels))
        static = sum(by_end(standing(solved).wheel("load"))[end]) / GRAVITY
        found[end] = gain / static
    return found


def _gain_straight(solved: Solved, members: np.ndarray, wheels: tuple[int, int]) -> np.ndarray:
    part = solved if members.size == solved.batch else solved.take(members)
    return _gain(part, wheels, np.full(members.size, -1.0))


def grip_left(solved: Solved, end: str) -> np.ndarray:
    """Grip left of an end, m/s2, (B,)."""
    return grips_left(solved)[end]


def balance(solved: Solved) -> np.ndarray:
    """Front minus rear grip left, m/s2, (B,); positive is loose."""
    found = grips_left(solved)
    return found["front"] - found["rear"]


def _left(end: str) -> Reading:
    return Reading(
        id=f"grip_left_{end}", name=f"grip left, {end}", unit="m/s**2", shown="g", more=f"more grip left at the {end}",
        less=f"less grip left at the {end}", source="own definition: side force the end could still gain",
        read=partial(grip_left, end=end), felt=FELT, smallest=NO_CHANGE,
    )  # fmt: skip


GRIPS_LEFT = [
    *(_left(end) for end in ENDS),
    Reading(
        id="balance", name="balance, front minus rear grip left", unit="m/s**2", shown="g", more="looser",
        less="pushes more", source="own definition; felt size a rule of thumb", read=balance, felt=FELT,
        smallest=NO_CHANGE,
    ),
]  # fmt: skip

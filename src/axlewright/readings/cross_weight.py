"""Cross weight, and what driving does to it: the diagonal is always spelt out, right front + left rear."""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings._frames import ENDS, by_end, sense, standing
from axlewright.readings.base import Reading
from axlewright.solve.solved import Solved


def cross_weight(solved: Solved) -> np.ndarray:
    """(right front + left rear) / total."""
    load = solved.wheel("load")
    return (load[1] + load[2]) / load.sum(axis=0)


def rear_difference(solved: Solved) -> np.ndarray:
    """Left minus right rear load, change from rest, N."""
    now, rest = solved.wheel("load"), standing(solved).wheel("load")
    return now[2] - now[3] - (rest[2] - rest[3])


def cross_weight_change(solved: Solved) -> np.ndarray:
    """Cross weight, change from rest."""
    return cross_weight(solved) - cross_weight(standing(solved))


def inside_load(solved: Solved, end: str) -> np.ndarray:
    """Load of an end's tyre on the inside of the turn; in a straight line that of the lighter one, N."""
    left, right = by_end(solved.wheel("load"))[end]
    turn = sense(solved)
    return np.where(turn > 0, left, np.where(turn < 0, right, np.minimum(left, right)))


def _inside_load(end: str) -> Reading:
    return Reading(
        id=f"inside_{end}_load", name=f"load of the inside {end} tyre", unit="N", shown="N",
        more=f"more load on the inside {end}", less=f"less load on the inside {end}",
        source=f"own definition; the lighter {end} tyre in a straight line", read=partial(inside_load, end=end),
        smallest=1.0,
        detail=end == "front",  # a live axle's car lives by its inside rear; two lines on one move say one thing twice
    )  # fmt: skip


CROSS_WEIGHTS = [
    Reading(
        id="cross_weight", name="cross weight, right front + left rear", unit="", shown="%",
        more="more weight on right front + left rear", less="more weight on left front + right rear",
        source="common practice, no source; the diagonal as the design spells it", read=cross_weight,
        smallest=0.0002, at_rest=True,
    ),
    Reading(
        id="cross_weight_change", name="cross weight, right front + left rear, change from rest", unit="", shown="%",
        more="more weight moved to right front + left rear", less="more weight moved to left front + right rear",
        source="own definition", read=cross_weight_change, smallest=0.0002,
    ),
    Reading(
        id="rear_difference", name="left minus right rear load, change from rest", unit="N", shown="N",
        more="left rear gains on right rear", less="right rear gains on left rear",
        source="own definition; under power the propeller shaft loads the left rear", read=rear_difference,
        smallest=1.0,
    ),
    *(_inside_load(end) for end in ENDS),
]  # fmt: skip

"""Runs in words: what had not settled, damper speeds, and what to be careful with."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from axlewright.readings.motion import unsettled
from axlewright.readings.motion.dampers import EDGES, histogram
from axlewright.solve.motion.run import Run

Found = Sequence[tuple[str, Run]]
"""(name, run of one member) of each car or setup, side by side."""

ABOUT_MOTION = (
    "Predicted by a model in motion, not tested on this car: damper curves, tyre lag and inertias are guessed unless "
    "you measured them. A direction is fairly sure, a size is not."
)
ABOUT_HITS = (
    "Loads are screening values: no weld, notch, wear or damage is in them, and a real kerb is rougher. The "
    "sanctioning body's rules, the parts' makers and a qualified engineer decide. Prove a changed car by degrees."
)
UNSETTLED = "it still moved at its end, so what counts from there is left out: follow it for longer"


def notes(found: Found) -> list[tuple[str, str, bool]]:
    """(name, sentence, whether the run stopped) of what has to be said of a run."""
    said = []
    for name, run in found:
        if run.sentences[0]:
            said.append((name, run.sentences[0], True))
        if unsettled(run)[0]:
            said.append((name, UNSETTLED, False))
    return said


def damper_speeds(run: Run) -> tuple[dict[str, np.ndarray], list[str]]:
    """How a run's time is shared by damper speeds: shares by damper, and the words of each range, mm/s."""
    return {path: histogram(run, path)[:, 0] for path in run.seen.damper_push}, [
        _range(low, high) for low, high in pairwise(EDGES)
    ]


def _range(low: float, high: float) -> str:
    way = "compression" if low > 0.0 else "rebound" if high < 0.0 else "still"
    least, most = sorted((1e3 * abs(low), 1e3 * abs(high)))
    edge = f"below {most:.0f}" if way == "still" else f"{least:.0f} to {most:.0f}"
    return f"{way} above {least:.0f}" if math.isinf(most) else f"{way} {edge}"

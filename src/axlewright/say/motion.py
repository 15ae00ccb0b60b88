"""Runs in words: readings of setups side by side, what had not settled, damper speeds, and what to be careful with."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from axlewright.readings.motion import MotionReading, motion_readings, unsettled
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


class Row(NamedTuple):
    """One reading of several runs; NaN where a run has none."""

    reading: MotionReading
    values: tuple[float, ...]  # SI

    @property
    def said(self) -> bool:
        """Whether any run has it."""
        return any(math.isfinite(value) for value in self.values)


def rows(found: Found) -> dict[str, Row]:
    """Every reading that some run has, by id."""
    every = [motion_readings(run) for _, run in found]
    names = dict.fromkeys(key for one in every for key in one)
    return {
        key: Row(
            next(one[key] for one in every if key in one),
            tuple(
                float(one[key].read(run)[0]) if key in one else math.nan
                for one, (_, run) in zip(every, found, strict=True)
            ),
        )
        for key in names
    }


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

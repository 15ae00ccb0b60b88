"""What a reading of a run is: a number taken off an event, one for each setup."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from axlewright.solve.motion.run import Run

SETTLED = 0.15  # share of a run, at its end, over which something counts as settled
STEADY = 0.05  # of how far it has ranged: what the mean may still move between the two halves of that
LATE = 0.2  # s a settled mean covers at least, so that a ripple is evened out


@dataclass(frozen=True, slots=True, kw_only=True)
class MotionReading:
    """One reading. `read` gives (B,) in SI units; NaN where a run has none: stopped, or not settled by its end."""

    id: str
    name: str
    unit: str  # SI unit, as units.py knows it
    shown: str  # unit that it is shown in by default
    more: str  # what an increase means
    less: str
    source: str
    read: Callable[[Run], np.ndarray]
    detail: bool = False


Row = tuple[str, str, str, str, str, str, Callable[[Run], np.ndarray]]
"""id, name, unit, unit shown, more, less, read."""


def listed(source: str, rows: Sequence[Row], *, detail: bool = False) -> list[MotionReading]:
    """Readings of one source."""
    names = ("id", "name", "unit", "shown", "more", "less", "read")
    return [MotionReading(**dict(zip(names, row, strict=True)), source=source, detail=detail) for row in rows]


def settled(run: Run, values: np.ndarray) -> np.ndarray:
    """Mean over the end of a run of values (T, B); NaN where it still moves, (B,)."""
    count = max(int(SETTLED * len(run.time)), int(LATE / (run.time[1] - run.time[0])), 4)
    half = count // 2
    last, before = values[-half:].mean(axis=0), values[-2 * half : -half].mean(axis=0)
    reach = values.max(axis=0) - values.min(axis=0)
    return np.where(np.abs(last - before) <= STEADY * reach + 1e-9, 0.5 * (last + before), np.nan)


def after(run: Run) -> np.ndarray:
    """Which moments come after something was done, (T,)."""
    return run.time >= run.begins - 1e-9


def first_time(run: Run, reached: np.ndarray) -> np.ndarray:
    """Time since something was done at which `reached` (T, B) becomes true and stays so to the end, s; NaN if never."""
    stays = np.flip(np.logical_and.accumulate(np.flip(reached, axis=0), axis=0), axis=0)
    at = np.argmax(stays, axis=0)
    return np.where(stays.any(axis=0), np.maximum(run.time[at] - run.begins, 0.0), np.nan)


def without_mean(run: Run, values: np.ndarray, window: float = 0.2) -> np.ndarray:
    """Values (T, B) less their running mean over `window` s."""
    count = max(int(window / (run.time[1] - run.time[0])) | 1, 3)
    pad = count // 2
    full = np.pad(values, ((pad, pad), (0, 0)), mode="edge")
    total = np.cumsum(np.concatenate([np.zeros((1, values.shape[1])), full]), axis=0)
    return values - (total[count:] - total[:-count]) / count

"""What a reading of a run is: a number taken off an event, one for each setup."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from axlewright.solve.motion.run import Run

SETTLED = 0.15  # share of a run, at its end, over which something counts as settled
STEADY = 0.05  # of how far it has ranged: what the means of the three thirds of that may differ by
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
    settles: bool = False  # has no value only where the run has not settled by its end


Row = tuple[str, str, str, str, str, str, Callable[[Run], np.ndarray]]
"""id, name, unit, unit shown, more, less, read."""


def listed(source: str, rows: Sequence[Row], *, detail: bool = False, settles: bool = False) -> list[MotionReading]:
    """Readings of one source."""
    return [
        MotionReading(
            id=ident, name=name, unit=unit, shown=shown, more=more, less=less, source=source, read=read, detail=detail,
            settles=settles,
        )
        for ident, name, unit, shown, more, less, read in rows
    ]  # fmt: skip


def settled(run: Run, values: np.ndarray) -> np.ndarray:
    """Mean over the end of a run of values (T, B); NaN where it still moves, (B,).

    Thirds tell a drift, which halves would too, and the top of a slow swing, which halves would not.
    """
    count = max(int(SETTLED * len(run.time)), int(LATE / (run.time[1] - run.time[0])), 6)
    end = values[-count:]
    means = np.stack([third.mean(axis=0) for third in np.array_split(end, 3)])
    reach = values.max(axis=0) - values.min(axis=0)
    return np.where(np.ptp(means, axis=0) <= STEADY * reach + 1e-9, end.mean(axis=0), np.nan)


def after(run: Run) -> np.ndarray:
    """Which moments come after something was done, (T,)."""
    return run.time >= run.begins - 1e-9


def first_time(run: Run, reached: np.ndarray) -> np.ndarray:
    """Time since something was done at which `reached` (T, B) becomes true and stays so to the end, s; NaN if never."""
    stays = np.flip(np.logical_and.accumulate(np.flip(reached, axis=0), axis=0), axis=0)
    at = np.argmax(stays, axis=0)
    return np.where(stays.any(axis=0), np.maximum(run.time[at] - run.begins, 0.0), np.nan)


def crossing(run: Run, values: np.ndarray, level: np.ndarray) -> np.ndarray:
    """First time at which values (T, B) reach a level (B,), straight between moments, s; NaN if never."""
    above = values >= level
    at = np.clip(np.argmax(above, axis=0), 1, None)
    low, high = picked(values, at - 1), picked(values, at)
    share = np.clip((level - low) / np.where(high != low, high - low, 1.0), 0.0, 1.0)
    return np.where(above.any(axis=0), run.time[at - 1] + share * (run.time[at] - run.time[at - 1]), np.nan)


def picked(values: np.ndarray, at: np.ndarray) -> np.ndarray:
    """Values (T, B) at each member's own moment (B,)."""
    return np.take_along_axis(values, at[None], axis=0)[0]


def vertex(before: np.ndarray, top: np.ndarray, behind: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where a parabola through three equally spaced values turns, in steps from the middle one, and its value there."""
    bend = before - 2.0 * top + behind
    step = np.where(bend != 0.0, 0.5 * (before - behind) / np.where(bend != 0.0, bend, 1.0), 0.0)
    step = np.clip(step, -0.5, 0.5)
    return step, top + 0.5 * (behind - before) * step + 0.5 * bend * step * step


def without_mean(run: Run, values: np.ndarray, window: float = 0.25) -> np.ndarray:
    """Values (T, B) less their running mean over `window` s, weighted by a Hann window: what swings faster than 8 Hz
    keeps its height within 3 %, where an even window would take up to 20 % off or put it on.
    """
    count = max(int(window / (run.time[1] - run.time[0])) | 1, 3)
    weights = np.hanning(count + 2)[1:-1]
    full = np.pad(values, ((count // 2, count // 2), (0, 0)), mode="edge")
    mean = np.lib.stride_tricks.sliding_window_view(full, count, axis=0) @ (weights / weights.sum())
    return values - mean

"""Hop and tramp of an end's wheels after something was done: how many times, how fast, and how quickly it dies away.

Taken from the tyre loads, whose slow part (a running mean) is taken off: hop is what both wheels do together, tramp
what they do opposite. Damping from the decay of successive peaks: log decrement d, zeta = d / sqrt(4 pi^2 + d^2) (any
text on vibration).
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, after, without_mean
from axlewright.solve.motion.run import Run

SAE = "SAE J670 (hop, tramp)"
COUNTS = 0.05  # of the end's mean load: a smaller swing is not a hop
LEAST_PEAKS = 3  # that a decay can be told from


def swing(run: Run, wheels: tuple[int, int], together: bool) -> np.ndarray:
    """Load swing of an end, N, (T, B)."""
    left, right = (run.seen.load[:, w] for w in wheels)
    return without_mean(run, 0.5 * (left + right) if together else 0.5 * (left - right))


def peaks(values: np.ndarray, least: float) -> np.ndarray:
    """Places of local maxima above `least` of values (T,)."""
    middle = values[1:-1]
    return 1 + np.flatnonzero((middle > values[:-2]) & (middle >= values[2:]) & (middle > least))


def _each(run: Run, wheels: tuple[int, int], together: bool, one) -> np.ndarray:  # noqa: ANN001
    values, late = swing(run, wheels, together), after(run)
    mean = 0.5 * (run.seen.load[0, wheels[0]] + run.seen.load[0, wheels[1]])
    found = [one(run.time[late], values[late, b], COUNTS * mean[b]) for b in range(run.batch)]
    gone = ~np.isfinite(values).all(axis=0)
    return np.where(gone, np.nan, np.array(found, dtype=float))


def count(run: Run, wheels: tuple[int, int], together: bool) -> np.ndarray:
    """Number of swings beyond 5 % of the load."""
    return _each(run, wheels, together, lambda t, v, least: float(len(peaks(v, least))))


def frequency(run: Run, wheels: tuple[int, int], together: bool) -> np.ndarray:
    """Hz between its peaks; NaN with fewer than two."""

    def one(t: np.ndarray, v: np.ndarray, least: float) -> float:
        at = peaks(v, least)
        return float(1.0 / np.diff(t[at]).mean()) if len(at) > 1 else np.nan

    return _each(run, wheels, together, one)


def damping(run: Run, wheels: tuple[int, int], together: bool) -> np.ndarray:
    """Damping ratio from the largest peak on; NaN with fewer than three peaks; below 0 it grows."""

    def one(t: np.ndarray, v: np.ndarray, least: float) -> float:
        at = peaks(v, least)
        if not len(at):
            return np.nan
        at = at[np.argmax(v[at]) :] if np.argmax(v[at]) < len(at) - LEAST_PEAKS + 1 else at
        if len(at) < LEAST_PEAKS:
            return np.nan
        decrement = -float(np.polyfit(np.arange(len(at)), np.log(v[at]), 1)[0])
        return decrement / np.sqrt(4.0 * np.pi**2 + decrement**2)

    return _each(run, wheels, together, one)


def hops_of(run: Run) -> list[MotionReading]:
    """Both ends for drive, brake, road and drop events."""
    found: list[MotionReading] = []
    if run.kind not in ("drive", "brake", "road", "drop"):
        return found
    for end, wheels in (("rear", (2, 3)), ("front", (0, 1))):
        for name, together in (("hop", True), ("tramp", False)):
            for key, said, unit, shown, more, less, read in (
                ("count", "swings", "", "", "hops more often", "hops less often", count),
                ("frequency", "frequency", "1/s", "1/s", "faster", "slower", frequency),
                ("damping", "damping ratio", "", "", "dies away sooner", "dies away later", damping),
            ):
                found.append(
                    MotionReading(
                        id=f"{end}_{name}_{key}", name=f"{end} {name}: {said}", unit=unit, shown=shown, more=more,
                        less=less, source=SAE, detail=end == "front",
                        read=partial(read, wheels=wheels, together=together),
                    )
                )  # fmt: skip
    return found

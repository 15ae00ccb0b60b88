"""Hop and tramp of an end's wheels after something was done: how many times, how fast, and how quickly it dies away.

Taken from the tyre loads, whose slow part (a running mean) is taken off: hop is what both wheels do together, tramp
what they do opposite. Damping from the decay of successive extremes, either way: log decrement d of a whole cycle,
zeta = d / sqrt(4 pi^2 + d^2) (any text on vibration).
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, after, vertex, without_mean
from axlewright.solve.motion.run import Run

SAE = "SAE J670 (hop, tramp)"
COUNTS = 0.05  # of the end's mean load: a smaller swing is not a hop
LEAST = 3  # extremes, a whole cycle, that a frequency or a decay can be told from
GROWING = 6  # extremes, three cycles up to the largest, that a swing must have to be said to grow (design)

Ring = tuple[np.ndarray, np.ndarray]
"""Times and heights (n,) of the extremes of a swing, which alternate in sign."""


def swing(run: Run, wheels: tuple[int, int], together: bool) -> np.ndarray:
    """Load swing of an end, N, (T, B)."""
    left, right = (run.seen.load[:, w] for w in wheels)
    return without_mean(run, 0.5 * (left + right) if together else 0.5 * (left - right))


def extremes(time: np.ndarray, values: np.ndarray, least: float) -> Ring:
    """Extremes of values (T,) beyond `least` either way, one for each excursion: what rides on top is not counted, nor
    what is cut off at either end.
    """
    beyond = np.flatnonzero(np.abs(values) > least)
    if not len(beyond) or len(values) < LEAST:
        return np.zeros(0), np.zeros(0)
    excursions = np.split(beyond, 1 + np.flatnonzero(np.diff(np.sign(values[beyond]))))
    at = np.array([one[np.argmax(np.abs(values[one]))] for one in excursions])
    at = at[(at > 0) & (at < len(values) - 1)]
    step, height = vertex(values[at - 1], values[at], values[at + 1])
    return time[at] + step * (time[1] - time[0]), height


def cycles(ring: Ring) -> float:
    """Whole cycles beyond the threshold: a change that doesn't swing back is none."""
    return float(len(ring[0]) // 2)


def pace(ring: Ring) -> float:
    """Hz; NaN with less than a whole cycle."""
    time, _ = ring
    return float(0.5 * (len(time) - 1) / (time[-1] - time[0])) if len(time) >= LEAST else np.nan


def decay(ring: Ring) -> float:
    """Damping ratio from the largest extreme on; below 0, it grows: from the extremes up to one near the end.

    NaN with less than a whole cycle after the largest one, unless three cycles led up to it: fewer were pushed.
    """
    height = np.abs(ring[1])
    top = int(np.argmax(height)) if len(height) else 0
    if len(height) - top >= LEAST:
        told = height[top:]
    elif top + 1 >= GROWING:
        told = height[: top + 1]
    else:
        return np.nan
    decrement = -2.0 * float(np.polyfit(np.arange(len(told)), np.log(told), 1)[0])
    return float(decrement / np.sqrt(4.0 * np.pi**2 + decrement**2))


def left_alone(run: Run, wheels: tuple[int, int]) -> np.ndarray:
    """Moments after the last change of the road under an end's wheels, (T, B): what swings there decays by itself."""
    height = run.seen.road_height[:, list(wheels)]
    changes = (np.diff(height, axis=0) != 0.0).any(axis=1)
    still_to_come = np.flip(np.logical_or.accumulate(np.flip(changes, axis=0), axis=0), axis=0)
    return ~np.concatenate([still_to_come, np.zeros((1, run.batch), dtype=bool)])


def of_end(
    run: Run, wheels: tuple[int, int], together: bool, tell: Callable[[Ring], float], alone: bool = False
) -> np.ndarray:
    """What `tell` says of the swing of each member, (B,); `alone`: of the swing once the road has become level."""
    values, late = swing(run, wheels, together), np.repeat(after(run)[:, None], run.batch, axis=1)
    taken = late & left_alone(run, wheels) if alone else late
    mean = 0.5 * (run.seen.load[0, wheels[0]] + run.seen.load[0, wheels[1]])
    found = []
    for b in range(run.batch):
        which = taken[:, b]
        found.append(tell(extremes(run.time[which], values[which, b], COUNTS * mean[b])))
    return np.array(found, dtype=float)


def hops_of(run: Run) -> list[MotionReading]:
    """Both ends for drive, brake, road and drop events."""
    found: list[MotionReading] = []
    if run.kind not in ("drive", "brake", "road", "drop"):
        return found
    for end, wheels in (("rear", (2, 3)), ("front", (0, 1))):
        for name, together in (("hop", True), ("tramp", False)):
            for key, said, unit, shown, more, less, tell in (
                ("count", "cycles", "", "", "hops more often", "hops less often", cycles),
                ("frequency", "frequency", "1/s", "1/s", "faster", "slower", pace),
                ("damping", "damping ratio", "", "", "dies away sooner", "dies away later", decay),
            ):
                found.append(
                    MotionReading(
                        id=f"{end}_{name}_{key}", name=f"{end} {name}: {said}", unit=unit, shown=shown, more=more,
                        less=less, source=SAE, detail=end == "front",
                        read=partial(of_end, wheels=wheels, together=together, tell=tell, alone=tell is decay),
                    )
                )  # fmt: skip
    return found

"""What the dampers go through: speeds by their shares of time, and the power they take."""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, after
from axlewright.solve.motion.run import Run

OWN = "own definition; common practice"
EDGES = np.array([-np.inf, -0.5, -0.25, -0.1, -0.05, -0.01, 0.01, 0.05, 0.1, 0.25, 0.5, np.inf])  # m/s
SLOW = 0.05  # m/s; slower is body control, faster the road: common practice, no source


def speed(run: Run, path: str) -> np.ndarray:
    """A damper's speed since something was done, compression positive, m/s, (T, B)."""
    return -run.seen.extension_rate[path][after(run)]


def histogram(run: Run, path: str, edges: np.ndarray = EDGES) -> np.ndarray:
    """Shares of the time that a damper's speed (compression positive) lies from each edge to below the next, (bins, B);
    NaN for a member that stopped.
    """
    v = speed(run, path)
    low, high = edges[:-1, None, None], edges[1:, None, None]
    shares = ((v >= low) & (v < high)).mean(axis=1)
    return np.where(np.isfinite(v).all(axis=0), shares, np.nan)


def rms(run: Run, path: str) -> np.ndarray:
    """m/s."""
    return np.sqrt((speed(run, path) ** 2).mean(axis=0))


def fastest(run: Run, path: str, way: float) -> np.ndarray:
    """Fastest compression (way 1) or rebound (way -1), m/s."""
    return (way * speed(run, path)).max(axis=0)


def slow(run: Run, path: str) -> np.ndarray:
    """Share of the time that it moves slowly."""
    return (np.abs(speed(run, path)) < SLOW).mean(axis=0)


def power(run: Run, path: str) -> np.ndarray:
    """Mean power that a damper takes, W."""
    return (run.seen.damper_push[path][after(run)] * speed(run, path)).mean(axis=0)


def dampers_of(run: Run) -> list[MotionReading]:
    """Each damper."""
    found = []
    for path in run.seen.damper_push:
        said = path.replace(".", " ").replace("_", " ")
        for key, name, unit, shown, more, less, read in (
            ("rms", "damper speed, rms", "m/s", "mm/s", "works harder", "works less", rms),
            ("compression", "fastest compression", "m/s", "mm/s", "faster", "slower", partial(fastest, way=1.0)),
            ("rebound", "fastest rebound", "m/s", "mm/s", "faster", "slower", partial(fastest, way=-1.0)),
            ("slow", "time slower than 50 mm/s", "", "%", "moves slowly longer", "moves fast longer", slow),
            ("power", "power taken", "W", "W", "hotter", "cooler", power),
        ):
            found.append(
                MotionReading(
                    id=f"{path}.{key}", name=f"{said}: {name}", unit=unit, shown=shown, more=more, less=less,
                    source=OWN, read=partial(read, path=path), detail=True,
                )
            )  # fmt: skip
    return found

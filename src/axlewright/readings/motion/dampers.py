"""What the dampers go through: speeds by their shares of time, and the power they take."""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, after
from axlewright.solve.motion.run import Run

OWN = "own definition; common practice"
EDGES = np.array([-np.inf, -0.5, -0.25, -0.1, -0.05, -0.01, 0.01, 0.05, 0.1, 0.25, 0.5, np.inf])  # m/s


def histogram(run: Run, path: str, edges: np.ndarray = EDGES) -> np.ndarray:
    """Shares of the time that a damper's speed (compression positive) lies between `edges`, (bins, B)."""
    speed = -run.seen.extension_rate[path][after(run)]
    each = [np.histogram(column[np.isfinite(column)], edges)[0] for column in speed.T]
    return np.stack([counts / max(counts.sum(), 1) for counts in each], axis=1)


def rms(run: Run, path: str) -> np.ndarray:
    """m/s."""
    return np.sqrt((run.seen.extension_rate[path][after(run)] ** 2).mean(axis=0))


def fastest(run: Run, path: str, way: float) -> np.ndarray:
    """Fastest compression (way 1) or rebound (way -1), m/s."""
    return (-way * run.seen.extension_rate[path][after(run)]).max(axis=0)


def power(run: Run, path: str) -> np.ndarray:
    """Mean power that a damper takes, W."""
    late = after(run)
    return (-run.seen.damper_push[path][late] * run.seen.extension_rate[path][late]).mean(axis=0)


def dampers_of(run: Run) -> list[MotionReading]:
    """Each damper."""
    found = []
    for path in run.seen.damper_push:
        said = path.replace(".", " ").replace("_", " ")
        for key, name, unit, shown, more, less, read in (
            ("rms", "damper speed, rms", "m/s", "mm/s", "works harder", "works less", rms),
            ("compression", "fastest compression", "m/s", "mm/s", "faster", "slower", partial(fastest, way=1.0)),
            ("rebound", "fastest rebound", "m/s", "mm/s", "faster", "slower", partial(fastest, way=-1.0)),
            ("power", "power taken", "W", "W", "hotter", "cooler", power),
        ):
            found.append(
                MotionReading(
                    id=f"{path}.{key}", name=f"{said}: {name}", unit=unit, shown=shown, more=more, less=less,
                    source=OWN, read=partial(read, path=path), detail=True,
                )
            )  # fmt: skip
    return found

"""How much tyre loads vary: what a tyre can't use of its grip on a road that isn't smooth."""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings.motion.base import MotionReading, after
from axlewright.solve.motion.run import Run

OWN = "own definition; common practice"
TOUCHING = 1.0  # N


def variation(run: Run, wheels: tuple[int, ...]) -> np.ndarray:
    """Root mean square of load less its mean over its mean, mean of the wheels."""
    load = run.seen.load[after(run)][:, list(wheels)]
    return (load.std(axis=0) / load.mean(axis=0)).mean(axis=0)


def least(run: Run, wheels: tuple[int, ...]) -> np.ndarray:
    """Load that a tyre has for 99 % of the time (1st percentile), of the worst wheel, N."""
    return np.percentile(run.seen.load[after(run)][:, list(wheels)], 1.0, axis=0).min(axis=0)


def in_the_air(run: Run, wheels: tuple[int, ...]) -> np.ndarray:
    """Share of the time that a wheel is off the road, of the worst wheel."""
    return (run.seen.load[after(run)][:, list(wheels)] < TOUCHING).mean(axis=0).max(axis=0)


def loads_of(run: Run) -> list[MotionReading]:
    """Each end, then each wheel."""
    ends = [("front", "front", (0, 1)), ("rear", "rear", (2, 3))]
    wheels = [(name, name, (w,)) for w, name in enumerate(run.wheels)]
    found = []
    for where, said, taken in (*ends, *wheels):
        for key, name, unit, shown, more, less, read in (
            ("load_variation", "tyre-load variation", "", "%", "uneven grip", "more even grip", variation),
            ("least_load", "load kept for 99 % of the time", "N", "N", "kept down", "nearer to lifting", least),
            ("in_the_air", "time off the road", "", "%", "in the air longer", "in the air less", in_the_air),
        ):
            found.append(
                MotionReading(
                    id=f"{key}_{where}", name=f"{said} {name}", unit=unit, shown=shown, more=more, less=less,
                    source=OWN, read=partial(read, wheels=taken),
                    detail=len(taken) == 1 or run.kind in ("steer", "sweep"),
                )
            )  # fmt: skip
    return found

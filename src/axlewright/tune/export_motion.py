"""Runs side by side as plain data for machines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from axlewright.readings.motion import MotionReading, motion_readings, unsettled
from axlewright.readings.motion.dampers import EDGES, histogram
from axlewright.solve.motion.run import Run
from axlewright.tune.export import VERSION


def runs_data(found: Sequence[tuple[str, Run]]) -> dict[str, Any]:
    """Readings of each run, SI.

    {"version", "event", "runs": {NAME: {"result", "settled", "steps", "readings": {ID: {"value", "unit"}}, "dampers":
    {"edges", "shares": {PATH: [...]}}}}}: shares of the time that a damper's speed (compression positive) lies between
    edges, m/s, below the first and above the last included.
    """
    rows = rows_of(found)
    runs = {}
    for i, (name, run) in enumerate(found):
        values = {
            key: {"value": values[i] if math.isfinite(values[i]) else None, "unit": reading.unit}
            for key, (reading, values) in rows.items()
        }
        shares = {
            path: [float(share) if math.isfinite(share) else None for share in histogram(run, path)[:, 0]]
            for path in run.seen.damper_push
        }
        runs[name] = {
            "result": run.sentences[0] or "done",
            "settled": not bool(unsettled(run)[0]),
            "steps": run.steps,
            "readings": values,
            "dampers": {"edges": [float(edge) for edge in EDGES[1:-1]], "shares": shares},
        }
    return {"version": VERSION, "event": found[0][1].event, "runs": runs}


def rows_of(found: Sequence[tuple[str, Run]]) -> dict[str, tuple[MotionReading, list[float]]]:
    """Reading id -> (reading, its value in each run; NaN where a run has none)."""
    every = [motion_readings(run) for _, run in found]
    names = dict.fromkeys(key for one in every for key in one)
    return {
        key: (
            next(one[key] for one in every if key in one),
            [
                float(one[key].read(run)[0]) if key in one else math.nan
                for one, (_, run) in zip(every, found, strict=True)
            ],
        )
        for key in names
    }

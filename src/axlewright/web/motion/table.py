"""Readings of runs as a table of setups by readings, in the words and digits of the command line."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from axlewright.readings.motion import MotionReading
from axlewright.say.motion import Found, damper_speeds
from axlewright.say.numbers import Units, direction, number, unit_of
from axlewright.tune.export_motion import rows_of

DIGITS = 7  # significant, of the SI values that travel beside the shown ones


def table(found: Found, units: Units) -> list[dict[str, Any]]:
    """Rows: {"id", "name", "unit", "more", "detail", "shown": [text], "values": [SI], "changes": [words]}.

    A change is against the first setup; readings that no run has are left out, as on the command line.
    """
    return [_row(reading, values, units) for reading, values in rows_of(found).values() if np.isfinite(values).any()]


def _row(reading: MotionReading, values: list[float], units: Units) -> dict[str, Any]:
    unit = unit_of(reading, units)
    return {
        "id": reading.id, "name": reading.name, "unit": unit, "more": reading.more, "detail": reading.detail,
        "shown": [number(value, unit) for value in values],
        "values": [float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None for value in values],
        "changes": [_change(reading, values[0], value, units) for value in values],
    }  # fmt: skip


def _change(reading: MotionReading, first: float, value: float, units: Units) -> str:
    if not (math.isfinite(first) and math.isfinite(value)):
        return ""
    size = number(abs(value - first), unit_of(reading, units), change=True)
    return direction(reading, value - first, units) if size.strip("+-0.") else ""


def dampers(found: Found) -> dict[str, Any] | None:
    """Shares of time by damper speed, % as shown: {"ranges": [words], "cars": [{damper: [text]}]}; of a road only."""
    if found[0][1].kind != "road":
        return None
    shared = [damper_speeds(run) for _, run in found]
    return {
        "ranges": shared[0][1],
        "cars": [{_said(path): [number(v, "%") for v in share] for path, share in each.items()} for each, _ in shared],
    }


def _said(path: str) -> str:
    return path.replace(".", " ").replace("_", " ")

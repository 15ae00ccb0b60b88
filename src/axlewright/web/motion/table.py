"""Readings of runs as a table of setups by readings, in the words and digits of the command line."""

from __future__ import annotations

import math
from typing import Any

from axlewright.say.motion import Found, Row, damper_speeds, rows
from axlewright.say.numbers import Units, direction, number, unit_of

DIGITS = 7  # significant, of the SI values that travel beside the shown ones


def table(found: Found, units: Units) -> list[dict[str, Any]]:
    """Rows: {"id", "name", "unit", "more", "detail", "shown": [text], "values": [SI], "changes": [words]}.

    A change is against the first setup; readings that no run has are left out, as on the command line.
    """
    return [_row(key, row, units) for key, row in rows(found).items() if row.said]


def _row(key: str, row: Row, units: Units) -> dict[str, Any]:
    unit = unit_of(row.reading, units)
    return {
        "id": key, "name": row.reading.name, "unit": unit, "more": row.reading.more, "detail": row.reading.detail,
        "shown": [number(value, unit) for value in row.values],
        "values": [float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None for value in row.values],
        "changes": [_change(row, value, units) for value in row.values],
    }  # fmt: skip


def _change(row: Row, value: float, units: Units) -> str:
    first, unit = row.values[0], unit_of(row.reading, units)
    if not (math.isfinite(first) and math.isfinite(value)):
        return ""
    alike = number(abs(value - first), unit, change=True).lstrip("+-").strip("0.") == ""
    return "" if alike else direction(row.reading, value - first, units)


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

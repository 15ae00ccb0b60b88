"""Plots of runs over time as data: values in a person's units, at as many moments as a screen can show."""

from __future__ import annotations

from typing import Any

import numpy as np

from axlewright.draw.moments import quantities, there
from axlewright.say.motion import Found
from axlewright.say.numbers import DECIMALS, US, Units
from axlewright.units import scale

MOMENTS, FEWER = 401, 201  # of each curve; fewer where there are more than FEW setups, so that an answer stays small
FEW = 3
US_DRAWN = US | {"kN": "lbf"}


def picked(found: Found) -> slice:
    """Which moments are shown."""
    most = MOMENTS if len(found) <= FEW else FEWER
    return slice(None, None, max(-(-(len(found[0][1].time) - 1) // (most - 1)), 1))


def plots(found: Found, units: Units) -> dict[str, Any]:
    """{"time", "every", "of", "panels": [{"id", "name", "unit", "decimals", "more", "less", "main", "values"}]}.

    `values`: one list a setup, in `unit`; `main`: what the command line's picture has too.
    `time` in s since it was done; `every` and `of`: ms between moments shown, and between those that readings see.
    """
    first = found[0][1]
    shown, step = picked(found), first.time[1] - first.time[0]
    panels = []
    for one in there(found, quantities(first.kind)):
        unit = US_DRAWN.get(one.axis.unit, one.axis.unit) if units == "us" else one.axis.unit
        size = one.axis.size if unit == one.axis.unit else scale(unit)[0]
        decimals = DECIMALS.get(unit, 2)
        panels.append({
            "id": one.id, "name": one.axis.name, "unit": unit, "decimals": decimals,
            "more": one.axis.more, "less": one.axis.less, "main": not one.aside,
            "values": [rounded(one.read(run)[shown] / size, decimals + (decimals < 3)) for _, run in found],
        })  # fmt: skip
    return {
        "time": rounded(first.time[shown] - first.begins, 4),
        "every": round(1e3 * step * (shown.step or 1), 3),
        "of": round(1e3 * step, 3),
        "panels": panels,
    }


def rounded(values: np.ndarray, decimals: int) -> list[float | None]:
    """A list for JSON; nothing where a run has no value."""
    found = np.round(np.asarray(values, dtype=float), decimals) + 0.0  # no signed zero
    return [value if np.isfinite(value) else None for value in found.tolist()]

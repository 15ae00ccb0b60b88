"""Entries of a description: quantities and points as the file gave them, so that value and tolerance stay together."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from axlewright.car.schema.point import Holes, Point
from axlewright.units import Quantity

Entry = Quantity | Point | Holes | float | np.ndarray
Entries = dict[str, Entry]


def put_stated(entries: Entries, stated: Mapping[str, Entry | None]) -> None:
    """Put what is stated; what a car file leaves out of motion is not there, and the model takes common practice."""
    entries |= {path: entry for path, entry in stated.items() if entry is not None}


def si(entry: Entry) -> float | np.ndarray:
    """SI value: a float, or an array of three coordinates or more."""
    if isinstance(entry, (Point, Holes)):
        return entry.xyz
    return entry if isinstance(entry, np.ndarray) else float(entry)


def tolerance(entry: Entry) -> float | np.ndarray | None:
    """SI tolerance, or None where nothing is said."""
    if isinstance(entry, Holes):
        entry = entry.point
    if isinstance(entry, Point):
        return np.array(entry.tolerance) if any(entry.tolerance) else None
    return entry.tolerance if isinstance(entry, Quantity) else None

"""What stands along one direction of a plot: the name, the unit, and which way is which in words."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.car.adjusters import Adjuster
from axlewright.readings import Reading
from axlewright.units import scale

COMPUTED = {"Hz": "1/s", "g0": "g"}  # units as people write them -> as they are computed


class Axis(NamedTuple):
    """One direction of a plot. Values are given in SI (counts for an adjuster) and drawn in `unit`."""

    name: str
    unit: str = ""
    size: float = 1.0  # SI value of one `unit`
    more: str = ""  # what an increase is, in words
    less: str = ""
    smallest: float = 0.0  # SI; smaller differences are no change, and are not blown up to fill a plot
    felt: float = 0.0  # SI; smaller differences can't be felt

    @property
    def label(self) -> str:
        """Name and unit, unless the name says it already."""
        return f"{self.name}, {self.unit}" if self.unit and self.unit not in self.name.split(", ") else self.name

    def drawn(self, values: np.ndarray) -> np.ndarray:
        """Values in the unit of the plot."""
        return np.asarray(values, dtype=float) / self.size

    def place(self, value: float) -> float:
        """One value in the unit of the plot."""
        return float(value) / self.size


def of_reading(reading: Reading, unit: str | None = None) -> Axis:
    """Axis of a reading, in `unit` where that isn't the one it is usually shown in."""
    shown = COMPUTED.get(reading.shown, reading.shown) if unit is None else unit
    size = scale(COMPUTED.get(shown, shown))[0]
    said = {"1/s": "Hz"}.get(shown, shown)
    return Axis(reading.name, said, size, reading.more, reading.less, reading.smallest, reading.felt)


def of_adjuster(adjuster: Adjuster) -> Axis:
    """Axis of an adjuster's positions, in its own counts."""
    more = adjuster.direction.removeprefix("more: ").partition(";")[0]
    return Axis(adjuster.name, adjuster.unit, more=more)

"""How numbers are shown to a person: in which unit, with how many decimals, and with a direction in words."""

from __future__ import annotations

import math
from typing import Literal

from axlewright.car.schema import Car
from axlewright.readings import Reading
from axlewright.readings.motion.base import MotionReading
from axlewright.units import from_si

Units = Literal["metric", "us"]
US = {
    "mm": "in", "N": "lbf", "N/mm": "lbf/in", "N m": "lbf ft", "N m/deg": "lbf ft/deg", "mm/deg": "in/deg",
    "m": "ft", "m/s": "mph",
}  # fmt: skip
DECIMALS = {
    "g": 3, "deg": 2, "mm": 1, "N": 0, "N/mm": 1, "N m": 1, "N m/deg": 0, "%": 1, "deg/g": 2, "Hz": 2, "m": 2,
    "mm/deg": 2, "in": 2, "lbf": 0, "lbf/in": 0, "lbf ft": 1, "lbf ft/deg": 0, "in/deg": 3, "ft": 2, "m/s": 1,
    "mph": 1, "": 3, "s": 3, "deg/s": 1, "mm/s": 0, "J": 1, "W": 0, "deg/s/mm": 3, "deg s": 3, "kN s/m": 2, "g/mm": 4,
    "deg/mm": 3, "deg/s2": 0,
}  # fmt: skip
CHANGE_DECIMALS = {"deg": 3, "mm": 2, "in": 3, "N": 0, "lbf": 1, "%": 2, "deg/g": 3}
SAID = {
    "g0": "g",
    "1/s": "Hz",
    "deg/s**2": "deg/s2",
    "deg*s": "deg s",
}  # how a unit is written for people where it differs from how it is computed


def units_of(car: Car, asked: str | None) -> Units:
    """What was asked for, or the kind that the car file gives its points in."""
    if asked in ("metric", "us"):
        return asked
    return "us" if car.points.unit in ("in", "ft") else "metric"


def unit_of(reading: Reading | MotionReading, units: Units) -> str:
    """The unit that a reading is shown in."""
    unit = SAID.get(reading.shown, reading.shown)
    return US.get(unit, unit) if units == "us" else unit


def number(value: float, unit: str, *, change: bool = False) -> str:
    """An SI value in a unit, without the unit; a dash where there is none."""
    if not math.isfinite(value):
        return "-"
    places = CHANGE_DECIMALS.get(unit, DECIMALS.get(unit, 3)) if change else DECIMALS.get(unit, 3)
    computed = {said: unit for unit, said in SAID.items() if unit != "g0"}.get(unit, unit)
    shown = from_si(value, computed) if unit else value
    text = f"{shown:+.{places}f}" if change else f"{shown:.{places}f}"
    return text[1:] if text.lstrip("+-").strip("0.") == "" and text[0] in "+-" else text  # no signed zero


def shown(reading: Reading, value: float, units: Units) -> str:
    """A value with its unit."""
    unit = unit_of(reading, units)
    return _joined(number(value, unit), unit)


def direction(reading: Reading | MotionReading, change: float, units: Units) -> str:
    """A change in words, with its size: `looser 0.021 g`."""
    unit = unit_of(reading, units)
    return f"{reading.more if change > 0 else reading.less} {_joined(number(abs(change), unit, change=True)[1:], unit)}"


def _joined(text: str, unit: str) -> str:
    return f"{text}{unit}" if unit == "%" else f"{text} {unit}".rstrip()

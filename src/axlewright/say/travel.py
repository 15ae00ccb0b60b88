"""Movements of the linkage in words and units, and what is said beside geometry that nothing loads."""

from __future__ import annotations

from axlewright.say.numbers import US, Units
from axlewright.solve.phases import WHEELS

UNITS = {"bump": "mm", "steer": "mm", "roll": "deg", "wind_up": "deg"} | dict.fromkeys(WHEELS, "mm")
WORDS = {"bump": "bump", "steer": "rack", "roll": "roll", "wind_up": "wind-up"} | {w: f"{w} up" for w in WHEELS}
MORE = {
    "bump": ("wheels up", "wheels down"), "roll": ("right side down", "left side down"),
    "steer": ("to the left", "to the right"), "wind_up": ("nose up", "nose down"),
} | dict.fromkeys(WHEELS, ("wheel up", "wheel down"))  # fmt: skip
BY_HAND = (
    "Geometry with rigid links and springs out, not tested on this car. Cycle the car by hand before it moves under "
    "load: on stands, nobody's hands between links."
)
UNLOADED = "The chassis stands still and nothing is loaded: links carry no force here. Hold a phase to see forces."


def unit_for(movement: str, units: Units) -> str:
    """Unit of a movement for a person."""
    return US.get(UNITS[movement], UNITS[movement]) if units == "us" else UNITS[movement]

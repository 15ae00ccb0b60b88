"""What can be chosen of one car: its movements with their ranges, its geometry readings, its torque links."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from axlewright.model.travel import AXLE, Linkage
from axlewright.readings import Reading, readings_of
from axlewright.say.numbers import Units, unit_of
from axlewright.say.travel import MORE, UNLOADED, WORDS, unit_for
from axlewright.solve.machine import Machine
from axlewright.units import from_si, scale


class Range(NamedTuple):
    """How far a slider goes each way and its step, SI; further is typed."""

    far: float
    step: float


RANGES = {
    "bump": Range(0.060, 0.001),
    "roll": Range(np.radians(4.0), np.radians(0.1)),
    "steer": Range(0.040, 0.001),
    "wind_up": Range(np.radians(5.0), np.radians(0.1)),
}
INCH = 0.0254
STEPS_US = {"bump": 0.05 * INCH, "steer": 0.05 * INCH}
TORQUE_LINKS = {"drive": "drive-side holds", "brake": "brake-side holds"}
FIRST = "anti_squat"  # the reading that the page opens with


def choices(machine: Machine, units: Units) -> dict[str, Any]:
    """Everything to choose from."""
    linkages = [Linkage(block) for block in machine.topology.blocks]
    pair = any(len(linkage.torque) > 1 for linkage in linkages)
    return {
        "movements": [_movement(name, machine, units) for name in movements_of(machine)],
        "readings": [_reading(reading, units) for reading in travelling(machine).values()],
        "first": FIRST,
        "active": [{"id": key, "name": words} for key, words in TORQUE_LINKS.items()] if pair else [],
        "unloaded": UNLOADED,
    }


def movements_of(machine: Machine) -> list[str]:
    """Movements that this car's linkage can make."""
    axles = [Linkage(block) for block in machine.topology.blocks if block.n_wheels == AXLE]
    winds = bool(axles) and all(linkage.winds_up for linkage in axles)
    return [name for name in RANGES if name != "wind_up" or winds]


def travelling(machine: Machine) -> dict[str, Reading]:
    """Readings of geometry, which follow the linkage through travel."""
    return {key: reading for key, reading in readings_of(machine).items() if reading.travel}


def reach(name: str, machine: Machine) -> float:
    """How far a slider goes, SI: the rack to its lock, where the car says where that is."""
    lock = float(np.ravel(machine.values.get("rack.lock", np.inf))[0])
    return lock if name == "steer" and np.isfinite(lock) else RANGES[name].far


def _movement(name: str, machine: Machine, units: Units) -> dict[str, Any]:
    unit = unit_for(name, units)
    step = STEPS_US.get(name, RANGES[name].step) if units == "us" else RANGES[name].step
    more, less = MORE[name]
    return {
        "id": name, "name": WORDS[name], "unit": unit, "scale": scale(unit)[0], "far": reach(name, machine),
        "step": step, "more": more, "less": less,
    }  # fmt: skip


def _reading(reading: Reading, units: Units) -> dict[str, Any]:
    unit = unit_of(reading, units)
    return {
        "id": reading.id, "name": reading.name, "unit": unit, "scale": 1.0 / from_si(1.0, unit) if unit else 1.0,
        "more": reading.more, "less": reading.less, "first": reading.moving or not reading.detail,
        "source": reading.source,
    }  # fmt: skip

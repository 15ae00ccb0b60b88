"""Propeller shaft: where its joints are, their lines as unit vectors towards the rear, and its tube."""

from __future__ import annotations

from math import inf

from axlewright.car.describe.entries import Entries
from axlewright.car.schema import Car
from axlewright.car.schema.shaft import rearward

STEEL_MODULUS, STEEL_DENSITY = 207e9, 7850.0  # Pa, kg/m3; carbon steel, Shigley Table A-5


def put_shaft(car: Car, entries: Entries) -> None:
    """Values of the shaft, when the car file has one. No solver needs them: without tolerances, for readings only."""
    shaft = car.driveline.shaft
    if shaft is None:
        return
    entries |= {
        "shaft.gearbox.at": shaft.gearbox_joint.xyz,
        "shaft.gearbox.axis": rearward(shaft.gearbox_joint, shaft.gearbox_line),
        "shaft.pinion.at": shaft.pinion_joint.xyz,
        "shaft.pinion.axis": rearward(shaft.pinion_joint, shaft.pinion_line),
        "shaft.diameter": shaft.diameter.value,
        "shaft.wall": shaft.wall.value,
        "shaft.modulus": STEEL_MODULUS if shaft.modulus is None else shaft.modulus.value,
        "shaft.density": STEEL_DENSITY if shaft.density is None else shaft.density.value,
        "shaft.slip_in": inf if shaft.slip_in is None else shaft.slip_in.value,
        "shaft.slip_out": inf if shaft.slip_out is None else shaft.slip_out.value,
    }

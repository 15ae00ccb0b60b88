"""Wheel and ride rates, and ride frequencies.

Wheel rate: change of wheel load per travel of both wheels of an end together, without the tyre, horizontal forces left
out: spring rate x motion ratio squared, and what the change of the ratio does with the spring's load. Ride rate: with
the tyre in series. Ride frequency: sqrt(rate / sprung mass on that wheel) / 2 pi, on either. Milliken, Race Car Vehicle
Dynamics, ch. 16 (from memory). They need the machine's derivative, so they cost more than the others.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from axlewright.readings._frames import ENDS
from axlewright.readings._rates import end_rates
from axlewright.readings.base import Reading
from axlewright.readings.understeer import wheelbase
from axlewright.solve.solved import Solved


def wheel_rate(solved: Solved, end: str) -> np.ndarray:
    """Rate of one wheel of an end when both move alike, N/m, (B,)."""
    return 0.5 * end_rates(solved)[end].wheel.sum(axis=(0, 1))


def ride_rate(solved: Solved, end: str) -> np.ndarray:
    """Wheel rate and tyre rate in series, N/m, (B,)."""
    wheel, tyre = wheel_rate(solved, end), end_rates(solved)[end].tyre.mean(axis=0)
    return wheel * tyre / (wheel + tyre)


def sprung_mass(solved: Solved, end: str) -> np.ndarray:
    """Sprung mass that one wheel of an end carries by statics, kg, (B,)."""
    p = solved.parameters
    mass, x = np.asarray(p.mass), np.asarray(p.mass_at)[0]
    rear = (mass * (solved.wheel_parameter("centre")[0, :2].mean(axis=0) - x)).sum(axis=0) / wheelbase(solved)
    return 0.5 * (rear if end == "rear" else mass.sum(axis=0) - rear)


def ride_frequency(solved: Solved, end: str, *, tyre: bool) -> np.ndarray:
    """Ride frequency of an end, Hz, (B,)."""
    rate = ride_rate(solved, end) if tyre else wheel_rate(solved, end)
    return np.sqrt(rate / sprung_mass(solved, end)) / (2.0 * np.pi)


def _of_end(end: str) -> list[Reading]:
    kinds = {
        "wheel_rate": ("wheel rate", partial(wheel_rate, end=end), "N/m", "N/mm", 10.0),
        "ride_rate": ("ride rate (with tyre)", partial(ride_rate, end=end), "N/m", "N/mm", 10.0),
        "ride_frequency": (
            "ride frequency on wheel rate",
            partial(ride_frequency, end=end, tyre=False),
            "1/s",
            "1/s",
            0.005,
        ),
        "ride_frequency_tyre": (
            "ride frequency with tyre",
            partial(ride_frequency, end=end, tyre=True),
            "1/s",
            "1/s",
            0.005,
        ),
    }
    return [
        Reading(
            id=f"{ident}_{end}", name=f"{name}, {end}", unit=unit, shown=shown, more=f"{end} rides stiffer",
            less=f"{end} rides softer", source="Milliken ch. 16, from memory",
            read=read, smallest=smallest, at_rest=True, costly=True,
        )
        for ident, (name, read, unit, shown, smallest) in kinds.items()
    ]  # fmt: skip


RIDES = [reading for end in ENDS for reading in _of_end(end)]

"""Gas force of a damper: a constant push while the car stands or is held.

A damper holds nothing: at rest only the gas pressure on its rod's area acts, F = p A_rod with gauge pressure, and the
clicks do nothing. Source: balance of forces on the piston, F + p (A - A_rod) - p A = 0. Warm gas pushes harder: the
absolute pressure of a fixed amount in a fixed volume rises with absolute temperature (ideal gas).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule, rows
from axlewright.parts.elastic import Knots

ATMOSPHERE = 101_325.0  # Pa, standard atmosphere
KELVIN = 273.15  # K at 0 degC
FILLED_AT = 20.0  # degC; the temperature that a fill pressure is read at unless said


def gas(properties: Mapping[str, Array], xp: ArrayModule = np) -> Knots:
    """Law of a gas damper at rest. Property: `force` N, a push, so the link's tension is -force."""
    return Knots(-1.0, 0.0, properties["force"], 0.0, rows(0.0, xp=xp), rows(0.0, xp=xp), rows(0.0, xp=xp))


def rod_force(
    pressure: Array, rod_diameter: Array, temperature: Array = FILLED_AT, filled_at: Array = FILLED_AT
) -> Array:
    """Push on the rod, N, at a temperature in degC: gauge fill pressure in Pa read at `filled_at` degC, rod in m."""
    absolute = (pressure + ATMOSPHERE) * (temperature + KELVIN) / (filled_at + KELVIN)
    return (absolute - ATMOSPHERE) * np.pi / 4.0 * rod_diameter**2


def rod_rate(pressure: Array, rod_diameter: Array, volume: Array, exponent: Array = 1.0) -> Array:
    """Rate of the gas on the rod, N/m: n p A^2 / V with absolute p, from p V^n = constant (any text on gas springs).

    pressure gauge, Pa; volume of gas, m^3; exponent n = 1 for slow movement, up to 1.4 for quick movement.
    """
    return exponent * (pressure + ATMOSPHERE) * (np.pi / 4.0 * rod_diameter**2) ** 2 / volume

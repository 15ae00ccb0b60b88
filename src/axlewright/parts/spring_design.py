"""What a helical compression spring of round wire is from its dimensions: rate, stress, solid length.

    rate = G d^4 / (8 D^3 n)     stress = K 8 F D / (pi d^3)     K = (4 C - 1)/(4 C - 4) + 0.615/C,  C = D/d  (Wahl)

Source: Bhandari, Design of Machine Elements, and any other machine-design text.
"""

from __future__ import annotations

import numpy as np

from axlewright.parts._arrays import Array


def coil_rate(shear_modulus: Array, wire: Array, mean_diameter: Array, active_coils: Array) -> Array:
    """Rate, N/m: modulus in Pa, wire and mean coil diameter in m."""
    return shear_modulus * wire**4 / (8.0 * mean_diameter**3 * active_coils)


def wahl_factor(wire: Array, mean_diameter: Array) -> Array:
    """Stress correction for curvature and direct shear, no unit."""
    index = mean_diameter / wire
    return (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index


def coil_stress(force: Array, wire: Array, mean_diameter: Array) -> Array:
    """Shear stress at the inside of the coil, Pa, Wahl's factor included; force in N."""
    return wahl_factor(wire, mean_diameter) * 8.0 * force * mean_diameter / (np.pi * wire**3)


def solid_length(wire: Array, total_coils: Array, ground: bool = True) -> Array:
    """Length with all coils touching, m: total coils x wire for ground ends, one wire more for unground ends."""
    return (total_coils + (0.0 if ground else 1.0)) * wire


def rates_in_series(first: Array, second: Array) -> Array:
    """Rate of two springs one on top of the other, N/m."""
    return first * second / (first + second)

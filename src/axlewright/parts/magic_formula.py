"""Tyre by the 1987 Magic Formula, with its load-dependent coefficients.

Signs and arguments as in `axlewright.parts.tyre`. With X the slip angle in deg or the slip ratio in %, Fz in kN:

    F = D sin(C atan(B phi))      phi = (1 - E) X + (E/B) atan(B X)
    lateral       D = a1 Fz^2 + a2 Fz    B C D = a3 sin(a4 atan(a5 Fz))             E = a6 Fz^2 + a7 Fz + a8
    longitudinal  D = b1 Fz^2 + b2 Fz    B C D = (b3 Fz^2 + b4 Fz) exp(-b5 Fz)      E = b6 Fz^2 + b7 Fz + b8
    camber        X shifts by a9 g, F by (a10 Fz^2 + a11 Fz) g, B shrinks by the share a12 |g|;  g in deg (from memory)

Source: Bakker, Nyborg, Pacejka, SAE 870421 (1987); coefficients and form read in public files that quote it.

Combined slip is ours, not the paper's: both slips are divided by their values at peak, joined to one slip s, each pure
curve is read at s and shared out by direction, so pure slip gives exactly the formula. The camber shift of F fades with
the longitudinal slip. Signs: slip angle and inclination of one sign push the same way, as with camber thrust.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule
from axlewright.parts.tyre import LEAST_GRIP, SMALL_SLIP, at_least

LEAST_LOAD = 1e-3  # kN; below it B is that of 1 N, where the formula itself is 0/0
PEAK_STEPS = 8  # Newton steps to the peak; they approach from one side and double their digits, 8 reach 1e-12
LEAST_STIFFNESS = 0.1  # share of B left, however large the camber


class MagicTyre(NamedTuple):
    """Coefficients as published (kN, deg, %), the rest SI. Coefficient axis first; trailing axes are free."""

    lateral: Array
    """(8, ...) a1 to a8."""
    longitudinal: Array
    """(8, ...) b1 to b8."""
    camber: Array
    """(4, ...) a9 to a12."""
    lateral_shape: Array
    """C of the lateral force, 1.30 in the paper."""
    longitudinal_shape: Array
    """C of the longitudinal force, 1.65 in the paper."""
    vertical_rate: Array
    """N/m at reference pressure."""
    reference_pressure: Array
    """Pa, gauge."""
    vertical_rate_per_pressure: Array
    """N/m per Pa."""
    longitudinal_stiffness: Array
    """Carcass, N/m."""
    lateral_stiffness: Array
    """Carcass, N/m."""


class Curve(NamedTuple):
    """B, C, D, E of one pure-slip curve; D in N."""

    b: Array
    c: Array
    d: Array
    e: Array


def lateral_curve(tyre: MagicTyre, load: Array, xp: ArrayModule = np) -> Curve:
    """B, C, D, E of the lateral force against slip angle in deg, upright, at a load in N."""
    a, kn, seen = tyre.lateral, load / 1e3, xp.maximum(load / 1e3, LEAST_LOAD)
    slope = a[2] * xp.sin(a[3] * xp.arctan(a[4] * seen))
    return _curve(slope, tyre.lateral_shape, a, kn, seen, xp)


def longitudinal_curve(tyre: MagicTyre, load: Array, xp: ArrayModule = np) -> Curve:
    """B, C, D, E of the longitudinal force against slip ratio in %, at a load in N."""
    b, kn, seen = tyre.longitudinal, load / 1e3, xp.maximum(load / 1e3, LEAST_LOAD)
    slope = (b[2] * seen * seen + b[3] * seen) * xp.exp(-b[4] * seen)
    return _curve(slope, tyre.longitudinal_shape, b, kn, seen, xp)


def pure_force(curve: Curve, slip: Array, xp: ArrayModule = np) -> Array:
    """F at a slip in the curve's own unit, N; odd in the slip."""
    scaled = curve.b * slip
    return curve.d * xp.sin(curve.c * xp.arctan((1.0 - curve.e) * scaled + curve.e * xp.arctan(scaled)))


def peak_slip(curve: Curve, xp: ArrayModule = np) -> Array:
    """Slip at the peak in the curve's own unit: C atan(B phi) = pi/2. Needs C > 1 and E < 1, as published sets have."""
    target = xp.tan(0.5 * np.pi / curve.c)
    scaled = target
    for _ in range(PEAK_STEPS):
        miss = (1.0 - curve.e) * scaled + curve.e * xp.arctan(scaled) - target
        scaled = scaled - miss / (1.0 - curve.e + curve.e / (1.0 + scaled * scaled))
    return scaled / curve.b


def peak_slip_angle(tyre: MagicTyre, load: Array, xp: ArrayModule = np) -> Array:
    """Slip angle at peak lateral force, rad, upright, at a load in N."""
    return xp.radians(peak_slip(lateral_curve(tyre, load, xp), xp))


def forces(
    tyre: MagicTyre,
    load: Array,
    slip_angle: Array,
    slip_ratio: Array,
    inclination: Array,
    grip_level: Array = 1.0,
    xp: ArrayModule = np,
) -> tuple[Array, Array]:
    """(Fx, Fy) in N in tyre axes; arguments and signs as `axlewright.parts.tyre.forces`."""
    lean, kn = xp.degrees(inclination), load / 1e3
    a9, a10, a11, a12 = (tyre.camber[i] for i in range(4))
    along, across = longitudinal_curve(tyre, load, xp), lateral_curve(tyre, load, xp)
    across = across._replace(b=across.b * at_least(1.0 - a12 * xp.abs(lean), LEAST_STIFFNESS, xp))
    peak_along, peak_across = peak_slip(along, xp), peak_slip(across, xp)
    sx = 100.0 * slip_ratio / peak_along
    sy = (xp.degrees(slip_angle) + a9 * lean) / peak_across
    slip = xp.sqrt(sx * sx + sy * sy + SMALL_SLIP)
    thrust = (a10 * kn * kn + a11 * kn) * lean / xp.sqrt(1.0 + sx * sx)
    fx = pure_force(along, slip * peak_along, xp) * sx / slip
    fy = -pure_force(across, slip * peak_across, xp) * sy / slip - thrust
    return grip_level * fx, grip_level * fy


def slip_stiffness(tyre: MagicTyre, load: Array, xp: ArrayModule = np) -> tuple[Array, Array]:
    """dFx/d(slip ratio) and -dFy/d(slip angle) at no slip, upright and dry, N: B C D in the formula's own units."""
    along, across = longitudinal_curve(tyre, load, xp), lateral_curve(tyre, load, xp)
    return 100.0 * along.b * along.c * along.d, xp.degrees(1.0) * across.b * across.c * across.d


def _curve(slope: Array, c: Array, coefficient: Array, kn: Array, seen: Array, xp: ArrayModule) -> Curve:
    """Curve from B C D at a load `seen` in kN that is never zero; D falls to zero with the true load `kn`."""
    per_kn = coefficient[1] * at_least(1.0 + coefficient[0] * seen / coefficient[1], LEAST_GRIP, xp)
    e = coefficient[5] * seen * seen + coefficient[6] * seen + coefficient[7]
    return Curve(slope / (c * per_kn * seen), c, per_kn * kn, e)

"""Tyre by similarity: one curve with a peak and a fall-off for both directions, scaled by load, camber and grip.

Signs (ISO 8855 as in the design's table): positive slip angle = contact point moves left of the wheel's heading and
gives Fy < 0; positive slip ratio = driving and gives Fx > 0; positive inclination = top leans right and gives Fy < 0.

    sx = slip ratio / slip ratio at peak        sy = tan(slip angle + camber_slip * inclination) / tan(peak slip angle)
    s = sqrt(sx^2 + sy^2)                       y(s) = sin(C atan(B s - E (B s - atan B s)))
    Fx = mu_x Fz y sx/s                         Fy = -mu_y Fz y sy/s

Curve: Bakker, Nyborg, Pacejka, SAE 870421 (1987). Combining by one normalised slip: Pacejka, Tyre and Vehicle
Dynamics, similarity method (from memory). Load and camber terms: the design's demo tyre; common practice, no source.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol, runtime_checkable

import numpy as np

from axlewright.parts._arrays import Array, ArrayModule
from axlewright.parts.elastic import hinge

SMALL_SLIP = 1e-16  # added to s^2: keeps the derivative finite at no slip; the force error is below 1e-6 N
TOUCH_WIDTH = 2e-4  # m; half width of the corner at first touch: 13 N at touch for 255 N/mm, exact 0.2 mm away
LEAST_GRIP = 0.2  # friction never falls below this share of `grip`, however large the load or the inclination
LEAST_PEAK = 0.3  # the peak slip angle never falls below this share of its value at reference load
FLOOR_WIDTH = 0.1  # half width of both floors' corners, as a share; so both are exact above 0.3 and 0.4


@runtime_checkable
class Carcass(Protocol):
    """What carries the load, the same for every tyre law."""

    @property
    def vertical_rate(self) -> Array: ...

    @property
    def reference_pressure(self) -> Array: ...

    @property
    def vertical_rate_per_pressure(self) -> Array: ...


class Tyre(NamedTuple):
    """Parameters, SI. Any entry may carry trailing axes."""

    grip: Array
    """Peak lateral friction coefficient at reference load, upright."""
    reference_load: Array
    """N."""
    grip_drop: Array
    """Fall of the friction coefficient per N of load, 1/N, positive."""
    grip_camber: Array
    """Friction is multiplied by 1 - grip_camber * inclination^2, 1/rad^2."""
    grip_ratio: Array
    """Longitudinal over lateral peak friction."""
    slip_angle_peak: Array
    """Slip angle at peak force at reference load, rad."""
    slip_angle_peak_per_load: Array
    """Growth of the peak slip angle with load, rad/N."""
    slip_ratio_peak: Array
    """Slip ratio at peak force."""
    shape_c: Array
    """C: how far past its peak the curve ends; the fall-off at endless slip is sin(C pi/2)."""
    shape_b: Array
    """B: steepness; the slope of y(s) at no slip is B C."""
    shape_e: Array
    """E: puts the peak at s = 1 (see `peaked_shape`)."""
    camber_slip: Array
    """Slip angle that one radian of inclination is worth, rad/rad."""
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


def peaked_shape(fall_off: float, slope: float = 2.3625) -> tuple[float, float, float]:
    """(C, B, E) of a curve with its peak of 1 at s = 1, that falls to `fall_off` and starts with `slope` = B C.

    C from sin(C pi/2) = fall_off on the far side of the peak; E from C atan(...) = pi/2 at s = 1. The default slope is
    that of the demo tyre. Raises ValueError unless 0 < fall_off < 1 and the slope exceeds 1.
    """
    if not 0.0 < fall_off < 1.0:
        raise ValueError(f"fall-off is {fall_off}; it is the share of peak grip left at full slide, between 0 and 1")
    c = 2.0 - 2.0 / np.pi * np.arcsin(fall_off)
    b = slope / c
    e = (b - np.tan(np.pi / (2.0 * c))) / (b - np.arctan(b))
    return float(c), float(b), float(e)


def friction(tyre: Tyre, load: Array, inclination: Array, xp: ArrayModule = np) -> Array:
    """Peak lateral friction coefficient at a load in N and an inclination in rad, before the grip level."""
    by_load = 1.0 - tyre.grip_drop * (load - tyre.reference_load) / tyre.grip
    by_camber = 1.0 - tyre.grip_camber * inclination * inclination
    return tyre.grip * at_least(by_load, LEAST_GRIP, xp) * at_least(by_camber, LEAST_GRIP, xp)


def peak_slip_angle(tyre: Tyre, load: Array, xp: ArrayModule = np) -> Array:
    """Slip angle at peak lateral force, rad, at a load in N."""
    growth = 1.0 + tyre.slip_angle_peak_per_load * (load - tyre.reference_load) / tyre.slip_angle_peak
    return tyre.slip_angle_peak * at_least(growth, LEAST_PEAK, xp)


def curve(tyre: Tyre, slip: Array, xp: ArrayModule = np) -> Array:
    """Share of peak force at normalised slip s >= 0; 1 at s = 1 for a `peaked_shape`."""
    steep = tyre.shape_b * slip
    return xp.sin(tyre.shape_c * xp.arctan(steep - tyre.shape_e * (steep - xp.arctan(steep))))


def forces(
    tyre: Tyre,
    load: Array,
    slip_angle: Array,
    slip_ratio: Array,
    inclination: Array,
    grip_level: Array = 1.0,
    xp: ArrayModule = np,
) -> tuple[Array, Array]:
    """(Fx, Fy) in N in tyre axes.

    load N >= 0; slip angle and inclination rad; slip ratio; grip level multiplies friction (1 = dry). All broadcast.
    """
    sx = slip_ratio / tyre.slip_ratio_peak
    sy = xp.tan(slip_angle + tyre.camber_slip * inclination) / xp.tan(peak_slip_angle(tyre, load, xp))
    slip = xp.sqrt(sx * sx + sy * sy + SMALL_SLIP)
    per_slip = grip_level * friction(tyre, load, inclination, xp) * load * curve(tyre, slip, xp) / slip
    return tyre.grip_ratio * per_slip * sx, -per_slip * sy


def slip_stiffness(tyre: Tyre, load: Array, xp: ArrayModule = np) -> tuple[Array, Array]:
    """dFx/d(slip ratio) and -dFy/d(tan slip angle) at no slip, upright and dry, N, at a load in N."""
    slope = friction(tyre, load, 0.0 * load, xp) * load * tyre.shape_b * tyre.shape_c
    across = slope / xp.tan(peak_slip_angle(tyre, load, xp))
    return tyre.grip_ratio * slope / tyre.slip_ratio_peak, across


def vertical_rate(tyre: Carcass, pressure: Array) -> Array:
    """Vertical rate, N/m, at a gauge pressure in Pa."""
    return tyre.vertical_rate + tyre.vertical_rate_per_pressure * (pressure - tyre.reference_pressure)


def vertical_load(tyre: Carcass, deflection: Array, pressure: Array, xp: ArrayModule = np) -> Array:
    """Load, N, at a deflection in m (negative = clear of the road, load exactly zero from 0.2 mm on)."""
    return vertical_rate(tyre, pressure) * hinge(deflection, TOUCH_WIDTH, xp)


def deflection_for(tyre: Carcass, load: Array, pressure: Array, xp: ArrayModule = np) -> Array:
    """Deflection, m, that carries a load in N: the inverse of `vertical_load`; at no load the edge of touching."""
    straight = load / vertical_rate(tyre, pressure)
    rounded = xp.clip(straight, 1e-300, TOUCH_WIDTH)  # the square root's derivative stays finite at no load
    return xp.where(straight >= TOUCH_WIDTH, straight, 2.0 * xp.sqrt(TOUCH_WIDTH * rounded) - TOUCH_WIDTH)


def at_least(share: Array, least: float, xp: ArrayModule = np) -> Array:
    """A share held at `least` from below with a rounded corner; itself from `least` + 0.1 on."""
    return least + hinge(share - least, FLOOR_WIDTH, xp)
